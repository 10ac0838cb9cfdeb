"""Random sideways pushes that make what comes out of an outlet turbulent, as it is out of a pipe.

Without them a jet of one or two cells stays laminar and reaches several times too far, and a wide stream leaves a
ledge so smoothly that the dead water behind it is twice too long, the more so the finer the cells. Each outlet gets,
three cells in front of it, a force square to its axis of a fixed share of its momentum, in a direction drawn anew each
time the water has crossed a few cells; a long slot gets one for each part of it that is as long as it is wide, and a
wide opening one for every few cells. Along a slot they cancel in part, not being in step, and are the stronger for it;
how thin it is does not matter then. The mean of all is zero, so the water keeps its momentum.

An outlet of a few cells gets one for each quarter, which stirs its edge. Pushed all at once, its jet would swing
instead, with a longer core, and be wider far away.

Some widths from a wide opening the water is as turbulent as on the axis of a pipe, with an rms of 0.065 of its speed in
all (J. Laufer, NACA TR 1174 (1954), from memory). Eddies of a few cells die away the sooner the smaller the cells are,
so the pushes are the stronger for it.

A round jet that crosses the grid at a slant is spread by the cells themselves and needs less.
"""

from collections.abc import Mapping
from json import dumps, loads
from math import pi, sqrt

import numpy as np

from flowviz.flow.narrow import STREAM, told
from flowviz.flow.spread import sideways, spread
from flowviz.flow.state import State
from flowviz.flow.stepping.kernels import push
from flowviz.flow.velocity import Velocity
from flowviz.grid.grid import Grid, Patch

STRENGTH = 0.15  # of the jet's momentum flux, where it is a cell wide: found by trial against the law of jets
FALL = 0.65  # power of the width with which that share falls: found likewise
EASE = 0.65  # by which share it is smaller where the jet crosses the grid at 45 degrees: found likewise
AHEAD = 3.0  # cells from the outlet
PART = 3.0  # cells across the parts of a wide opening: eddies that the cells can carry on
FADING = 0.6  # power of the width, beyond that of a stream, with which pushes grow: found by trial for that rms
IN_STEP = 4  # parts of a slot, at most, whose pushes are made up for not being in step: found likewise, of plane jets
HOLD = 2.0  # cells that the jet crosses while a push lasts
THINNEST = 2.0  # cells across a jet that was pushed on in cells


class Disturbance:
    """All pushes of one march, and their random directions."""

    def __init__(self, grid: Grid, rates: Mapping[str, float], seed: int) -> None:
        self._random = np.random.default_rng(seed)
        points, pushes, holds = [np.zeros((0, 3))], [np.zeros((0, 2, 3))], [np.zeros(0)]
        for patch in filter(lambda patch: patch.inflow, grid.patches):
            shares, middles = _quarters(grid, patch) if told(grid, patch) else _parts(grid, patch)
            strength = _share(grid, patch, len(shares)) * rates[patch.name] ** 2 / patch.area / grid.cell_volume
            points.append(middles + AHEAD * np.array(patch.direction))
            pushes.append(strength * shares[:, None, None] * sideways(patch.direction))
            holds.append(np.full(len(shares), _hold(grid, patch, rates[patch.name])))
        self._pushes, self._holds = np.concatenate(pushes), np.concatenate(holds)
        self._faces = [spread(axis, grid, np.concatenate(points)) for axis in range(3)]
        self._ends = np.full(len(self._holds), -np.inf)
        self._forces = np.zeros((3, len(self._holds)))

    def act(self, time: float, dt: float, take: float, change: Velocity, moved: Velocity) -> None:
        """Add to change what the pushes do within dt, and of that what a stage takes to what has moved [m/s]."""
        over = time >= self._ends
        if over.any():
            self._turn(over, time)
        kicks = dt * self._forces
        for axis, (places, shares) in enumerate(self._faces):
            push(places, shares, kicks[axis], np.float32(take), change[axis].reshape(-1), moved[axis].reshape(-1))

    def state(self) -> State:
        """Everything that going on needs."""
        random = np.array(dumps(self._random.bit_generator.state))
        return {"random": random, "ends": self._ends, "forces": self._forces}

    def take_up(self, state: State) -> None:
        """Be what another one was."""
        self._random.bit_generator.state = loads(str(state["random"]))
        self._ends[:], self._forces[:] = state["ends"], state["forces"]

    def _turn(self, which: np.ndarray, time: float) -> None:
        """Turn some of the pushes another way."""
        angles = self._random.uniform(0, 2 * pi, len(which))
        forces = np.einsum("na,nab->bn", np.stack((np.cos(angles), np.sin(angles)), axis=-1), self._pushes)
        self._forces[:, which] = forces[:, which]
        self._ends[which] = time + self._holds[which]


def _share(grid: Grid, patch: Patch, parts: int) -> float:
    """Share of an outlet's momentum flux that pushes have [-]."""
    cells, quartered = min(patch.extent) / grid.cell_volume ** (1 / 3), told(grid, patch)
    if parts > 1 and cells < PART and not quartered:
        return sqrt(min(parts, IN_STEP)) * STRENGTH * max(cells, 1.0) ** -FALL
    slant = sqrt(2 * max(1 - sum(part**4 for part in patch.direction), 0.0))  # sin 2a in a plane of the grid
    apart = min(sqrt(parts), STREAM / cells) if quartered else 1.0  # not in step, as along a slot; in a stream they are
    fading = max(cells / STREAM, 1.0) ** FADING
    return fading * apart * STRENGTH * min(cells, PART) ** -FALL * (1 - EASE * slant)


def _quarters(grid: Grid, patch: Patch) -> tuple[np.ndarray, np.ndarray]:
    """Quarters of an outlet, alike wherever among the cells it lies: as _parts."""
    middle = (patch.share[:, None] * (patch.cells + 0.5)).sum(axis=0)
    across, up = sideways(patch.direction) * min(patch.extent) / 4 / np.array(grid.spacing)
    return np.full(4, 0.25), middle + np.array([across + up, across - up, up - across, -across - up])


def _hold(grid: Grid, patch: Patch, rate: float) -> float:
    """How long a push lasts [s], wherever among the cells the outlet lies."""
    h, speed = grid.cell_volume ** (1 / 3), rate / patch.area
    return HOLD * h / min(speed, sqrt(rate * speed) / (THINNEST * h))


def _parts(grid: Grid, patch: Patch) -> tuple[np.ndarray, np.ndarray]:
    """Parts of an outlet about as long as wide: their shares (n,) of its flow, their middles (n, 3) in cells."""
    cell, part = max(grid.spacing), np.zeros(len(patch.cells), int)
    edge = min(max(min(patch.extent), cell), PART * cell)
    longest_first = np.ptp(patch.cells, axis=0).argsort(kind="stable")[::-1]
    for axis, extent in zip(longest_first, sorted(patch.extent, reverse=True), strict=False):
        place = patch.cells[:, axis] - patch.cells[:, axis].min()
        count = max(1, int(extent / edge))
        part = part * count + place * count // (place.max() + 1)
    shares = np.bincount(part, patch.share)
    middles = np.stack([np.bincount(part, patch.share * (patch.cells[:, a] + 0.5)) for a in range(3)], axis=-1)
    return shares[shares > 0], middles[shares > 0] / shares[shares > 0, None]
