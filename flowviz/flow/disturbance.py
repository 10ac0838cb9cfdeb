"""Random sideways pushes that make a jet turbulent which is too narrow for its own eddies to be carried by the cells.

Without them a jet of one or two cells stays laminar and reaches several times too far. Each narrow outlet gets, three
cells in front of it, a force square to its axis of a fixed share of its momentum, in a direction drawn anew each time
the jet has crossed a few cells. Its mean is zero, so the jet keeps its momentum.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi

import numpy as np

from flowviz.flow.velocity import Velocity
from flowviz.grid.grid import Grid, Patch

STRENGTH = 0.15  # of the jet's momentum flux
AHEAD = 3.0  # cells from the outlet
HOLD = 2.0  # cells that the jet crosses while a push lasts
NARROW = 4.0  # cells: a jet narrower than this is disturbed


@dataclass(frozen=True, slots=True)
class Push:
    """Where one jet is pushed, and how hard."""

    places: tuple[np.ndarray, ...]  # (8,) along each axis: places of the faces around in the flat velocity
    weights: tuple[np.ndarray, ...]  # (8,) along each axis, of the faces; sum 1, less where some are shut
    sideways: np.ndarray  # (2, 3) unit vectors square to the jet and to each other
    strength: float  # force over the volume of a cell [m/s²]


class Disturbance:
    """All pushes of one march, and their random directions."""

    def __init__(self, grid: Grid, rates: Mapping[str, float], seed: int) -> None:
        self._random = np.random.default_rng(seed)
        narrow = [p for p in grid.patches if p.inflow and min(p.extent) < NARROW * max(grid.spacing)]
        self._pushes = [_push(grid, patch, rates[patch.name]) for patch in narrow]
        self._hold = min((HOLD / crossing(grid, p, rates[p.name]) for p in narrow), default=np.inf)
        self._drawn = -np.inf
        self._forces = np.zeros((len(narrow), 3))

    def act(self, time: float, dt: float, room: Velocity, change: Velocity) -> None:
        """Add to change what the pushes do within dt [m/s]."""
        if time >= self._drawn + self._hold:
            self._draw(time)
        for push, force in zip(self._pushes, self._forces, strict=True):
            for axis in range(3):
                places, flat = push.places[axis], change[axis].reshape(-1)
                flat[places] += dt * force[axis] * push.weights[axis] * room[axis].reshape(-1)[places]

    def _draw(self, time: float) -> None:
        """Turn every push somewhere else."""
        self._drawn = time
        angles = self._random.uniform(0, 2 * pi, len(self._pushes))
        for n, push in enumerate(self._pushes):
            self._forces[n] = push.strength * (
                np.cos(angles[n]) * push.sideways[0] + np.sin(angles[n]) * push.sideways[1]
            )


def crossing(grid: Grid, patch: Patch, rate: float) -> float:
    """How many cells an outlet's jet crosses in a second, once it fills a face of each of its cells [1/s]."""
    h = grid.cell_volume ** (1 / 3)
    momentum = rate**2 / patch.area * patch.share.max()
    return min(rate / patch.area, momentum**0.5 / h) / h


def _push(grid: Grid, patch: Patch, rate: float) -> Push:
    """Of one outlet."""
    direction = np.array(patch.direction)
    start = patch.share @ (patch.cells + 0.5)
    point = start + AHEAD * direction
    places, weights = zip(*(_faces(grid, axis, point) for axis in range(3)), strict=True)
    helper = np.eye(3)[np.argmin(np.abs(direction))]
    first = np.cross(direction, helper)
    first /= np.linalg.norm(first)
    sideways = np.stack([first, np.cross(direction, first)])
    return Push(places, weights, sideways, STRENGTH * rate**2 / patch.area / grid.cell_volume)


def _faces(grid: Grid, axis: int, point: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The eight faces of an axis around a point (in cells), and its weights between them."""
    shape = (grid.open_x, grid.open_y, grid.open_z)[axis].shape
    place = np.clip(point - 0.5 * (np.arange(3) != axis), 0, np.array(shape) - 1.001)
    low = np.minimum(place.astype(int), np.maximum(np.array(shape) - 2, 0))
    corners = np.array(np.meshgrid(*[(0, 1)] * 3, indexing="ij")).reshape(3, -1).T
    weights = np.abs(1 - corners - (place - low)).prod(axis=1)
    corners = np.minimum(low + corners, np.array(shape) - 1)
    return np.ravel_multi_index(tuple(corners.T), shape), weights
