"""Makes a velocity free of divergence: the pressure that takes away what each cell lacks or has too much.

    Σ t (φ - φ_next) = source - Σ open A u,    u ← u - ∂φ/∂x,    t = open A / h

summed over the six faces of a cell; φ is the pressure over density times the time step [m²/s]. Nothing passes a closed
face, so φ is known up to a constant and the sources must sum to zero.

Solved by conjugate gradients (flexible: Y. Notay, SIAM J. Sci. Comput. 22 (2000) 1444-1460) on the red cells alone, the
black being eliminated exactly, with one multigrid V-cycle as the preconditioner.
"""

from collections.abc import Mapping

import numpy as np

from flowviz.errors import ConvergenceError
from flowviz.flow.pressure import kernels
from flowviz.flow.pressure.faces import kernels as faces
from flowviz.flow.pressure.multigrid import build_hierarchy, of_cells, of_faces, rooms
from flowviz.flow.team import Team
from flowviz.grid.grid import Grid

ROUNDS = 12  # corrections of the velocity
ITERATIONS = 12  # within one correction
REACH = 1e-4  # how far one correction can bring the lack down in single precision
HEADROOM = 0.7  # of the tolerance, for what rounding adds when the velocity is corrected


class Projection:
    """The projection of one grid: set up once, then used for every time step."""

    def __init__(self, grid: Grid) -> None:
        self._grid = grid
        self._levels = levels = build_hierarchy(grid)
        self._place = place = levels.places[0]
        self._first_t, self._first_scale = of_faces(place, levels.t), of_cells(place, levels.scale)
        self._first_b, self._first_x = of_cells(place, levels.b), of_cells(place, levels.x)
        self._cells, self._reds = np.count_nonzero(grid.water), np.count_nonzero(self._first_scale[0] > 0)
        size, sizes = place[7], levels.scale.size // 2
        step, lack, self._search, self._sent, self._sends = rooms(2 * size, 2 * size, size, size, sizes)
        self._step, self._lack = step.reshape(2, size), lack.reshape(2, size)
        self.phi = np.zeros((2, size), np.float32)  # by colour, of the last call; the next one starts from it [m²/s]
        self._team = Team(grid.shape[0], grid.kind.size)
        self._sums, self._tops = np.zeros(grid.shape[0]), np.zeros(grid.shape[0], np.int64)

    @property
    def pressure(self) -> np.ndarray:
        """Of the last call, over density and times the time step (nx, ny, nz) [m²/s]; 0 where there is no water."""
        first, plane, row, nx, ny, nz = self._place[:6]
        i, j, k = np.ogrid[:nx, :ny, :nz]
        n = 2 * first + i * plane + j * row + k
        phi, water = self.phi[n & 1, n >> 1], self._grid.water
        return np.where(water, phi - phi[water].mean(dtype=np.float64), 0).astype(np.float32)

    def read(self, keep: float, factor: float, pressure: np.ndarray) -> None:
        """Replace pressure (nx, ny, nz) by keep times itself plus factor times that of the last call."""
        faces.read(self.phi, self._place, np.float32(keep), np.float32(factor), pressure)

    def project(self, u: np.ndarray, v: np.ndarray, w: np.ndarray, source: np.ndarray, tolerance: float) -> float:
        """Correct a velocity in place, and say what divergence is left [-].

        u, v, w      on the faces, float32 [m/s]; closed faces are left as they are
        source       what enters in each cell [m³/s]; sums to zero
        tolerance    of the answer: the worst cell's |source - Σ open A u| against the largest flow through one face,
                     so |∇·u| h/U where cells are wholly open
        """
        source = source.astype(np.float32, copy=False)
        lack, most = self._correct(self.phi, source, u, v, w)
        for _ in range(ROUNDS):
            worst = largest(self._lack)
            if worst <= tolerance * most:
                return worst / most if most else 0.0
            self._solve(lack / self._cells, max(HEADROOM * tolerance * most, REACH * worst))
            lack, most = self._correct(self._step, source, u, v, w)
        raise ConvergenceError(
            "pressure",
            f"after {ROUNDS} corrections a cell still lacks {worst:.1e} m³/s where faces carry up to {most:.1e}; "
            f"{tolerance:.0e} of that was allowed",
            "Check that the flows of the openings sum to zero, or use larger cells.",
        )

    def _correct(self, phi, source, u, v, w) -> tuple[float, float]:
        """Take ∇phi from the velocity; what all cells lack together, and the largest flow through a face [m³/s]."""
        grid = self._grid
        opened, place = (grid.open_x, grid.open_y, grid.open_z), (self._place, grid.spacing)
        faces.correct_seams(self._team.seams, phi, grid.open_x, *place, u)
        found = self._lack, self._sums, self._tops
        self._team.planes(faces.correct, phi, *opened, *place, source, u, v, w, *found)
        return float(self._sums.sum()), as_float(self._tops.max())

    def _solve(self, mean: float, target: float) -> None:
        """Leave in _step a φ that mends what cells lack, down to target [m³/s] if that can be reached, and add it."""
        levels, place, t, scale = self._levels, self._place, self._first_t, self._first_scale
        search, sent, sends, b, step = self._search, self._sent, self._sends, self._first_b, self._step
        kernels.eliminate(place, t, scale, np.float32(mean), self._lack, step, b)
        search[:] = sent[:] = 0
        energy = 1.0
        for _ in range(ITERATIONS):
            if largest(b[:1]) <= target:
                break
            sums = kernels.cycle(levels.places, levels.t, levels.scale, levels.boxes, sent, sends, levels.b, levels.x)
            gain, across, own, b_sum, x_sum = sums
            gain -= b_sum * x_sum / self._reds  # rounding gives b a sum, and then the free constant in x would count
            beta = -across / energy
            energy = own + beta * across  # of the new direction, with the old one's share taken out of it
            ahead, back = np.float32(gain / energy), np.float32(beta)
            kernels.advance(place, ahead, back, self._first_x, sends, search, sent, step, b)
        kernels.complete(place, t, scale, self._lack, step, self.phi)


def largest(x: np.ndarray) -> float:
    """The largest |x|."""
    return as_float(faces.largest(x.reshape(-1), 0))


def as_float(bits: int) -> float:
    """The number whose float32 has these bits."""
    return float(np.int32(bits).view(np.float32))


def potential_flow(
    grid: Grid, rates: Mapping[str, float], tolerance: float = 1e-5
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Velocity u, v, w of the flow without vorticity that the openings drive [m/s].

    rates    into the tank, by opening [m³/s]: positive at outlets, negative at intakes
    """
    u, v, w = (np.zeros(opened.shape, np.float32) for opened in (grid.open_x, grid.open_y, grid.open_z))
    Projection(grid).project(u, v, w, grid.source(rates), tolerance)
    return u, v, w
