"""How far the suction of an intake is too strong for an animal, in the computed flow."""

from collections.abc import Mapping
from math import pi, sqrt

import numpy as np

from flowviz.flow.field import Field
from flowviz.grid.grid import Grid, Patch
from flowviz.grid.joining import bodies
from flowviz.scene.model import Scene, Strainer


def suction_reaches(scene: Scene, grid: Grid, field: Field) -> Mapping[str, Mapping[str, float]]:
    """By intake and animal of the scene: see suction_reach [m]."""
    patches = {patch.name: patch for patch in grid.patches}
    drawing = [(patches[intake.name], intake.strainer) for intake in scene.intakes if intake.name in patches]
    return {
        patch.name: {animal.name: suction_reach(patch, strainer, animal.speed, grid, field) for animal in scene.animals}
        for patch, strainer in drawing
    }


def suction_reach(patch: Patch, strainer: Strainer | None, speed: float, grid: Grid, field: Field) -> float:
    """How far from an intake's surface water is drawn to it faster than a speed [m]; 0 where it nowhere is.

    Counted are cells, joined to each other and to the opening through open faces, in which the mean flow's part towards
    the opening is faster, currents and suction together. Cells blur it near an opening fewer than four of them across:
    a point sink is drawn by half too strong at two cells from it, by a sixth at four, by 3 % at eight (against the
    exact one), and what a strainer does to the water is not in them.
    """
    away = [row - middle for row, middle in zip(grid.centres(), patch.centre, strict=True)]
    x, y, z = away[0][:, None, None], away[1][:, None], away[2]
    u, v, w = np.moveaxis(field.velocity(), -1, 0)
    drawn = (-(u * x + v * y + w * z) > speed * np.sqrt(x**2 + y**2 + z**2)) & grid.water
    joined = drawn.copy()
    joined[tuple(patch.cells.T)] = True
    pieces = bodies(joined, grid.shares)
    own = np.isin(pieces, np.unique(pieces[tuple(patch.cells.T)])) & drawn
    offsets = np.stack(np.broadcast_arrays(x, y, z), axis=-1)[own]
    return float(_from_surface(offsets, patch, strainer).max(initial=0.0))


def _from_surface(offsets: np.ndarray, patch: Patch, strainer: Strainer | None) -> np.ndarray:
    """How far places (n, 3), told from an opening's middle, are from its strainer or bare mouth [m]; 0 inside it."""
    radius, length = (sqrt(patch.area / pi), 0.0) if strainer is None else (strainer.diameter / 2, strainer.length)
    before = offsets @ np.array(patch.normal)
    beside = np.sqrt(np.maximum((offsets**2).sum(axis=1) - before**2, 0.0))
    return np.hypot(np.maximum(beside - radius, 0.0), np.maximum(np.maximum(before - length, -before), 0.0))
