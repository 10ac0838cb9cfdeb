"""Bare tanks with one jet, marched from rest, and how the jet in them is measured."""

from dataclasses import dataclass, replace
from math import pi

import numpy as np
import pytest
from scipy.ndimage import map_coordinates

from flowviz.flow.field import Field
from flowviz.flow.levels import FINE
from flowviz.flow.march import March
from flowviz.flow.restore import restore
from flowviz.flow.statistics import Record
from flowviz.flow.velocity import still
from flowviz.flow.walls import TANK
from flowviz.grid.coarsen import coarsen
from flowviz.grid.grid import Grid
from flowviz.grid.voxelise import voxelise
from flowviz.scene.apertures import Bore, Slot
from flowviz.scene.model import Intake, Limits, Outlet, Scene, Tank, Water
from flowviz.shapes.plans import rectangle

CELL, SPEED, VISCOSITY = 0.02, 1.5, 1e-6  # [m], [m/s], [m²/s]
EVERY = 2  # steps from one count to the next
DECAY = 6.06  # constant of the decay: N. R. Panchapakesan & J. L. Lumley, J. Fluid Mech. 246 (1993) 197-223
AROUND = np.linspace(0, 2 * pi, 24, endpoint=False)  # places round the axis


@dataclass(frozen=True)
class JetTank:
    """A tank of water with a jet from its left end, and an intake over all of its right one."""

    grid: Grid
    bore: float  # [m]
    start: np.ndarray  # of the jet [m]
    direction: np.ndarray
    section: float  # of the tank, square to the jet, on average [m²]

    @property
    def rates(self) -> dict[str, float]:
        flow = SPEED * pi * self.bore**2 / 4
        return {"jet": flow, "drain": -flow}

    @property
    def momentum(self) -> float:
        """Of the jet where it leaves, over density [m⁴/s²]."""
        return SPEED * self.rates["jet"]


@dataclass(frozen=True)
class Marched:
    """A mean field, and the momentum that passes each plane across x, over what the outlet brings [-]."""

    tank: JetTank
    field: Field
    momentum: np.ndarray  # with pressure, up to a constant

    def along(self, points: np.ndarray, direction: np.ndarray) -> np.ndarray:
        """Mean velocity along a direction at points (..., 3), over the outlet's [-]."""
        velocity = 0.0
        for axis, values in enumerate((self.field.u, self.field.v, self.field.w)):
            places = points / self.tank.grid.spacing - 0.5 * (np.arange(3) != axis)
            there = map_coordinates(values.astype(float), np.moveaxis(places, -1, 0), order=1, mode="nearest")
            velocity = velocity + there * direction[axis]
        return velocity / SPEED


@dataclass(frozen=True)
class Law:
    """What a jet does from 10 to 40 bores: straight lines through what is measured every 2.5 bores."""

    decay: float  # B, with the momentum that the return flow takes allowed for [-]
    growth: float  # of the half-width [-]
    entrainment: float  # of the flow over that of the outlet, per bore [-]
    profile: np.ndarray  # mean of those scaled to the half-width, at the radii asked for [-]


def jet_tank(bore: float, size: tuple[float, float, float], start, direction=(1.0, 0.0, 0.0)) -> JetTank:
    """A tank of so many cells of 20 mm, with a jet of a bore [cells] that starts at a place [cells]."""
    along = np.array(direction) / np.linalg.norm(direction)
    length, width, depth = (n * CELL for n in size)
    centre = tuple(float(c * CELL) for c in start)
    jet = Outlet("jet", centre, tuple(map(float, along)), (1.0, 0.0, 0.0), Bore(bore * CELL), "left", None, None)
    middle, hole = (length, width / 2, depth / 2), Slot(0.98 * width, 0.98 * depth)
    drain = Intake("drain", middle, (-1.0, 0.0, 0.0), hole, "right", None, None, None)
    tank = Tank(rectangle(length, width), depth + 0.05, depth, {}, ("front",))
    scene = Scene("jet", "metric", Water(25.0, 35.0), tank, Limits(0.03, 0.5), outlets=(jet,), intakes=(drain,))
    finer = 1 if bore >= 1 else int(np.ceil(1 / bore))
    grid = voxelise(scene, CELL / finer)
    grid = coarsen(grid, finer) if finer > 1 else grid
    way = min((np.array(grid.shape) * grid.spacing - centre)[:2] / np.maximum(along[:2], 1e-9))
    return JetTank(grid, bore * CELL, np.array(centre), along, length * width * depth / way)


