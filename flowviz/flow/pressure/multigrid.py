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

from flowviz.flow.pressure import kernels
from flowviz.grid.grid import Grid


@dataclass(frozen=True, slots=True, eq=False)
class Hierarchy:
    """All levels, one after the other in common arrays; `places` and `leans` say where."""

    places: (
        np.ndarray
    )  # (levels, 9) int64: first, count, row, plane, nx, ny, nz; start and size in the arrays by colour
    leans: np.ndarray  # (levels,) int64: start in the arrays that are not by colour
    t: np.ndarray  # (2, 3, size) float32, area over distance of lower faces, times their open share [m]
    scale: np.ndarray  # (2, size) float32, one over the sum of a cell's six t; 0 where there is none
    lean: np.ndarray  # a quarter of the open share of lower faces
    plain: np.ndarray  # room for one answer, not by colour
    drawn: np.ndarray  # room for one colour of the first level


def place_levels(shape: tuple[int, int, int]) -> np.ndarray:
    """Where the cells of each level stand, (levels, 9)."""
    places, start = [], 0
    while True:
        nx, ny, nz = shape
        row = (nz + 1) | 1
        plane = row * ((ny + 1) | 1)
        first, count = (plane + 1) // 2, (nx * plane + 1) // 2
        size = 2 * first + count + 1
        places.append((first, count, row, plane, nx, ny, nz, start, size))
        start += size
        if shape == (1, 1, 1):
            return np.array(places, np.int64)
        shape = tuple((n + 1) // 2 for n in shape)


def full_faces(places: np.ndarray, spacing: tuple[float, float, float]) -> np.ndarray:
    """What a wholly open face across x, y, z lets through on each level, (levels, 3) [m]."""
    hx, hy, hz = spacing
    fulls = [(hy * hz / hx, hx * hz / hy, hx * hy / hz)]
    for shape in places[:-1, 4:7]:
        nx, ny, nz = (2 if n > 1 else 1 for n in shape)
        x, y, z = fulls[-1]
        fulls.append((x * ny * nz / 2, y * nx * nz / 2, z * nx * ny / 2))
    return np.array(fulls, np.float32)


def build_hierarchy(grid: Grid) -> Hierarchy:
    """All levels of a grid."""
    places = place_levels(grid.shape)
    fulls = full_faces(places, grid.spacing)
    rooms = np.prod(places[:, 4:7] + 2, axis=1)
    rooms[0] = 0
    leans = np.concatenate(([0], np.cumsum(rooms)[:-1]))
    size = places[-1, 7] + places[-1, 8]
    t, scale = np.zeros((2, 3, size), np.float32), np.zeros((2, size), np.float32)
    lean, plain = np.zeros(3 * rooms.sum(), np.float32), np.zeros(rooms.sum(), np.float32)
    drawn = np.zeros(places[0, 8], np.float32)
    kernels.lay_out(grid.open_x, grid.open_y, grid.open_z, places[0], fulls[0], t)
    kernels.build(places, leans, fulls, t, scale, lean)
    return Hierarchy(places, leans, t, scale, lean, plain, drawn)
