"""Makes a velocity free of divergence: the pressure that takes away what each cell lacks or has too much.

    Σ t (φ - φ_next) = source - Σ open A u,    u ← u - ∂φ/∂x,    t = open A / h

summed over the six faces of a cell; φ is the pressure over density times the time step [m²/s]. Nothing passes a closed
face, so φ is known up to a constant and the sources must sum to zero.

Solved by conjugate gradients (flexible: Y. Notay, SIAM J. Sci. Comput. 22 (2000) 1444-1460) on the red cells alone, the
black being eliminated exactly, with one multigrid V-cycle as the preconditioner.
"""

from collections.abc import Mapping
from math import isfinite

import numpy as np

from flowviz.errors import ConvergenceError
from flowviz.flow.pressure import kernels
from flowviz.flow.pressure.faces import kernels as faces
from flowviz.flow.pressure.multigrid import build_hierarchy, rooms
from flowviz.flow.team import Team
from flowviz.grid.grid import Grid

ROUNDS = 12  # corrections of the velocity
ITERATIONS = 12  # within one correction
REACH = 1e-4  # how far one correction can bring the lack down in single precision
HEADROOM = 0.7  # of the tolerance, for what rounding adds when the velocity is corrected
ROUNDING = 1e-6  # what a cell may lack of the most that a face carries, and nothing be done: some three last bits


class Projection:
    """The projection of one grid: set up once, then used for every time step."""

    def __init__(self, grid: Grid) -> None:
        self._grid = grid
        self._levels = levels = build_hierarchy(grid)
        self._place = place = levels.places[0]
        size, sizes = place[7], levels.scale.size // 2
        self._cells, self._reds = np.count_nonzero(grid.water), np.count_nonzero(levels.scale[:size])
        found = rooms(2 * size, 2 * size, size, size, sizes)
        self._step, self._lack, self._search, self._sent, self._sends = found
        self.phi = np.zeros(2 * size, np.float32)  # by colour, of the last call; the next one starts from it [m²/s]
        self._team = Team(grid.shape[0], grid.kind.size)
        self._opened = tuple(map(in_a_row, grid.shares))
        self._sums, self._most, self._worst = (np.zeros(grid.shape[0], kind) for kind in (float, np.int64, np.int64))

    def read(self, keep: float, factor: float, pressure: np.ndarray) -> None:
        """Replace pressure (nx, ny, nz) by keep times itself plus factor times that of the last call."""
        faces.read(self.phi, self._place, np.float32(keep), np.float32(factor), pressure)

    def project(self, u: np.ndarray, v: np.ndarray, w: np.ndarray, source: np.ndarray, tolerance: float) -> float:
        """Correct a velocity in place, and say what divergence is left [-].

        u, v, w      on the faces, float32 [m/s]; closed faces are left as they are
        source       what enters in each cell [m³/s]; sums to zero
        tolerance    of the answer: the worst cell's |source - Σ open A u| against the largest flow through one face,
                     so |∇·u| h/U where cells are wholly open; one V-cycle is made however small it is already
        """
        source, *speeds = map(in_a_row, (source.astype(np.float32, copy=False), u, v, w))
        phi, allowed = self.phi, ROUNDING
        for _ in range(1 + ROUNDS):
            most, worst = self._correct(phi, source, *speeds)
            if not isfinite(worst):  # the infinite would pass for balanced; NaN would spread from its place to all
                break
            if worst <= allowed * most:
                return worst / most if most else 0.0
            self._solve(float(self._sums.sum()) / self._cells, max(HEADROOM * tolerance * most, REACH * worst))
            phi, allowed = self._step, tolerance
        raise ConvergenceError(
            "pressure",
            f"a cell lacks {worst:.1e} m³/s where faces carry up to {most:.1e}; {tolerance:.0e} of that was allowed",
            "Check that the flows of the openings sum to zero, or use larger cells.",
        )

    def _correct(self, phi, source, u, v, w) -> tuple[float, float]:
        """Take ∇phi from the velocity, sum what cells lack; the most that a face carries, or a cell lacks [m³/s]."""
        place = self._place, self._grid.spacing
        faces.correct_seams(self._team.seams, phi, self._opened[0], *place, u)
        found = self._lack, self._sums, self._most, self._worst
        self._team.planes(faces.correct, phi, *self._opened, *place, source, u, v, w, *found)
        return as_float(self._most.max()), as_float(self._worst.max())

    def _solve(self, mean: float, target: float) -> None:
        """Leave in _step a φ that mends what cells lack, down to target [m³/s] if that can be reached, and add it."""
        levels, place, sums = self._levels, self._place, np.zeros(5)
        search, sent, sends, step = self._search, self._sent, self._sends, self._step
        fixed = levels.places, levels.t, levels.scale, levels.boxes
        left = kernels.eliminate(place, levels.t, levels.scale, np.float32(mean), self._lack, step, levels.b)
        energy, enough = np.inf, 0.0  # so that the first direction takes nothing from one before
        for _ in range(ITERATIONS):
            if as_float(left) <= enough:
                break
            kernels.cycle(*fixed, sent, levels.b, levels.x, sends, sums)
            gain, across, own, b_sum, x_sum = sums.tolist()
            gain -= b_sum * x_sum / self._reds  # rounding gives b a sum, and then the free constant in x would count
            beta = -across / energy
            energy = own + beta * across  # of the new direction, with the old one's share taken out of it
            ahead, back = np.float32(gain / energy), np.float32(beta)
            left = kernels.advance(place, ahead, back, levels.x, sends, search, sent, step, levels.b)
            enough = target
        kernels.complete(place, levels.t, levels.scale, self._lack, step, self.phi)


def in_a_row(values: np.ndarray) -> np.ndarray:
    """The same numbers, not copied, as kernels that take a plane for one long row want them."""
    return values.reshape(-1, copy=False)


def as_float(bits: int) -> float:
    """The number whose float32 has these bits."""
    return float(np.int32(bits).view(np.float32))


def potential_flow(
    grid: Grid, rates: Mapping[str, float], tolerance: float = 1e-5
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Velocity u, v, w of the flow without vorticity that the openings drive [m/s].

    rates    into the tank, by opening [m³/s]: positive at outlets, negative at intakes
    """
    u, v, w = (np.zeros(opened.shape, np.float32) for opened in grid.shares)
    Projection(grid).project(u, v, w, grid.source(rates), tolerance)
    return u, v, w
