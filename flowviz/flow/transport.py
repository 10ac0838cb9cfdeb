"""What the mean flow and its eddies carry from cell to cell in the long run: ages, and shares of one water in another.

    Σ take (c - c_beside) + (enters + fades) c = made

in every cell, take being the flow [m³/s] that comes from the cell beside it. What enters brings c = 0. Written with
differences, so that what little a cell's flows lack to balance cannot be taken for water that appears or vanishes.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import cbrt, ceil, prod

import numpy as np
from scipy.ndimage import distance_transform_edt
from scipy.sparse import coo_array, csc_array
from scipy.sparse.linalg import splu

from flowviz.errors import ConvergenceError
from flowviz.flow.field import Field
from flowviz.flow.transporting.kernels import WAYS, balance, diffusivities, sweep
from flowviz.grid.grid import Grid

BLOCK = 4  # cells to the side of a block, at least
MOST_BLOCKS = 8000  # what a direct solution is still quick for
SOLID = 1e-6  # of the largest flow through a cell, given to cells without water so that blocks hardly feel them
OVER = 1.3  # over-relaxation of the blocks' part, which one value for a whole block makes too small: found by trial
TOLERANCE = 1e-6  # of what all cells lack together
ROUNDS = 2000


@dataclass(frozen=True, slots=True, eq=False)
class Exchange:
    """What each cell takes from those beside it."""

    take: np.ndarray  # (nx, ny, nz, 6) from the lower and higher cell along x, y and z, each at least 0 [m³/s]
    water: np.ndarray  # (nx, ny, nz) bool

    def turn_round(self) -> None:
        """Let each cell take what it gave: the same water on its way back."""
        for axis in range(3):
            high, low = _along(axis, slice(1, None)), _along(axis, slice(None, -1))
            up, down = self.take[high][..., 2 * axis], self.take[low][..., 2 * axis + 1]
            up[:], down[:] = down.copy(), up.copy()


def eddy_diffusivity(grid: Grid, field: Field) -> np.ndarray:
    """By which eddies spread what the water carries (nx, ny, nz) float32 [m²/s]; 0 outside it.

    By formulas/mixing.py, with walls and surface alike and a layer of half the tank's smallest extent along each.
    """
    distance = distance_transform_edt(np.pad(grid.water, 1), sampling=grid.spacing)[1:-1, 1:-1, 1:-1]
    to_wall = distance[grid.water] - min(grid.spacing) / 2
    spread, found = np.zeros(grid.shape, np.float32), np.empty(to_wall.size)
    diffusivities(field.fluctuation[grid.water].astype(np.float64), to_wall, extent(grid) / 2, found)
    spread[grid.water] = found
    return spread


def extent(grid: Grid) -> float:
    """Smallest extent of the tank [m]."""
    return float(min(np.multiply(grid.shape, grid.spacing)))


def exchange_by(grid: Grid, field: Field, diffusivity: np.ndarray) -> Exchange:
    """What water and its eddies bring to each cell.

    By the hybrid scheme: central differences where eddies or molecules smooth them, upwind elsewhere: S. V. Patankar,
    Numerical Heat Transfer and Fluid Flow (1980), section 5.2-4.
    """
    take = np.zeros((*grid.shape, 6))
    faces = zip((field.u, field.v, field.w), grid.shares, grid.spacing, strict=True)
    for axis, (speed, share, h) in enumerate(faces):
        inner, low, high = (_along(axis, part) for part in (slice(1, -1), slice(None, -1), slice(1, None)))
        area = share[inner] * np.float32(grid.cell_volume / h)
        mixed = (diffusivity[low] + diffusivity[high]) * area / np.float32(2 * h)
        flux = area * speed[inner]
        for way, here, side in ((1, high, 2 * axis), (-1, low, 2 * axis + 1)):
            taken = take[here][..., side]
            np.add(mixed, way / 2 * flux, dtype=np.float64, out=taken)
            np.maximum(taken, way * flux, out=taken)
            np.maximum(taken, 0, out=taken)
    return Exchange(take, grid.water)


class Balances:
    """The balances of all cells, and how they are solved.

    By turns blocks of cells are mended, each as one well-mixed cell, all at once, and the cells one after the other.
    """

    def __init__(self, exchange: Exchange, lost: np.ndarray) -> None:
        """Of what water brings, and of what enters each cell from without, where c is 0, or fades there [m³/s]."""
        self._take, self._water = exchange.take, exchange.water
        self._weight = exchange.take.sum(axis=-1)
        self._weight += lost
        self._weight[~exchange.water] = SOLID * self._weight.max()
        shape = exchange.water.shape
        side = max(BLOCK, ceil(cbrt(prod(shape) / MOST_BLOCKS)))
        self._starts = [np.arange(0, n, side) for n in shape]
        self._block = np.arange(shape[0]) // side
        self._within = np.ix_(*(np.arange(n) // side for n in shape[1:]))
        self._factors = splu(self._of_blocks(), permc_spec="MMD_AT_PLUS_A")

    def steady(self, made: np.ndarray) -> np.ndarray:
        """What c comes to in every cell (nx, ny, nz), 0 outside the water.

        made    how fast c is made in each cell, times its volume, float32; 0 outside the water
        """
        framed, lack = np.zeros(np.add(made.shape, 2)), made.astype(np.float64)
        c, allowed = framed[1:-1, 1:-1, 1:-1], TOLERANCE * np.linalg.norm(lack)
        for _ in range(ROUNDS):
            self._mend_blocks(lack, c)
            for way in WAYS:
                sweep(self._take, self._weight, made, way, framed)
            balance(self._take, self._weight, framed, lack)
            np.subtract(made, lack, out=lack)
            if np.linalg.norm(lack) <= allowed:
                return c
        fault = f"what the water carries did not settle in {ROUNDS} rounds"
        raise ConvergenceError("transport", fault, "Use a finer detail or larger cells")

    def _mend_blocks(self, lack: np.ndarray, c: np.ndarray) -> None:
        """Add to c, block by block, what makes up for what they lack."""
        together = self._together(lack)
        more = OVER * self._factors.solve(together.ravel()).reshape(together.shape)
        for plane, own in zip(c, more[self._block], strict=True):
            plane += own[self._within]

    def _together(self, values: np.ndarray, axes: Iterable[int] = range(3)) -> np.ndarray:
        """Sums over the blocks along axes."""
        for axis in axes:
            values = np.add.reduceat(values, self._starts[axis], axis, np.float64)
        return values

    def _of_blocks(self) -> csc_array:
        """The balances of blocks."""
        own = self._together(self._weight)
        number, entries = np.arange(own.size).reshape(own.shape), []
        for axis in range(3):
            low, high = _along(axis, slice(None, -1)), _along(axis, slice(1, None))
            first = self._starts[axis]
            last = np.append(first[1:], self._water.shape[axis]) - 1
            for way, ends, here, there in ((0, first, high, low), (1, last, low, high)):
                take = self._take[..., 2 * axis + way]
                from_beside = self._together(np.take(take, ends, axis), {0, 1, 2} - {axis})
                own -= self._together(take) - from_beside
                entries.append((number[here], number[there], -from_beside[here]))
        entries.append((number, number, own))
        rows, columns, values = (
            np.concatenate([part.ravel() for part in parts]) for parts in zip(*entries, strict=True)
        )
        return coo_array((values, (rows, columns)), shape=(own.size,) * 2).tocsc()


def _along(axis: int, part: slice) -> tuple[slice, ...]:
    """An index that takes a part of one axis and all of the others."""
    return (*(slice(None),) * axis, part)
