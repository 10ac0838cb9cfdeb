"""Makes a velocity free of divergence: the pressure that takes away what each cell lacks or has too much.

    Σ t (φ - φ_next) = source - Σ open A u,    u ← u - ∂φ/∂x,    t = open A / h

summed over the six faces of a cell; φ is the pressure over density times the time step [m²/s]. Nothing passes a closed
face, so φ is known up to a constant and the sources must sum to zero.

Solved by conjugate gradients (flexible: Y. Notay, SIAM J. Sci. Comput. 22 (2000) 1444-1460) on the black cells alone,
the red being eliminated exactly, with one multigrid V-cycle as the preconditioner.
"""

from collections.abc import Mapping

import numpy as np

from flowviz.errors import ConvergenceError
from flowviz.flow.pressure import kernels
from flowviz.flow.pressure.multigrid import build_hierarchy
from flowviz.grid.grid import Grid

ROUNDS = 8  # corrections of the velocity, each solved as far as single precision reaches
ITERATIONS = 60  # within one round


class Projection:
    """The projection of one grid: set up once, then used for every time step."""

    def __init__(self, grid: Grid) -> None:
        self._grid = grid
        self._levels = build_hierarchy(grid)
        self._place = self._levels.places[0]
        size = self._levels.scale.shape[1]
        self._b, self._x = np.zeros((2, size), np.float32), np.zeros((2, size), np.float32)
        first_size = self._place[8]
        self._phi, self._step, self._lack = (np.zeros((2, first_size), np.float32) for _ in range(3))
        self._search, self._sent = (np.zeros(first_size, np.float32) for _ in range(2))
        self._face = grid.cell_volume ** (2 / 3)
        self._cells = int(grid.water.sum())

    @property
    def pressure(self) -> np.ndarray:
        """Of the last call, over density and times the time step (nx, ny, nz) [m²/s]; 0 where there is no water."""
        first, _, row, plane, nx, ny, nz = self._place[:7]
        i, j, k = np.ogrid[:nx, :ny, :nz]
        n = 2 * first + i * plane + j * row + k
        phi = self._phi[n & 1, n >> 1]
        water = self._grid.water
        return np.where(water, phi - phi[water].mean(dtype=np.float64), 0).astype(np.float32)

    def project(self, u: np.ndarray, v: np.ndarray, w: np.ndarray, source: np.ndarray, tolerance: float) -> float:
        """Correct a velocity in place, and say what divergence is left: the largest |∇·u| h/U [-].

        u, v, w      on the faces, float32 [m/s]; closed faces are left as they are
        source       what enters in each cell, float64 [m³/s]; sums to zero
        tolerance    of the answer; U is the fastest face, or a cell's source through one face where that is more
        """
        total, worst, scale = self._correct(self._phi, source, u, v, w)
        for _ in range(ROUNDS):
            if worst <= tolerance * scale:
                return worst / scale if scale else 0.0
            self._solve(total / self._cells, 0.5 * tolerance * scale)
            self._phi += self._step
            total, worst, scale = self._correct(self._step, source, u, v, w)
        raise ConvergenceError(
            "pressure",
            f"the divergence stays at {worst / scale:.1e} U/h after {ROUNDS} corrections, {tolerance:.1e} was asked",
            "Check that the flows of the openings sum to zero, or ask for less.",
        )

    def _correct(self, phi, source, u, v, w) -> tuple[float, float, float]:
        """Take ∇phi from the velocity; total and worst of what cells lack, and what a face carries at most [m³/s]."""
        grid = self._grid
        worst, total, fastest = kernels.correct(
            phi, grid.open_x, grid.open_y, grid.open_z, self._place, grid.spacing, source, u, v, w, self._lack
        )
        return total, worst, max(fastest * self._face, np.abs(source).max())

    def _solve(self, mean: float, target: float) -> None:
        """Leave in _step the φ that mends _lack, to a largest residual of target [m³/s]."""
        levels, place = self._levels, self._place
        inside = slice(place[0], place[0] + place[1])
        t, scale, size = levels.t[:, :, : place[8]], levels.scale[:, : place[8]], place[8]
        b, x, step = self._b[:, :size], self._x[:, :size], self._step
        self._lack -= np.float32(mean)
        step[:] = 0
        step[0] = scale[0] * self._lack[0]
        kernels.pull(1, place, t, step, levels.drawn)
        b[0] = 0
        b[1] = (self._lack[1] + levels.drawn) * (scale[1] > 0)
        step[0] = 0
        search, sent = self._search, self._sent
        energy = 0.0
        for _ in range(ITERATIONS):
            if np.abs(b[1]).max() <= target:
                break
            kernels.cycle(
                levels.places,
                levels.leans,
                levels.t,
                levels.scale,
                levels.lean,
                levels.plain,
                levels.drawn,
                self._b,
                self._x,
            )
            kernels.pull(1, place, t, x, levels.drawn)
            az = np.where(scale[1] > 0, x[1] / np.where(scale[1] > 0, scale[1], 1), 0) - levels.drawn * (scale[1] > 0)
            gain, across, own = float(np.dot(b[1], x[1])), float(np.dot(x[1], sent)), float(np.dot(x[1], az))
            beta = -across / energy if energy else 0.0
            search[:] = x[1] + np.float32(beta) * search
            sent[:] = az + np.float32(beta) * sent
            energy = float(np.dot(search, sent))
            alpha = np.float32(gain / energy)
            step[1] += alpha * search
            b[1] -= alpha * sent
        b[0] = self._lack[0]
        kernels.relax(0, place, t, scale, b, step)


def potential_flow(
    grid: Grid, rates: Mapping[str, float], tolerance: float = 1e-5
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Velocity u, v, w of the flow without vorticity that the openings drive [m/s].

    rates    into the tank, by opening [m³/s]: positive at outlets, negative at intakes
    """
    u, v, w = (np.zeros(opened.shape, np.float32) for opened in (grid.open_x, grid.open_y, grid.open_z))
    Projection(grid).project(u, v, w, grid.source(rates), tolerance)
    return u, v, w
