"""What moves the water: advection, viscous and subgrid stress, walls, openings.

Everything is a flux between the volumes around faces, so that momentum is only ever handed on, never made or lost.
Advection is central and keeps energy; a small share of the flux of a third-order upwind scheme smooths what the cells
cannot carry.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from flowviz.flow import kernels
from flowviz.flow.inlets import thrusts
from flowviz.flow.velocity import Velocity
from flowviz.flow.walls import Walls, rubbings
from flowviz.grid.grid import Grid


@dataclass(frozen=True, slots=True)
class Closure:
    """What stands for the motion that the cells cannot carry."""

    smagorinsky: float = 0.1  # subgrid length over cell width [-]
    upwind: float = 0.15  # share of third-order upwind in the advection [-]


LAMINAR = Closure(0.0, 0.0)


class Momentum:
    """The rates of change of the velocity on one grid."""

    def __init__(
        self, grid: Grid, rates: Mapping[str, float], viscosity: float, walls: Walls, closure: Closure
    ) -> None:
        nx, ny, nz = grid.shape
        self._spacing = tuple(np.float32(h) for h in grid.spacing)
        self._open = (grid.open_x, grid.open_y, grid.open_z)
        self.room = tuple((share > 0).astype(np.float32) for share in self._open)
        self._length = np.float32(closure.smagorinsky * grid.cell_volume ** (1 / 3))
        self._molecular = np.float32(viscosity)
        self._share = np.float32(closure.upwind / 12)
        self._rubbings = rubbings(grid, self.room, viscosity, walls)
        self._thrusts = thrusts(grid, rates) if grid.patches else ()
        self.viscosity = np.full(grid.shape, viscosity, np.float32)
        self._normal = tuple(np.zeros(grid.shape, np.float32) for _ in range(3))
        edges = ((nx + 1, ny + 1, nz), (nx + 1, ny, nz + 1), (nx, ny + 1, nz + 1))
        self._shear = tuple(np.zeros(edges[n], np.float32) for n in (0, 0, 1, 1, 2, 2))

    def change(self, velocity: Velocity, keep: float, dt: float, change: Velocity) -> None:
        """Replace change by keep times itself plus what happens to the velocity within dt, pressure left out [m/s]."""
        planes = (0, self.viscosity.shape[0])
        kernels.eddy_viscosity(*planes, *velocity, *self._spacing, self._length, self._molecular, self.viscosity)
        kernels.normal_fluxes(*planes, *velocity, *self._open, self.viscosity, *self._spacing, *self._normal)
        kernels.shear_fluxes(*planes, *velocity, *self._open, self.viscosity, *self._spacing, *self._shear)
        self._gather(keep, dt, change)
        for axis in range(3):
            one, other = (velocity[a] for a in range(3) if a != axis)
            self._rubbings[axis].act(velocity[axis], one, other, np.float32(dt), change[axis])
        for axis, thrust in enumerate(self._thrusts):
            thrust.act(velocity[axis], self.room[axis], dt, change[axis])

    def smooth(self, velocity: Velocity, dt: float, change: Velocity) -> None:
        """Replace change by what the upwind share of the advection does to the velocity within dt [m/s]."""
        planes = (0, self.viscosity.shape[0])
        kernels.normal_bends(*planes, *velocity, *self._open, self._share, *self._normal)
        kernels.shear_bends(*planes, *velocity, *self._open, self._share, *self._shear)
        self._gather(0.0, dt, change)

    def _gather(self, keep: float, dt: float, change: Velocity) -> None:
        """Turn fluxes into changes."""
        planes = (0, self.viscosity.shape[0])
        factors = (*self._spacing, np.float32(keep), np.float32(dt))
        kernels.gather(*planes, *self._normal, *self._shear, *self.room, *factors, *change)
