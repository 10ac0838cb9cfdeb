"""The flow in time: three-stage Runge-Kutta steps, each stage made free of divergence."""

from collections.abc import Mapping

import numpy as np

from flowviz.errors import ConvergenceError
from flowviz.flow import kernels
from flowviz.flow.disturbance import Disturbance, crossing
from flowviz.flow.momentum import Closure, Momentum
from flowviz.flow.pressure.projection import Projection
from flowviz.flow.velocity import Velocity
from flowviz.flow.walls import Walls
from flowviz.grid.grid import Grid

KEEP = (0.0, -5 / 9, -153 / 128)  # J. H. Williamson, J. Comput. Phys. 35 (1980) 48-56, case 7
TAKE = (1 / 3, 15 / 16, 8 / 15)
COURANT = 1.2  # of the sum over the three axes; the scheme is stable to 1.73
DIFFUSION = 2.0  # of the fastest decay by viscosity; the scheme is stable to 2.5
DIVERGENCE = 1e-3  # left after each stage, |∇·u| h/U


class March:
    """A flow on its way: the velocity now, and how to bring it forward."""

    def __init__(
        self,
        grid: Grid,
        rates: Mapping[str, float],
        viscosity: float,
        walls: Walls,
        closure: Closure,
        start: Velocity,
        seed: int,
    ) -> None:
        self.grid = grid
        self.momentum = Momentum(grid, rates, viscosity, walls, closure)
        self.velocity = start
        self.time = 0.0
        self.steps = 0
        self._projection = Projection(grid)
        self._disturbance = Disturbance(grid, rates, seed)
        self._source = grid.source(rates)
        self._change = tuple(np.zeros_like(a) for a in start)
        self._fastest = np.zeros(grid.shape[0], np.float32)
        self._spacing = tuple(np.float32(h) for h in grid.spacing)
        self._driven = max(
            walls.fastest() / min(grid.spacing),
            *(crossing(grid, patch, rates[patch.name]) for patch in grid.patches if patch.inflow),
            0.0,
        )
        self._projection.project(*self.velocity, self._source, DIVERGENCE)

    def step(self, longest: float = np.inf) -> float:
        """Go one step forward, at most `longest` [s]; how far it went [s]."""
        dt = min(self._stable(), longest)
        for keep, take in zip(KEEP, TAKE, strict=True):
            self.momentum.change(self.velocity, keep, dt, self._change)
            self._disturbance.act(self.time, dt, self.momentum.room, self._change)
            self._add(take)
        self.momentum.smooth(self.velocity, dt, self._change)
        self._add(1.0)
        self.time += dt
        self.steps += 1
        return dt

    def project(self, u: np.ndarray, v: np.ndarray, w: np.ndarray) -> float:
        """Make a mean velocity as free of divergence as can be told; the worst cell's lack over total inflow [-]."""
        self._projection.project(u, v, w, self._source, DIVERGENCE / 10)
        flows = (u * self.grid.open_x, v * self.grid.open_y, w * self.grid.open_z)
        left = np.zeros(self.grid.shape)
        for axis, h in enumerate(self.grid.spacing):
            left += np.diff(flows[axis].astype(np.float64), axis=axis) * self.grid.cell_volume / h
        inflow = self._source[self._source > 0].sum()
        worst = max(abs(self._source.sum()), np.abs(left - self._source).max())
        return float(worst / inflow) if inflow else 0.0

    def _add(self, factor: float) -> None:
        """Add the change to the velocity and make it free of divergence."""
        kernels.apply(0, self.grid.shape[0], np.float32(factor), *self._change, *self.velocity)
        self._projection.project(*self.velocity, self._source, DIVERGENCE)

    def _stable(self) -> float:
        """The longest step that is stable now [s]."""
        kernels.fastest(0, self.grid.shape[0], *self.velocity, *self._spacing, self._fastest)
        crossing = max(float(self._fastest.max()), self._driven)
        spread = float(self.momentum.viscosity.max()) * sum(4 / h**2 for h in self.grid.spacing)
        if not np.isfinite(crossing):
            raise ConvergenceError("flow", f"the speed is no number after {self.time:.2f} s", "Use smaller cells.")
        return min(COURANT / max(crossing, 1e-9), DIFFUSION / max(spread, 1e-9))
