"""Cells that a wall cuts aslant, as round glass does, or a pane that does not stand along them."""

import numpy as np
from scipy.ndimage import maximum_filter

from flowviz.grid.grid import Grid, Kind

STRAIGHT, EVEN = 0.95, 0.999  # of the box that a cell with straight walls is open in, at least: of any wall, of glass
SIDES = (1, 1), (1, 1), (0, 0)  # beyond the box of cells is glass all round, not below and above

Shares = tuple[np.ndarray, np.ndarray, np.ndarray]  # open ones of the faces across x, y and z [-]


def aslant(volume: np.ndarray, opened: np.ndarray, least: float = STRAIGHT) -> np.ndarray:
    """Whether cells are cut by a wall that is not along them (...) bool.

    opened    shares of their two ends along each axis (3, 2, ...)
    least     share of the box below, from which on they are taken as straight

    What is open of a cell with straight walls is a box, whose volume is the root of the product of its three sides.
    """
    return volume < least * np.sqrt(opened.max(axis=1).prod(axis=0))


def aslant_to_glass(volume: np.ndarray, shares: Shares) -> np.ndarray:
    """The same of all cells of a grid (nx, ny, nz), for walls as even as glass.

    No side of a cell's box is smaller than its volume; ends too small to be left open are taken for that.
    """
    lines = [np.moveaxis(share, axis, 0) for axis, share in enumerate(shares)]
    opened = [[np.moveaxis(part, 0, axis) for part in (line[:-1], line[1:])] for axis, line in enumerate(lines)]
    return aslant(volume, np.maximum(opened, volume), EVEN)


def cut_by_glass(grid: Grid) -> np.ndarray:
    """The water cells that glass, with neither rock nor sand beside it, cuts aslant (nx, ny, nz) bool."""
    outside = grid.kind == Kind.OUTSIDE
    if not outside.any():
        return outside
    glass = maximum_filter(np.pad(outside, SIDES, constant_values=True), 3)[1:-1, 1:-1]
    ground = maximum_filter(np.isin(grid.kind, (Kind.ROCK, Kind.SAND)), 3)
    return grid.water & glass & ~ground & aslant_to_glass(grid.open_volume, (grid.open_x, grid.open_y, grid.open_z))
