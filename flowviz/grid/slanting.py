"""Cells that a wall cuts aslant, as round glass does, most rocks, or a pane that does not stand along them."""

import numpy as np
from scipy.ndimage import uniform_filter

from flowviz.grid.edges import beside_edges, ends
from flowviz.grid.grid import Faces

EVEN = 0.999  # of the box that is open in a cell with straight walls, or solid in it, at least
MANY = 9  # of 27 cells, cut aslant: as many as a plane is among; where cells bevel the edge of a block, fewer


def aslant(volume: np.ndarray, shares: Faces) -> np.ndarray:
    """Whether cells are cut by a wall that is not along them, nor has a sharp edge near them (nx, ny, nz) bool.

    volume    open shares of the cells (nx, ny, nz)

    Straight walls leave a box open, or one solid, where the edge of a block lies within the cell. The volume of a box
    is the root of the product of its three sides. None of the open one's is smaller than its volume; ends too small to
    be left open are taken for that.
    """
    opened, solid = np.ones_like(volume), np.ones_like(volume)
    for low, high in ends(shares):
        opened *= np.maximum(np.maximum(low, high), volume)
        solid *= 1 - np.minimum(low, high)
    uneven = (volume < EVEN * np.sqrt(opened)) & (1 - volume < EVEN * np.sqrt(solid))
    if not uneven.any():
        return uneven
    return uneven & (_around(uneven) >= MANY) & ~beside_edges(volume, shares)


def unshut(shares: Faces) -> np.ndarray:
    """Whether a cell has any open face (nx, ny, nz) bool."""
    return np.logical_or.reduce([end > 0 for each in ends(shares) for end in each])


def _around(cells: np.ndarray) -> np.ndarray:
    """How many of 27 are (nx, ny, nz); they go on beyond the box."""
    return np.rint(27 * uniform_filter(cells.astype(np.float32), 3, mode="nearest"))