def march_jets(tank: JetTank, settle: float, average: float, count: int = 1) -> list[Marched]:
    """So many marches, each with a disturbance of its own."""
    return [march_jet(tank, settle, average, seed) for seed in range(count)]


def march_jet(tank: JetTank, settle: float, average: float, seed: int) -> Marched:
    """Marched from rest, averaged after a while and given back as a fine field is, in times of bore over speed."""
    march = March(tank.grid, tank.rates, VISCOSITY, TANK, FINE.closure, still(tank.grid), seed)
    time = tank.bore / SPEED
    while march.time < settle * time:
        march.step()
    record, passing, area = Record(march), 0.0, np.prod(tank.grid.spacing[1:])
    while record.time < average * time:
        dt = sum(march.step() for _ in range(EVERY))
        record.sums.add(march.velocity, dt)
        u = (march.velocity[0][1:] + march.velocity[0][:-1]).astype(float) / 2
        passing = passing + dt * area * (u**2 + march.pressure).sum(axis=(1, 2))
    record.end_window()
    field = restore(record.field(record.quality(march, steady=False)), tank.grid, tank.grid, tank.rates, 0.0)
    return Marched(tank, field, passing / record.time / tank.momentum)


def mean_of(marches: list[Marched]) -> Marched:
    """What several marches of one tank come to together."""
    u, v, w = (sum(getattr(each.field, name) for each in marches) / len(marches) for name in "uvw")
    momentum = sum(each.momentum for each in marches) / len(marches)
    return Marched(marches[0].tank, replace(marches[0].field, u=u, v=v, w=w), momentum)


def measure_jet(marched: Marched, radii: np.ndarray) -> Law:
    """The law of the jet about its own axis, which may have turned a little."""
    tank, places = marched.tank, np.arange(10, 40.1, 2.5)
    start, direction = own_axis(marched)
    first, second = square_to(direction)
    ring = np.cos(AROUND)[:, None] * first + np.sin(AROUND)[:, None] * second
    taken = 1 + 16 / (pi * DECAY**2) * places**2 * (pi * tank.bore**2 / 4) / tank.section
    rows, profiles = [], []
    for x in places:
        r = np.linspace(0, 0.3 * x, 61)
        points = start + tank.bore * (x * direction + r[:, None, None] * ring)
        speed = marched.along(points, direction).mean(axis=-1)
        below = np.argmax(speed < speed[0] / 2)
        half = float(np.interp(-speed[0] / 2, -speed[below - 1 : below + 1], r[below - 1 : below + 1]))
        inner = r <= 2.5 * half
        rows.append((1 / speed[0], half, 8 * np.trapezoid((speed * r)[inner], r[inner])))
        profiles.append(np.interp(radii * half, r, speed / speed[0]))
    slow, half, flow = np.array(rows).T
    slope = lambda values: float(np.polyfit(places, values, 1)[0])  # noqa: E731
    root = np.sqrt(taken)
    return Law(1 / slope(slow / root), slope(half), slope(flow * root), np.mean(profiles, axis=0))


def own_axis(marched: Marched) -> tuple[np.ndarray, np.ndarray]:
    """Start [m] and direction of the straight line through the middles of the jet's momentum."""
    tank, places = marched.tank, np.arange(10, 41, 5)
    across = square_to(tank.direction)
    middles = []
    for x in places:
        a, b = np.meshgrid(*[np.linspace(-0.22 * x, 0.22 * x, 31)] * 2, indexing="ij")
        points = tank.start + tank.bore * (x * tank.direction + a[..., None] * across[0] + b[..., None] * across[1])
        weight = np.maximum(marched.along(points, tank.direction), 0) ** 2
        middles.append([(weight * c).sum() / weight.sum() for c in (a, b)])
    slopes, offsets = np.polyfit(places, middles, 1)
    direction = tank.direction + slopes @ across
    return tank.start + tank.bore * offsets @ across, direction / np.linalg.norm(direction)


def square_to(direction: np.ndarray) -> np.ndarray:
    """Two unit vectors (2, 3) square to a direction and to each other."""
    first = np.cross(direction, np.eye(3)[np.argmin(np.abs(direction))])
    first /= np.linalg.norm(first)
    return np.stack((first, np.cross(direction, first)))


@pytest.fixture(scope="session")
def tank():
    return jet_tank


@pytest.fixture(scope="session")
def marched():
    return march_jets


@pytest.fixture(scope="session")
def mean():
    return mean_of


@pytest.fixture(scope="session")
def law():
    return measure_jet


@pytest.fixture(scope="session")
def found():
    """A field that a level has found, to be measured as a marched one."""
    return lambda tank, field: Marched(tank, field, np.zeros(0))
