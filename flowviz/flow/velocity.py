"""The velocity on the faces of the cells, as grid/grid.py draws it."""

import numpy as np

from flowviz.grid.grid import Grid

Velocity = tuple[np.ndarray, np.ndarray, np.ndarray]  # u, v, w, float32 [m/s]


def still(grid: Grid) -> Velocity:
    """No motion."""
    return tuple(np.zeros(share.shape, np.float32) for share in grid.shares)


def square(u: np.ndarray, v: np.ndarray, w: np.ndarray) -> np.ndarray:
    """Of the speed in the middle of cells (nx, ny, nz) [m²/s²]."""
    return ((u[1:] + u[:-1]) / 2) ** 2 + ((v[:, 1:] + v[:, :-1]) / 2) ** 2 + ((w[:, :, 1:] + w[:, :, :-1]) / 2) ** 2


def part_of(axis: int, part: slice) -> tuple[slice, ...]:
    """An index that takes a part of one axis and all of the others."""
    return (*(slice(None),) * axis, part)
