"""What the mean flow and its eddies carry from cell to cell in the long run: ages, and shares of one water in another.

    Σ take (c - c_beside) + (enters + fades) c = made

in every cell, take being the flow [m³/s] that comes from the cell beside it. What enters brings c = 0. Written with
differences, so that what little a cell's flows lack to balance cannot be taken for water that appears or vanishes.
"""

from dataclasses import dataclass
from math import cbrt, ceil, prod

import numpy as np
from scipy.ndimage import distance_transform_edt
from scipy.sparse import coo_array, csc_array
from scipy.sparse.linalg import LinearOperator, bicgstab, splu

from flowviz.errors import ConvergenceError
from flowviz.flow.field import Field
from flowviz.flow.transporting.kernels import WAYS, balance, diffusivities, sweep
from flowviz.grid.grid import Grid

BLOCK = 4  # cells to the side of a block, at least
SOLID = 1e-6  # of the largest flow through a cell, given to cells without water so that blocks hardly feel them
MOST_BLOCKS = 6000  # what a direct solution is still quick for
TOLERANCE = 1e-6  # of what all cells lack together
ITERATIONS = 100
STARTS = 4  # the method can break down and then goes on from where it was


@dataclass(frozen=True, slots=True, eq=False)
class Exchange:
    """What each cell takes from those beside it."""

    take: np.ndarray  # (nx, ny, nz, 6) from the lower and higher cell along x, y and z, each at least 0 [m³/s]
    water: np.ndarray  # (nx, ny, nz) bool


def eddy_diffusivity(grid: Grid, field: Field) -> np.ndarray:
    """By which eddies spread what the water carries (nx, ny, nz) [m²/s]; 0 outside it.

    By formulas/mixing.py, with walls and surface alike and a layer of half the tank's smallest extent along each.
    """
    distance = distance_transform_edt(np.pad(grid.water, 1), sampling=grid.spacing)[1:-1, 1:-1, 1:-1]
    to_wall = distance[grid.water] - min(grid.spacing) / 2
    spread, found = np.zeros(grid.shape), np.empty(to_wall.size)
    diffusivities(field.fluctuation[grid.water].astype(np.float64), to_wall, extent(grid) / 2, found)
    spread[grid.water] = found
    return spread


def extent(grid: Grid) -> float:
    """Smallest extent of the tank [m]."""
    return float(min(np.multiply(grid.shape, grid.spacing)))


def with_the_flow(grid: Grid, field: Field, diffusivity: np.ndarray) -> Exchange:
    """What water brings along from where it was."""
    return _exchange(grid, (field.u, field.v, field.w), 1.0, diffusivity)


def against_the_flow(grid: Grid, field: Field, diffusivity: np.ndarray) -> Exchange:
    """What is known of water from where it will be."""
    return _exchange(grid, (field.u, field.v, field.w), -1.0, diffusivity)


def _exchange(grid: Grid, velocity: tuple[np.ndarray, ...], way: float, diffusivity: np.ndarray) -> Exchange:
    """By the hybrid scheme: central differences where eddies or molecules smooth them, upwind elsewhere.

    S. V. Patankar, Numerical Heat Transfer and Fluid Flow (1980), section 5.2-4.
    """
    take = np.zeros((*grid.shape, 6))
    for axis, (speed, share) in enumerate(zip(velocity, (grid.open_x, grid.open_y, grid.open_z), strict=True)):
        inner, low, high = (_along(axis, part) for part in (slice(1, -1), slice(None, -1), slice(1, None)))
        area = share[inner].astype(np.float64) * grid.cell_volume / grid.spacing[axis]
        flux = way * speed[inner] * area
        mixed = (diffusivity[low] + diffusivity[high]) / 2 * area / grid.spacing[axis]
        take[high][..., 2 * axis] = np.maximum(np.maximum(flux, mixed + flux / 2), 0)
        take[low][..., 2 * axis + 1] = np.maximum(np.maximum(-flux, mixed - flux / 2), 0)
    return Exchange(take, grid.water)


