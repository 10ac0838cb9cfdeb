"""The levels of the pressure solver, and how their cells are stored.

Cells of two colours, like a chessboard: a red cell touches black ones only. All of a level stands in one row of numbers

    n = i plane + j row + k,    row and plane odd, with at least one empty place after each row and each plane

so that even n are red, odd n black, and a neighbour is n ± 1, n ± row or n ± plane, whichever cell it is. Each colour
has an array of its own, in which cell n stands at first + n // 2: a sweep over a colour is one straight loop, with the
six neighbours at six constant distances in the other colour's array. Empty places have no open face.

Each level joins 2 x 2 x 2 cells of the one above (the last ones fewer, where a count is odd), down to a single cell.
"""

from dataclasses import dataclass

import numpy as np

from flowviz.flow.pressure.levels import kernels
from flowviz.grid.grid import Grid


@dataclass(frozen=True, slots=True, eq=False)
class Hierarchy:
    """All levels, one after the other in common arrays."""

    places: np.ndarray  # (levels, 9) int64: first, plane, row, nx, ny, nz; start, size of a colour; start in boxes
    t: np.ndarray  # float32 (3, cells), area over distance of lower faces across each axis, times their open share [m]
    scale: np.ndarray  # float32 (cells,), one over the sum of a cell's six t, 0 where there is none
    boxes: np.ndarray  # float32, not by colour: a quarter of the open share of lower faces; room for the answer
    b: np.ndarray  # float32 (cells,), room for what is to be solved
    x: np.ndarray  # float32 (cells,), room for the answer


def place_levels(shape: tuple[int, int, int]) -> np.ndarray:
    """Where the cells of each level stand, (levels, 9)."""
    places, start, boxes = [], 0, 0
    while True:
        nx, ny, nz = shape
        row = (nz + 1) | 1
        plane = row * ((ny + 1) | 1)
        first = (plane + 1) // 2
        size = 2 * first + (nx * plane + 1) // 2 + 1
        places.append((first, plane, row, nx, ny, nz, start, size, boxes))
        if shape == (1, 1, 1):
            return np.array(places, np.int64)
        boxes += 4 * (nx + 2) * (ny + 2) * (nz + 2) if start else 0
        start += 2 * size
        shape = tuple((n + 1) // 2 for n in shape)


def full_faces(places: np.ndarray, spacing: tuple[float, float, float]) -> np.ndarray:
    """What a wholly open face across x, y, z lets through on each level, (levels, 3) [m]."""
    hx, hy, hz = spacing
    fulls = [(hy * hz / hx, hx * hz / hy, hx * hy / hz)]
    for shape in places[:-1, 3:6]:
        nx, ny, nz = (2 if n > 1 else 1 for n in shape)
        x, y, z = fulls[-1]
        fulls.append((x * ny * nz / 2, y * nx * nz / 2, z * nx * ny / 2))
    return np.array(fulls, np.float32)


def build_hierarchy(grid: Grid) -> Hierarchy:
    """All levels of a grid."""
    places = place_levels(grid.shape)
    fulls = full_faces(places, grid.spacing)
    size, box_size = places[-1, 6] + 2 * places[-1, 7], places[-1, 8] + 4 * 27
    t, scale, boxes, b, x = rooms(3 * size, size, box_size, size, size)
    t = t.reshape(3, size)
    kernels.lay_out(grid.open_x, grid.open_y, grid.open_z, places[0], fulls[0], t)
    for n, place in enumerate(places):
        kernels.weigh(place, t, scale)
        if n > 0:
            kernels.incline(place, t, fulls[n], of_boxes(place, boxes))
        if n + 1 < len(places):
            kernels.coarsen(place, places[n + 1], t)
    return Hierarchy(places, t, scale, boxes, b, x)


def of_boxes(place: np.ndarray, flat: np.ndarray) -> np.ndarray:
    """The part of a common array that belongs to a level and one cell about it, not by colour (4, nx+2, ny+2, nz+2)."""
    shape = 4, *(place[3:6] + 2)
    return flat[place[8] :][: np.prod(shape)].reshape(shape)


def rooms(*sizes: int) -> list[np.ndarray]:
    """Float32 zeros of these sizes, cut from one block, which the system clears faster than many small ones."""
    ends = np.cumsum([-(-size // 16) * 16 for size in sizes])  # each starts on a line of the cache
    block = np.zeros(ends[-1], np.float32)
    return [block[end - -(-size // 16) * 16 :][:size] for end, size in zip(ends, sizes, strict=True)]
