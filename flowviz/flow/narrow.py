"""Jets that are narrower than a few cells: the cells carry them, but not the eddies that spread them."""

import numpy as np

from flowviz.grid.grid import Grid, Patch

NARROW = 4.0  # cells
TOLD, STREAM = 1.75, 6.0  # cells across holes of which the cells tell the edge from the middle, and across streams
NEAR, FAR = 8.0, 16.0  # cells from the outlet: nearer than the first a jet is too thin for them, beyond the second not


def narrow(grid: Grid) -> list[Patch]:
    """Outlets less than a few cells wide."""
    return [patch for patch in grid.patches if patch.inflow and min(patch.extent) < NARROW * max(grid.spacing)]


def nearness(grid: Grid) -> np.ndarray:
    """1 near narrow outlets, falling to 0 (nx, ny, nz) float32."""
    near = np.zeros(grid.shape, np.float32)
    for patch in narrow(grid):
        low = np.maximum((patch.cells.min(axis=0) - FAR).astype(int), 0)
        high = np.minimum((patch.cells.max(axis=0) + FAR + 1).astype(int), grid.shape)
        axes = [np.arange(first, last) for first, last in zip(low, high, strict=True)]
        away = [
            np.maximum(np.maximum(patch.cells[:, a].min() - axis, axis - patch.cells[:, a].max()), 0)
            for a, axis in enumerate(axes)
        ]
        x, y, z = np.meshgrid(*away, indexing="ij", sparse=True)
        fall = (FAR - np.sqrt(x**2 + y**2 + z**2)) / (FAR - NEAR)
        box = tuple(slice(first, last) for first, last in zip(low, high, strict=True))
        near[box] = np.maximum(near[box], np.clip(fall, 0, 1))
    return near


def told(grid: Grid, patch: Patch) -> bool:
    """Whether an outlet is a hole, no slot, of a few cells, which tell its edge from its middle."""
    cell, least, most = max(grid.spacing), min(patch.extent), max(patch.extent)
    return TOLD * cell <= least and most < min(2 * least, STREAM * cell)


def crossing(grid: Grid, patch: Patch, rate: float) -> float:
    """How many cells an outlet's jet crosses in a second, once it fills a face of each of its cells [1/s]."""
    h = grid.cell_volume ** (1 / 3)
    momentum = rate**2 / patch.area * patch.share.max()
    return min(rate / patch.area, momentum**0.5 / h) / h
