"""The flow in time, by three-stage Runge-Kutta steps.

What slows the water acts by turns before the stages and after them, so that two steps together are symmetric and a
steady flow hardly depends on the step: G. Strang, SIAM J. Numer. Anal. 5 (1968) 506-517. The slowing itself is one step
of Euler's, of first order: a motion that decays at a rate λ does so by λ dt/2 of that too fast.

Only whole steps are made free of divergence. The first two stages take the pressure of the step before instead, which
costs nothing and keeps second order: F. Capuano, G. Coppola, M. Chiatto, L. de Luca, AIAA J. 54 (2016) 2179-2183.
"""

from collections.abc import Mapping
from math import ceil

import numpy as np

from flowviz.errors import ConvergenceError
from flowviz.flow.disturbance import Disturbance
from flowviz.flow.momentum import Closure, Momentum, Stage
from flowviz.flow.narrow import crossing
from flowviz.flow.pressure.projection import Projection
from flowviz.flow.seepage import Seepage
from flowviz.flow.slanting import Slants
from flowviz.flow.state import State, part, under
from flowviz.flow.stepping import kernels
from flowviz.flow.velocity import Velocity
from flowviz.flow.walls import Walls
from flowviz.grid.grid import Grid

STAGES = (  # keep and take: J. H. Williamson, J. Comput. Phys. 35 (1980) 48-56, case 7
    Stage(keep=0.0, take=1 / 3, push=1.0, lasts=1 / 3, ahead=0.0),
    Stage(keep=-5 / 9, take=15 / 16, push=1.0, lasts=5 / 12, ahead=0.0),
    Stage(keep=-153 / 128, take=8 / 15, push=0.0, lasts=1 / 4, ahead=8 / 15),
)
COURANT = 1.4  # of the sum over the three axes, without viscosity; stable to 1.73, 1.5 where the upwind share is 1
DIFFUSION = 1.4  # of the fastest decay by viscosity, without motion; stable to 2, and along resolved walls to 1.5
FIRST = 0.1  # of that goes the first step, which knows no pressure yet: its error grows with the square
LOOK = 3  # steps from one look at what is stable to the next
DIVERGENCE = 1e-2  # left after each step, |∇·u| h/U: one V-cycle leaves 6e-3 in the worst cell, by an outlet; 7e-5 rms
BLOWN_UP = 20.0  # times the fastest that anything drives the water, or that it would be, all of it, through one cell


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
        self._slants = Slants(grid)
        self.momentum = Momentum(grid, rates, viscosity, walls, closure)
        self.velocity = start
        self.pressure = np.zeros(grid.shape, np.float32)  # over density, up to a constant [m²/s²]
        self.time = 0.0
        self.steps = 0
        self._longest = np.inf  # step that is stable [s]
        self._projection = Projection(grid)
        self._disturbance = Disturbance(grid, rates, seed)
        self._seepage = Seepage(grid, viscosity) if grid.rubble else None
        self._source = grid.source(rates).astype(np.float32)
        self._change = tuple(np.zeros_like(along) for along in start)
        self._moved = tuple(along.copy() for along in start)  # room for the next velocity
        self._spacing = tuple(np.float32(h) for h in grid.spacing)
        self._fastest = np.zeros(grid.shape[0], np.float32)
        jets = [crossing(grid, patch, rates[patch.name]) for patch in grid.patches if patch.inflow]
        self._driven = max(walls.fastest() / min(grid.spacing), *jets, 0.0)
        through = sum(rates[patch.name] for patch in grid.patches if patch.inflow) / grid.cell_volume
        self._bound = BLOWN_UP * max(self._driven, through) or np.inf  # [1/s]
        self._balance()

    def step(self, longest: float = np.inf) -> float:
        """Go one step forward, one of the fewest equal ones that `longest` [s] takes; how far it went [s].

        A step of what is left over could be next to nothing, and what it leaves of divergence, by its length, a
        pressure past all bounds.
        """
        if self.steps % LOOK == 0:
            self._longest = self._stable()
        dt = self._longest if self.steps else FIRST * self._longest
        if longest < np.inf:
            dt = longest / ceil(longest / dt)
        if self.steps % 2 == 0:
            self._slow(dt)
        for stage in STAGES:
            self.momentum.drive(self.velocity, self.pressure, stage, dt, self._change, self._moved)
            self._disturbance.act(self.time, dt, stage.take, self._change, self._moved)
            self._move()
            if self._seepage:
                self._seepage.act(self.velocity, self.pressure, stage.lasts * dt, stage.ahead * dt)
        if self.steps % 2 == 1:
            self._slow(dt)
        self._balance()
        self._projection.read(1 - STAGES[-1].take, 1 / dt, self.pressure)
        self.time += dt
        self.steps += 1
        return dt

    def state(self) -> State:
        """Everything that going on needs."""
        return {
            "clock": np.array([self.time, self._longest]),
            "steps": np.array(self.steps),
            **{str(number): values for number, values in enumerate(self._arrays())},
            **under("disturbance", self._disturbance.state()),
        }

    def take_up(self, state: State) -> None:
        """Be what another march on the same grid was, bit for bit."""
        self.time, self._longest = state["clock"].tolist()
        self.steps = int(state["steps"])
        for number, values in enumerate(self._arrays()):
            values[:] = state[str(number)]
        self._disturbance.take_up(part("disturbance", state))

    def _arrays(self) -> tuple[np.ndarray, ...]:
        """What one step hands on to the next."""
        return *self.velocity, self.pressure, self.momentum.viscosity, self._projection.phi

    def _slow(self, dt: float) -> None:
        """Let stress and walls act on the velocity for a time dt [s]."""
        self.momentum.slow(self.velocity, dt, self._moved)
        self._move()

    def _move(self) -> None:
        """Take what has moved for the velocity."""
        self.velocity, self._moved = self._moved, self.velocity
        self._slants.act(self.velocity)

    def _balance(self) -> None:
        """Make the velocity free of divergence."""
        try:
            self._projection.project(*self.velocity, self._source, DIVERGENCE)
        except ConvergenceError:
            self._crossing()  # a speed past all bounds, which no pressure balances, is told as that, with its place
            raise
        self._slants.act(self.velocity)

    def _crossing(self) -> float:
        """How often the fastest water crosses its cell [1/s]; a ConvergenceError where that is beyond all bounds."""
        self.momentum.team.planes(kernels.crossing, self.velocity, self._spacing, self._fastest)
        fastest = float(self._fastest.max())
        if not fastest < self._bound:
            place = int(self._fastest.argmax()) * self.grid.spacing[0]
            raise ConvergenceError(
                "flow",
                f"the speed has grown beyond all bounds near x = {place:.2f} m after {self.time:.2f} s",
                "Use another cell size, and look for openings that almost touch rock or each other there",
            )
        return fastest

    def _stable(self) -> float:
        """The longest step that is stable now [s]."""
        fastest = self._crossing()
        spread = float(self.momentum.viscosity.max()) * sum(4 / h**2 for h in self.grid.spacing)
        return 1 / max(max(fastest, self._driven) / COURANT + spread / DIFFUSION, 1e-9)
