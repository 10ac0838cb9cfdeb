"""How far the suction of an intake is too strong for an animal, in the computed flow."""

from collections.abc import Mapping

import numpy as np
from scipy.ndimage import label

from flowviz.flow.field import Field
from flowviz.grid.grid import Grid, Patch
from flowviz.scene.model import Scene


def suction_reaches(scene: Scene, grid: Grid, field: Field) -> Mapping[str, Mapping[str, float]]:
    """By intake and animal of the scene: see suction_reach [m]."""
    return {
        patch.name: {animal.name: suction_reach(patch, animal.speed, grid, field) for animal in scene.animals}
        for patch in grid.patches
        if not patch.inflow
    }


def suction_reach(patch: Patch, speed: float, grid: Grid, field: Field) -> float:
    """How far from the middle of an intake water is drawn to it faster than a speed [m]; 0 where it nowhere is.

    Counted are cells, joined to each other and to the opening, in which the mean flow's part towards the opening is
    faster. Cells draw the suction stronger than it is near an opening fewer than four of them across: by half at two
    cells from it, by a sixth at four, by 3 % at eight (a point sink on cells against the exact one).
    """
    away = [row - middle for row, middle in zip(grid.centres(), patch.centre, strict=True)]
    distance = np.sqrt(away[0][:, None, None] ** 2 + away[1][:, None] ** 2 + away[2] ** 2)
    u, v, w = np.moveaxis(field.velocity(), -1, 0)
    towards = -(u * away[0][:, None, None] + v * away[1][:, None] + w * away[2])
    drawn = (towards > speed * distance) & grid.water
    joined = drawn.copy()
    joined[tuple(patch.cells.T)] = True
    pieces, _ = label(joined)
    own = np.isin(pieces, np.unique(pieces[tuple(patch.cells.T)])) & drawn
    return float(distance[own].max(initial=0.0))
