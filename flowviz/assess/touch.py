"""What a pocket of water touches."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from flowviz.assess.bed import bed_cells
from flowviz.assess.corals import cells_of
from flowviz.grid.grid import Grid
from flowviz.scene.model import Scene


@dataclass(frozen=True, slots=True, eq=False)
class Touchable:
    """Where there is something to touch, as masks of the flattened grid."""

    corals: Mapping[str, np.ndarray]
    openings: Mapping[str, np.ndarray]
    bed: np.ndarray
    bed_name: str
    surface: np.ndarray


def touchable(scene: Scene, grid: Grid) -> Touchable:
    """What there is in a scene."""
    opening_cells = {patch.name: np.ravel_multi_index(tuple(patch.cells.T), grid.shape) for patch in grid.patches}
    top = np.zeros(grid.shape, bool)
    top[:, :, -1] = True
    return Touchable(
        corals={coral.name: mask(cells_of(coral, grid), grid) for coral in scene.corals},
        openings={name: mask(cells, grid) for name, cells in opening_cells.items()},
        bed=mask(bed_cells(grid), grid),
        bed_name="sand" if scene.sand else "floor",
        surface=top.ravel(),
    )


def touched(cells: np.ndarray, things: Touchable) -> dict[str, object]:
    """What the pocket of these cells, positions in the flattened grid, touches: fields of a zone."""
    return {
        "corals": tuple(name for name, own in things.corals.items() if own.take(cells).any()),
        "openings": tuple(name for name, own in things.openings.items() if own.take(cells).any()),
        "bed": things.bed_name if things.bed.take(cells).any() else None,
        "surface": bool(things.surface.take(cells).any()),
    }


def mask(cells: np.ndarray, grid: Grid) -> np.ndarray:
    """Cells given by their positions, as a mask of the flattened grid."""
    found = np.zeros(grid.kind.size, bool)
    found[cells] = True
    return found
