"""What moves the water: advection, viscous and subgrid stress, walls, openings.

Everything is a flux between the volumes around faces, so that momentum is only ever handed on, never made or lost.
Advection is central and keeps energy; a share of what makes third-order upwind advection smooth takes away what the
cells cannot carry. A volume that a solid cuts counts as whole: it answers more slowly, and is never too small a one.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from flowviz.flow import kernels
from flowviz.flow.inlets import drains, jets
from flowviz.flow.narrow import nearness
from flowviz.flow.team import Team
from flowviz.flow.velocity import Velocity
from flowviz.flow.walls import Friction, Walls
from flowviz.grid.grid import Grid


@dataclass(frozen=True, slots=True)
class Closure:
    """What stands for the motion that the cells cannot carry."""

    smagorinsky: float = 0.07  # subgrid length over cell width [-]
    upwind: float = 0.25  # share of third-order upwind in the advection [-]
    near: float = 1.0  # the same near narrow outlets, whose jets would else come apart where they cross the grid


LAMINAR = Closure(0.0, 0.0, 0.0)


class Momentum:
    """The rates of change of the velocity on one grid."""

    def __init__(
        self, grid: Grid, rates: Mapping[str, float], viscosity: float, walls: Walls, closure: Closure
    ) -> None:
        self.team = Team(grid.shape[0], grid.kind.size)
        self.viscosity = np.full(grid.shape, viscosity, np.float32)  # of the cells, with the subgrid one [m²/s]
        self._shares = (grid.open_x, grid.open_y, grid.open_z)
        self._spacing = tuple(np.float32(h) for h in grid.spacing)
        self._stir = np.float32(closure.smagorinsky * grid.cell_volume ** (1 / 3)), np.float32(viscosity)
        upwind = closure.upwind + (closure.near - closure.upwind) * nearness(grid)
        self._bend = (upwind / 12).astype(np.float32)
        self._friction = Friction(grid, viscosity, walls)
        self._openings = [(jets(axis, grid, rates), drains(axis, grid, rates)) for axis in range(3)]

    def change(
        self, velocity: Velocity, pressure: np.ndarray, keep: float, dt: float, push: float, change: Velocity
    ) -> None:
        """Replace change by keep times itself plus what happens to the velocity within dt [m/s].

        pressure    over density (nx, ny, nz) [m²/s²], which acts for a time of push [s]
        """
        times = np.float32(keep), np.float32(dt), np.float32(push)
        fixed = self._shares, self._spacing, *self._stir

        def act(first: int, last: int) -> None:
            kernels.advance(first, last, velocity, pressure, *fixed, *times, self.viscosity, change)
            self._friction.act(first, last, velocity, dt, change)

        self.team.planes(act)
        self._friction.correct(velocity, dt, change)
        for axis in range(3):
            for opening in self._openings[axis]:
                opening.act(velocity[axis], dt, change[axis])

    def smooth(self, velocity: Velocity, dt: float, change: Velocity) -> None:
        """Replace change by what the upwind share of the advection does to the velocity within dt [m/s]."""
        fixed = self.viscosity, self._shares, self._spacing, self._bend
        self.team.planes(kernels.smooth, velocity, *fixed, np.float32(dt), change)
