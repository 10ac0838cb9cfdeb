"""Openings as the march sees them: each outlet brings its flow and all of its momentum, each intake takes its flow.

Water enters and leaves in cells. In conservation form a source of q [m³/s] that comes with the velocity U brings the
force q U, which the faces of the cell share. Beside a wall the momentum flux in the middle of the cell, (u/2)² where u
is the velocity of its one free face, comes out of the wall and carries a part of q U already; the rest is the force.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from flowviz.grid.grid import Grid


@dataclass(frozen=True, slots=True)
class Thrust:
    """What the openings' cells do to the velocity along one axis."""

    low: np.ndarray  # (n,) place of the cell's lower face in the flat velocity
    high: np.ndarray
    low_share: np.ndarray  # (n,) of the force that goes to the lower face
    high_share: np.ndarray
    rate: np.ndarray  # (n,) [m³/s], into the tank positive
    brought: np.ndarray  # (n,) velocity that the water comes with [m/s]; that of intakes is the tank's own
    shut: np.ndarray  # (n,) 1 where only the high face is free, -1 where only the low one is, else 0
    area: float  # of a face [m²]
    volume: float  # of a cell [m³]

    def act(self, along: np.ndarray, room: np.ndarray, dt: float, change: np.ndarray) -> None:
        """Add to change what the openings bring within dt [m/s]."""
        along, room, change = along.ravel(), room.ravel(), change.ravel()
        here = self.low_share * along[self.low] + self.high_share * along[self.high]
        force = self.rate * np.where(self.rate > 0, self.brought, here) - self.shut * self.area * here**2 / 4
        kick = dt * force / self.volume
        np.add.at(change, self.low, kick * self.low_share * room[self.low])
        np.add.at(change, self.high, kick * self.high_share * room[self.high])


def thrusts(grid: Grid, rates: Mapping[str, float]) -> tuple[Thrust, ...]:
    """What the openings do to the velocities along x, y and z.

    rates    into the tank, by opening [m³/s]
    """
    return tuple(_thrust(axis, grid, rates) for axis in range(3))


def _thrust(axis: int, grid: Grid, rates: Mapping[str, float]) -> Thrust:
    """What the openings do to the velocity along one axis."""
    cells = np.concatenate([patch.cells for patch in grid.patches])
    rate = np.concatenate([patch.share * rates[patch.name] for patch in grid.patches])
    speeds = [rates[patch.name] / patch.area * patch.direction[axis] for patch in grid.patches]
    brought = np.repeat(speeds, [len(patch.cells) for patch in grid.patches])
    opening = (grid.open_x, grid.open_y, grid.open_z)[axis]
    above = cells + (np.arange(3) == axis)
    low, high = (np.ravel_multi_index(tuple(faces.T), opening.shape) for faces in (cells, above))
    free_low, free_high = (opening.ravel()[faces] > 0 for faces in (low, high))
    free = np.maximum(1, free_low + 1 * free_high)
    shut = 1.0 * (free_high & ~free_low) - 1.0 * (free_low & ~free_high)
    area = grid.cell_volume / grid.spacing[axis]
    return Thrust(low, high, free_low / free, free_high / free, rate, brought, shut, area, grid.cell_volume)
