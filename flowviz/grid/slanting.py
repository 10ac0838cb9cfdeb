"""Cells that a wall cuts aslant, as round glass does, most rocks, or a pane that does not stand along them."""

from collections.abc import Iterator

import numpy as np
from scipy.ndimage import correlate1d, maximum_filter

from flowviz.grid.grid import Grid, Kind
from flowviz.grid.joining import Faces

EVEN = 0.999  # of the box that is open in a cell with straight walls, or solid in it, at least
MANY = 9  # of 27 cells, cut aslant: as many as a plane is among; where cells bevel the edge of a block, fewer
BLUNT = 0.15  # less solid in 125 cells than round a plane, at most [-]: 0.25 on the edge of a block, 0.15 a cell off it
SIDES = (2, 2), (2, 2), (0, 0)  # of the box, beyond which that many cells are known to be as the last, or glass
WALL = 0.1  # least solid share of a cell that tells where the wall is in it


def aslant(volume: np.ndarray, shares: Faces, glass: np.ndarray) -> np.ndarray:
    """Whether cells are cut by a wall that is not along them, nor has an edge near them (nx, ny, nz) bool.

    volume    open shares of the cells (nx, ny, nz)
    glass     whether it is glass that would cut them (nx, ny, nz)

    Straight walls leave a box open, or one solid, where the edge of a block lies within the cell. The volume of a box
    is the root of the product of its three sides. None of the open one's is smaller than its volume; ends too small to
    be left open are taken for that.
    """
    opened, solid = np.ones_like(volume), np.ones_like(volume)
    for low, high in _ends(shares):
        opened *= np.maximum(np.maximum(low, high), volume)
        solid *= 1 - np.minimum(low, high)
    uneven = (volume < EVEN * np.sqrt(opened)) & (1 - volume < EVEN * np.sqrt(solid))
    return uneven & (_around(uneven, 3) >= MANY) & ~maximum_filter(_sharp(1 - volume, glass), 3)


def _sharp(solid: np.ndarray, glass: np.ndarray) -> np.ndarray:
    """Whether cells are on an edge, or on something small or thin, by their solid share (nx, ny, nz) bool.

    Of the 125 cells round one, a plane leaves solid what it leaves of that one, but five times nearer to a half. Balls
    across ten cells are blunt, columns across five, and edges of 110 degrees or more; so is what would be sharp, where
    sand or other rock lies within two cells of it. Walls go on beyond the box, and
    where glass reaches its sides there is only glass.
    """
    beyond = np.pad(np.zeros(solid.shape, bool), SIDES, constant_values=True)
    known = np.where(beyond & np.pad(glass & (solid > 0), SIDES, "edge"), 1.0, np.pad(solid, SIDES, "edge"))
    plane = 0.5 + (solid - 0.5) / 5
    return (solid > WALL) & (_around(known, 5)[2:-2, 2:-2] / 5**3 < plane - BLUNT)


def cut_aslant(grid: Grid) -> np.ndarray:
    """The water cells that are (nx, ny, nz) bool."""
    ground = maximum_filter(np.isin(grid.kind, (Kind.ROCK, Kind.SAND)), 3)
    return grid.water & aslant(grid.open_volume, (grid.open_x, grid.open_y, grid.open_z), ~ground)


def unshut(shares: Faces) -> np.ndarray:
    """Whether a cell has any open face (nx, ny, nz) bool."""
    return np.logical_or.reduce([end > 0 for ends in _ends(shares) for end in ends])


def _ends(shares: Faces) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    """Open shares of the low and of the high ends of all cells (nx, ny, nz), across x, y and z."""
    for axis, share in enumerate(shares):
        line = np.moveaxis(share, axis, 0)
        yield np.moveaxis(line[:-1], 0, axis), np.moveaxis(line[1:], 0, axis)


def _around(cells: np.ndarray, size: int) -> np.ndarray:
    """Their sum over a cube so many cells wide round each (nx, ny, nz); they go on beyond the box."""
    total = cells.astype(float)
    for axis in range(3):
        total = correlate1d(total, np.ones(size), axis, mode="nearest")
    return total
