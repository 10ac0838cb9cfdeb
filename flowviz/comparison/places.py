"""The same places in two tanks."""

from collections.abc import Iterable

import numpy as np

from flowviz.grid.grid import Grid
from flowviz.scene.model import Scene


def one_ground(scenes: Iterable[Scene]) -> bool:
    """Whether a place in one tank is a place in all: they have one floor plan."""
    first, *others = (scene.tank.plan for scene in scenes)
    return all(plan == first for plan in others)


def in_the_places_of(grid: Grid, values: np.ndarray, other: Grid) -> np.ndarray:
    """Values of the cells of another grid in the middles of a grid's own cells (nx, ny, nz); 0 outside the other."""
    if grid.shape == other.shape and grid.spacing == other.spacing:
        return values
    inside, cells = [], []
    for row, h, count in zip(grid.centres(), other.spacing, other.shape, strict=True):
        index = np.floor(row / h).astype(int)
        inside.append((index >= 0) & (index < count))
        cells.append(np.clip(index, 0, count - 1))
    known = inside[0][:, None, None] & inside[1][:, None] & inside[2]
    return np.where(known, values[np.ix_(*cells)], np.zeros((), values.dtype))
