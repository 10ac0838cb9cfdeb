"""What moves the water: advection, viscous and subgrid stress, walls, openings.

Everything is a flux between the volumes around faces, so that momentum is only ever handed on, but for
what walls and their edges take.
Advection is central and keeps energy; a share of what makes third-order upwind advection smooth takes away what the
cells cannot carry. A volume that a solid cuts counts as whole: it answers more slowly, and is never too small a one.

What drives the motion changes fast and is reckoned in each stage of a step; what slows it down, once in each step.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from flowviz.flow.advecting.kernels import advance
from flowviz.flow.inlets import drains, jets
from flowviz.flow.narrow import nearness
from flowviz.flow.separation import edges
from flowviz.flow.stressing.kernels import smooth
from flowviz.flow.team import Team
from flowviz.flow.velocity import Velocity
from flowviz.flow.walls import Friction, Walls
from flowviz.grid.grid import Grid


@dataclass(frozen=True, slots=True)
class Closure:
    """What stands for the motion that the cells cannot carry."""

    smagorinsky: float = 0.10  # subgrid length over cell width [-]
    upwind: float = 0.25  # share of third-order upwind in the advection [-]
    near: float = 1.0  # the same near narrow outlets, whose jets would else come apart where they cross the grid


LAMINAR = Closure(0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Stage:
    """One of the stages that a step is made in; times are shares of the step's."""

    keep: float  # of the change of the stage before [-]
    take: float  # of the change that the velocity moves on by [-]
    push: float  # time that the last step's pressure acts for
    lasts: float  # time that the stage goes forward
    ahead: float  # time for which the pressure is still to act after it, for the stage's own time to be full


class Momentum:
    """Moves the velocity on one grid on."""

    def __init__(
        self, grid: Grid, rates: Mapping[str, float], viscosity: float, walls: Walls, closure: Closure
    ) -> None:
        self.team = Team(grid.shape[0], grid.kind.size)
        self.viscosity = np.full(grid.shape, viscosity, np.float32)  # of the cells, with the subgrid one [m²/s]
        self._shares = grid.shares
        self._spacing = tuple(np.float32(h) for h in grid.spacing)
        self._stir = np.float32(closure.smagorinsky * grid.cell_volume ** (1 / 3)), np.float32(viscosity)
        upwind = closure.upwind + (closure.near - closure.upwind) * nearness(grid)
        self._bend = (upwind / 12).astype(np.float32)
        self._friction = Friction(grid, viscosity, walls)
        self._edges = edges(grid)
        self._openings = [(jets(axis, grid, rates), drains(axis, grid, rates)) for axis in range(3)]

    def drive(
        self,
        velocity: Velocity,
        pressure: np.ndarray,
        stage: Stage,
        dt: float,
        change: Velocity,
        moved: Velocity,
    ) -> None:
        """Write into moved what the velocity becomes in a stage by advection, pressure and openings [m/s].

        pressure    over density (nx, ny, nz) [m²/s²]
        dt          of the whole step [s]
        change      of the stage before, replaced by this one's [m/s]
        """
        fixed = self._shares, self._spacing
        times = (np.float32(value) for value in (stage.keep, dt, stage.push * dt, stage.take))
        self.team.planes(advance, velocity, pressure, *fixed, *times, change, moved)
        for axis in range(3):
            for opening in self._openings[axis]:
                opening.act(velocity[axis], dt, stage.take, change[axis], moved[axis])

    def slow(self, velocity: Velocity, dt: float, moved: Velocity) -> None:
        """Write into moved what the velocity becomes by stress, walls and edges and the upwind share in dt [m/s]."""
        fixed = self._shares, self._bend, self._spacing, *self._stir, np.float32(dt)

        def act(first: int, last: int) -> None:
            smooth(first, last, velocity, *fixed, self.viscosity, moved)
            self._friction.act(first, last, velocity, dt, moved)
            for each in self._edges:
                each.act(first, last, velocity, dt, moved)

        self.team.planes(act)
        self._friction.correct(velocity, dt, moved)
