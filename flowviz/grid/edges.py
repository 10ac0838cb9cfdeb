"""Sharp edges of what stands in the water, found by the directions in which walls face.

Two walls that stand close to each other and face apart have an edge between them, or something small or thin. Where
they face each other instead, as rock and the sand that it stands on, or two rocks across a gap, the water has a corner.
"""

from collections.abc import Iterator
from itertools import product

import numpy as np
from scipy.ndimage import maximum_filter

from flowviz.grid.grid import Faces

APART = 0.49  # cosine of the angle between walls beside an edge, at most: 61 degrees, as on rock of less than 119
NEAR = 5  # of such walls, their distance squared, at most [cells²]
LEAST = 0.2  # area of a wall in a cell that tells how it faces [areas of a face]; shares are cut off below 0.05
TURNED = 0.1  # by which walls that face apart gain on each other along the way between them, at least [-]


def beside_edges(volume: np.ndarray, shares: Faces) -> np.ndarray:
    """Whether cells are within about a cell of a sharp edge, or of something small or thin (nx, ny, nz) bool.

    volume    open shares of the cells (nx, ny, nz)

    Edges of up to 115 degrees are found, but for steps of a cell or less, and none of 125 or more. Balls across seven
    cells and columns across six are not sharp; what is smaller is by how it lies, and below four cells all of it.
    """
    cells, facing = _walls(volume, shares)
    number = np.full(tuple(n + 4 for n in volume.shape), -1, np.int32)
    number[tuple(cells.T + 2)] = np.arange(len(cells), dtype=np.int32)
    sharp = np.zeros(volume.shape, bool)
    for way in _ways():
        other = number[tuple((cells + way).T + 2)]
        one = np.flatnonzero(other >= 0)
        other = other[one]
        apart = (facing[one] * facing[other]).sum(axis=1) < APART
        apart &= (facing[other] - facing[one]) @ way > TURNED
        both = cells[one[apart]] + cells[other[apart]]
        for rounding in product((0, 1), repeat=3):
            sharp[tuple(((both + rounding) // 2).T)] = True
    return maximum_filter(sharp, 3)


def ends(shares: Faces) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    """Open shares of the low and of the high ends of all cells (nx, ny, nz), across x, y and z."""
    for axis, share in enumerate(shares):
        line = np.moveaxis(share, axis, 0)
        yield np.moveaxis(line[:-1], 0, axis), np.moveaxis(line[1:], 0, axis)


def _walls(volume: np.ndarray, shares: Faces) -> tuple[np.ndarray, np.ndarray]:
    """The cells (n, 3) that have a wall in them, and the unit vectors (n, 3) into the water that it faces along.

    What is open of a cell's face more than of the one opposite is the area of the wall in it along that axis. Beside
    the box, where rock and glass meet in a cell and face one way together, none is told.
    """
    area = np.stack([high - low for low, high in ends(_standing(volume, shares))], axis=-1)
    size = np.sqrt((area**2).sum(axis=-1))
    told = (volume > 0) & (size > LEAST)
    told[[0, -1]], told[:, [0, -1]] = False, False
    cells = np.argwhere(told)
    at = tuple(cells.T)
    return cells, area[at] / size[at][:, None]


def _standing(volume: np.ndarray, shares: Faces) -> Faces:
    """The shares as if there were no sand and no surface: what stands there goes on.

    Walls may lie on faces between cells, which are open by themselves: beside a cell without water they are shut.
    """
    across_x, across_y, across_z = (_shut(volume, share, axis) for axis, share in enumerate(shares))
    bed = int(volume.any(axis=(0, 1)).argmax())
    deep = volume[:, :, bed].max()  # of the cells, above the sand
    across_z[:, :, bed] = _beyond(volume[:, :, bed] / deep, across_z[:, :, bed + 1])
    across_z[:, :, -1] = _beyond(volume[:, :, -1], across_z[:, :, -2])
    return across_x, across_y, across_z


def _shut(volume: np.ndarray, share: np.ndarray, axis: int) -> np.ndarray:
    """Open shares of the faces across an axis, none beside a cell without water."""
    cells, faces = np.moveaxis(volume, axis, 0), np.moveaxis(share.copy(), axis, 0)
    faces[1:-1][(cells[1:] == 0) | (cells[:-1] == 0)] = 0
    return np.moveaxis(faces, 0, axis)


def _beyond(volume: np.ndarray, share: np.ndarray) -> np.ndarray:
    """Open share of the far ends of cells, by that of the near ones and the volume, in a straight line."""
    return np.clip(2 * volume - share, 0, 1)


def _ways() -> Iterator[np.ndarray]:
    """From a cell to those near it, one of each two that are opposite (3,)."""
    for way in product(range(-2, 3), repeat=3):
        if way > (0, 0, 0) and sum(step**2 for step in way) <= NEAR:
            yield np.array(way)
