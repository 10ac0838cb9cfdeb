"""Cells that a wall cuts aslant, as round glass does, most rocks, or a pane that does not stand along them."""

import numpy as np
from scipy.ndimage import correlate1d

from flowviz.grid.grid import Grid
from flowviz.grid.joining import Faces

EVEN = 0.999  # of the box that is open in a cell with straight walls, or solid in it, at least
MANY = 9  # of 27 cells, cut aslant: as many as a plane is among; where cells bevel the edge of a block, fewer


def aslant(volume: np.ndarray, shares: Faces) -> np.ndarray:
    """Whether cells are cut by a wall that is not along them (nx, ny, nz) bool.

    volume    open shares of the cells (nx, ny, nz)

    Straight walls leave a box open, or one solid, where the edge of a block lies within the cell. The volume of a box
    is the root of the product of its three sides. None of the open one's is smaller than its volume; ends too small to
    be left open are taken for that.
    """
    ends = _ends(shares)
    opened, solid = np.maximum(ends.max(axis=1), volume), 1 - ends.min(axis=1)
    uneven = (volume < EVEN * _box(opened)) & (1 - volume < EVEN * _box(solid))
    return uneven & (_around(uneven) >= MANY)


def cut_aslant(grid: Grid) -> np.ndarray:
    """The water cells that are (nx, ny, nz) bool."""
    return grid.water & aslant(grid.open_volume, (grid.open_x, grid.open_y, grid.open_z))


def unshut(shares: Faces) -> np.ndarray:
    """Whether a cell has any open face (nx, ny, nz) bool."""
    return (_ends(shares) > 0).any(axis=(0, 1))


def _ends(shares: Faces) -> np.ndarray:
    """Open shares of the low and the high ends of all cells across x, y and z (3, 2, nx, ny, nz)."""
    lines = [np.moveaxis(share, axis, 0) for axis, share in enumerate(shares)]
    return np.array([[np.moveaxis(part, 0, axis) for part in (line[:-1], line[1:])] for axis, line in enumerate(lines)])


def _around(cells: np.ndarray) -> np.ndarray:
    """How many of them are among each and the 26 round it (nx, ny, nz); they go on beyond the box."""
    count = cells.astype(np.uint8)
    for axis in range(3):
        count = correlate1d(count, np.ones(3), axis, mode="nearest")
    return count


def _box(sides: np.ndarray) -> np.ndarray:
    """Volumes (...) of boxes with such sides (3, ...) across x, y and z."""
    return np.sqrt(sides.prod(axis=0))
