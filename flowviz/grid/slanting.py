"""Cells that a wall cuts aslant, as round glass does, or a pane that does not stand along them."""

import numpy as np
from scipy.ndimage import maximum_filter

from flowviz.grid.grid import Grid, Kind

STRAIGHT, EVEN = 0.95, 0.999  # of the box that a cell with straight walls is open in, at least: of any wall, of glass
SIDES = (1, 1), (1, 1), (0, 0)  # beyond the box of cells is glass all round, not below and above

Ends = tuple[tuple[np.ndarray, np.ndarray], ...]  # open shares of the low and the high ends of cells, axis by axis [-]


def ends(shares: tuple[np.ndarray, np.ndarray, np.ndarray]) -> Ends:
    """Open shares of the ends of all cells of a grid, from those of its faces across x, y and z."""
    lines = [np.moveaxis(share, axis, 0) for axis, share in enumerate(shares)]
    return tuple(tuple(np.moveaxis(part, 0, axis) for part in (line[:-1], line[1:])) for axis, line in enumerate(lines))


def aslant(volume: np.ndarray, opened: Ends, least: float = STRAIGHT) -> np.ndarray:
    """Whether cells are cut by a wall that is not along them, bool.

    least    share of the box below, from which on they are taken as straight

    What is open of a cell with straight walls is a box, whose volume is the root of the product of its three sides;
    none of them is smaller, but for those too small to be left open.
    """
    box = np.sqrt(np.prod([np.maximum(np.maximum(*both), volume) for both in opened], axis=0))
    return volume < least * box


def cut_by_glass(grid: Grid) -> np.ndarray:
    """The water cells that glass, with neither rock nor sand beside it, cuts aslant (nx, ny, nz) bool."""
    outside = grid.kind == Kind.OUTSIDE
    if not outside.any():
        return outside
    glass = maximum_filter(np.pad(outside, SIDES, constant_values=True), 3)[1:-1, 1:-1]
    ground = maximum_filter(np.isin(grid.kind, (Kind.ROCK, Kind.SAND)), 3)
    return grid.water & glass & ~ground & aslant(grid.open_volume, ends((grid.open_x, grid.open_y, grid.open_z)), EVEN)