def steady(exchange: Exchange, enters: np.ndarray, fades: np.ndarray, made: np.ndarray, guess: float) -> np.ndarray:
    """What c comes to in every cell (nx, ny, nz), 0 outside the water.

    enters  flow into each cell from without, in which c is 0 [m³/s]
    fades   how fast c decays in each cell: its volume over its time [m³/s]
    made    how fast c is made in each cell, times its volume
    guess   about what c comes to on average

    By stabilised bi-conjugate gradients (H. A. van der Vorst, SIAM J. Sci. Stat. Comput. 13 (1992) 631-644).
    """
    balances = Balances(exchange, enters + fades)
    made, c = (np.where(exchange.water, values, 0.0).ravel() for values in (made, guess))
    system, smoother = (
        LinearOperator((made.size,) * 2, act, dtype=np.float64) for act in (balances.lack, balances.smooth)
    )
    for _ in range(STARTS):
        c, stopped = bicgstab(system, made, c, rtol=TOLERANCE, maxiter=ITERATIONS, M=smoother)
        if not stopped:
            return c.reshape(exchange.water.shape)
    fault = f"what the water carries did not settle in {STARTS * ITERATIONS} iterations"
    raise ConvergenceError("transport", fault, "Use a finer detail or larger cells")


class Balances:
    """The balances of all cells, as the iteration wants them: a product, and a rough solution.

    The rough one takes blocks of cells as one well-mixed cell each, solves those directly and sweeps through the cells.
    """

    def __init__(self, exchange: Exchange, lost: np.ndarray) -> None:
        self._take, self._shape = exchange.take, exchange.water.shape
        given = exchange.take.sum(axis=-1) + lost
        self._weight = np.where(exchange.water, given, SOLID * given.max())
        self._framed, self._left = np.zeros(np.add(self._shape, 2)), np.empty(self._shape)
        side = max(BLOCK, ceil(cbrt(prod(self._shape) / MOST_BLOCKS)))
        counts = [-(-n // side) for n in self._shape]
        self._block = np.ravel_multi_index(np.ix_(*(np.arange(n) // side for n in self._shape)), counts)
        self._count = prod(counts)
        self._factors = splu(self._of_blocks())

    @property
    def _c(self) -> np.ndarray:
        return self._framed[1:-1, 1:-1, 1:-1]

    def lack(self, c: np.ndarray) -> np.ndarray:
        """What each cell gives away less what it takes."""
        self._c[:] = c.reshape(self._shape)
        balance(self._take, self._weight, self._framed, self._left)
        return self._left.ravel().copy()

    def smooth(self, lack: np.ndarray) -> np.ndarray:
        """About the c that makes up for what cells lack."""
        together = np.bincount(self._block.ravel(), lack, self._count)
        self._c[:] = self._factors.solve(together)[self._block]
        for way in WAYS:
            sweep(self._take, self._weight, lack.reshape(self._shape), way, self._framed)
        return self._c.ravel()

    def _of_blocks(self) -> csc_array:
        """The balances of blocks."""
        block = self._block
        rows, columns, values = [block.ravel()], [block.ravel()], [self._weight.ravel()]
        for axis in range(3):
            low, high = _along(axis, slice(None, -1)), _along(axis, slice(1, None))
            rows += [block[high].ravel(), block[low].ravel()]
            columns += [block[low].ravel(), block[high].ravel()]
            values += [-self._take[high][..., 2 * axis].ravel(), -self._take[low][..., 2 * axis + 1].ravel()]
        entries = np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))
        return coo_array(entries, shape=(self._count,) * 2).tocsc()


def _along(axis: int, part: slice) -> tuple[slice, ...]:
    """An index that takes a part of one axis and all of the others."""
    return (*(slice(None),) * axis, part)
