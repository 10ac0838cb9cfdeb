"""Openings as the march sees them: each outlet brings its flow and all of its momentum, each intake takes its share.

Water enters and leaves in cells. In conservation form a source of q [m³/s] that comes with a velocity brings the force
q times that velocity, which the faces around share. Beside a wall a part of it is there already: with one free face, of
velocity u and area A, the momentum flux in the middle of the cell is A (u/2)², and it comes out of the wall. An outlet
adds what is missing from Q U0. At an intake the wall would be open, with the velocity q/A, and the flux
A ((u + q/A)/2)²; what is added is the difference, which unlike u² itself cannot run away.

A jet of one or two cells is pushed a little way ahead of them. One of a few cells would be squeezed to a faster and
thinner one by that, as the water behind any push from ahead is: it is pushed where it comes in.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from flowviz.flow.narrow import told
from flowviz.flow.spread import sharply, softly, spread
from flowviz.flow.stepping.kernels import bring, drain
from flowviz.grid.grid import Grid, Patch

AHEAD = 1.25  # cells in front of its cell's middle at which an outlet pushes: nearer, too much of it pulls at the wall
AT_ONCE = 0.5  # the same of an outlet whose edge the cells tell: on the face that the water comes in through


@dataclass(frozen=True, slots=True)
class Jets:
    """What the cells of outlets do to the velocity along one axis."""

    places: np.ndarray  # (n, 27) faces that each cell's force is shared among, in the flat velocity
    shares: np.ndarray  # (n, 27)
    brought: np.ndarray  # (n,) momentum flux over density [m⁴/s²]
    free: np.ndarray  # (n,) place of the face opposite the wall that a cell lies at
    wall: np.ndarray  # (n,) area of that wall [m²], negative where it is the high face; 0 where there is none
    volume: float  # of a cell [m³]

    def act(self, along: np.ndarray, dt: float, take: float, change: np.ndarray, moved: np.ndarray) -> None:
        """Add to change what the outlets bring within dt, and of that what a stage takes to what has moved [m/s]."""
        flat = along.reshape(-1), change.reshape(-1), moved.reshape(-1)
        forces = self.brought, self.wall, self.free
        bring(self.places, self.shares, *forces, dt / self.volume, np.float32(take), *flat)


@dataclass(frozen=True, slots=True)
class Drains:
    """What the cells of intakes do to the velocity along one axis."""

    places: np.ndarray  # (n, 2) low and high face in the flat velocity
    shares: np.ndarray  # (n, 2) of the force
    taken: np.ndarray  # (n,) flow that leaves with the velocity it has there [m³/s]
    pulled: np.ndarray  # (n,) the rest of the force [m⁴/s²]
    volume: float  # of a cell [m³]

    def act(self, along: np.ndarray, dt: float, take: float, change: np.ndarray, moved: np.ndarray) -> None:
        """Add to change what the intakes take within dt, and of that what a stage takes to what has moved [m/s]."""
        flat = along.reshape(-1), change.reshape(-1), moved.reshape(-1)
        drain(self.places, self.shares, self.pulled, self.taken, dt / self.volume, np.float32(take), *flat)


def jets(axis: int, grid: Grid, rates: Mapping[str, float]) -> Jets:
    """What the outlets do to the velocity along an axis.

    rates    into the tank, by opening [m³/s]
    """
    patches = [patch for patch in grid.patches if patch.inflow]
    cells = np.concatenate([np.zeros((0, 3), int), *(patch.cells for patch in patches)])
    pushed = [(np.zeros((0, 27), int), np.zeros((0, 27))), *(_pushed(axis, grid, patch) for patch in patches)]
    places, shares = (np.concatenate(parts) for parts in zip(*pushed, strict=True))
    brought = [patch.share * rates[patch.name] ** 2 / patch.area * patch.direction[axis] for patch in patches]
    faces, _, shut = _faces(axis, grid, cells)
    opposite = np.where(shut > 0, faces[:, 1], faces[:, 0])
    wall = shut * grid.cell_volume / grid.spacing[axis]
    return Jets(places, shares, np.concatenate([[], *brought]), opposite, wall, grid.cell_volume)


def drains(axis: int, grid: Grid, rates: Mapping[str, float]) -> Drains:
    """What the intakes do to the velocity along an axis.

    rates    into the tank, by opening [m³/s]
    """
    patches = [patch for patch in grid.patches if not patch.inflow]
    cells = np.concatenate([np.zeros((0, 3), int), *(patch.cells for patch in patches)])
    taken = -np.concatenate([[], *(patch.share * rates[patch.name] for patch in patches)])
    faces, free, shut = _faces(axis, grid, cells)
    pulled = shut * taken**2 * grid.spacing[axis] / (4 * grid.cell_volume)
    shares = free / np.maximum(1, free.sum(axis=-1, keepdims=True))
    return Drains(faces, shares, np.where(shut == 0, taken, taken / 2), pulled, grid.cell_volume)


def _pushed(axis: int, grid: Grid, patch: Patch) -> tuple[np.ndarray, np.ndarray]:
    """Places (n, 27) in the flat velocity along an axis that an outlet's cells push at, and the share of each."""
    ahead, share = (AT_ONCE, sharply) if told(grid, patch) else (AHEAD, softly)
    return spread(axis, grid, patch.cells + 0.5 + ahead * np.array(patch.direction), share)


def _faces(axis: int, grid: Grid, cells: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Places (n, 2) of the low and high faces of cells in the flat velocity along an axis; 1 where open (n, 2).

    Last, 1 where only the low face is shut, -1 where only the high one is, else 0 (n,).
    """
    opened = grid.shares[axis]
    ends = cells[:, None] + np.array([np.zeros(3, int), np.arange(3) == axis])
    places = np.ravel_multi_index(tuple(np.moveaxis(ends, -1, 0)), opened.shape)
    free = (opened.reshape(-1)[places] > 0).astype(int)
    return places, free, free[:, 1] - free[:, 0]
