"""How water runs on along walls that are round, or slant through the cells."""

from dataclasses import replace
from functools import partial
from math import cos, pi, radians, sin

import numpy as np
import pytest

from flowviz.flow.levels import COARSE
from flowviz.flow.march import March
from flowviz.flow.momentum import Momentum, Stage
from flowviz.flow.refine import refine_velocity
from flowviz.flow.slanting import Slants
from flowviz.flow.velocity import Velocity, still
from flowviz.flow.walls import ROUGHNESS, TANK
from flowviz.formulas.pipes import friction
from flowviz.grid.coarsen import coarsen
from flowviz.grid.grid import Grid, Kind
from flowviz.grid.voxelise import voxelise
from flowviz.shapes.plans import Disc, Polygon, rectangle

RADIUS, DEPTH, SPEED = 0.7, 0.5, 0.3  # of the round tank [m], and of the water along its glass [m/s]
WATER, NOTHING = 1e-6, 1e-24  # viscosity [m²/s]: glass takes by its fourth root, of next to none a 30,000th
WIDE, LONG = 0.4, 1.6  # of the channel [m]
CELL = 0.02  # [m]


@pytest.fixture
def glass(make):
    """Builds the cells of an empty tank."""
    return lambda plan, cell: replace(voxelise(make.tank(plan, DEPTH, 0.05), cell), patches=())


@pytest.fixture
def pit(box):
    """Builds the cells, so much larger, of a round pit in rock on a floor of glass."""
    half = 0.75

    def build(larger: float) -> Grid:
        grid = box((60, 60, 20), (0.025,) * 3, lambda x, y, z: RADIUS - np.hypot(x - half, y - half) + 0 * z)
        return coarsen(grid, larger)

    return build


def moving(grid: Grid, along) -> Velocity:
    """Water that moves along x, y and z as a function of the place says [m/s]; nothing on shut faces."""
    velocity = []
    for axis, share in enumerate(grid.shares):
        places = [
            (np.arange(n) + (0 if a == axis else 0.5)) * h
            for a, (n, h) in enumerate(zip(share.shape, grid.spacing, strict=True))
        ]
        velocity.append((along(*np.ix_(*places))[axis] * (share > 0)).astype(np.float32))
    return tuple(velocity)


def middle(grid: Grid) -> np.ndarray:
    """Of its box [m]."""
    return np.multiply(grid.shape, grid.spacing) / 2


def spin(grid: Grid, velocity: Velocity) -> float:
    """Angular momentum of a round tank's water about its middle, over density [m⁵/s]."""
    x, y = (along - at for along, at in zip(np.ix_(*grid.centres())[:2], middle(grid)[:2], strict=True))
    u, v = ((np.add(*(np.moveaxis(velocity[a], a, 0)[part] for part in (np.s_[1:], np.s_[:-1])))) / 2 for a in (0, 1))
    return float(((x * np.moveaxis(v, 0, 1) - y * u) * grid.open_volume).sum(dtype=float)) * grid.cell_volume


def spun_down(grid: Grid, viscosity: float, seconds: float) -> float:
    """What is left of the spin of water that at first turns as one [-]."""
    rate, (x0, y0, _) = SPEED / RADIUS, middle(grid)
    start = moving(grid, lambda x, y, z: (-rate * (y - y0) + 0 * x + 0 * z, rate * (x - x0) + 0 * y, 0 * x))
    march = March(grid, {}, viscosity, TANK, COARSE.closure, start, 0)
    before = spin(grid, march.velocity)
    while march.time < seconds:
        march.step()
    return spin(grid, march.velocity) / before


def slowed(roughness: float) -> float:
    """What is left of the spin after 40 s: dL/dt = -f/8 V² 2 π R² D by the wall, -f/8 V² 2 π R³/5 by the smooth floor.

    The stress is that of a pipe (Colebrook); roughness of the wall [m].
    """
    speed, span = SPEED, 0.1
    inertia = pi * RADIUS**3 / 2 * DEPTH  # L / V
    for _ in range(400):
        wall, floor = (friction(speed * 2 * RADIUS / WATER, ks / (2 * RADIUS))[0] / 8 for ks in (roughness, 0.0))
        speed -= span * speed**2 * (wall * 2 * pi * RADIUS**2 * DEPTH + floor * 2 * pi * RADIUS**3 / 5) / inertia
    return speed / SPEED


@pytest.mark.parametrize("larger", [2, 3.5])
def test_water_that_circles_without_friction_goes_on(larger, glass):
    """Exact: its spin stays. 5 % in 40 s, a turn and a half, is what smooths it in 28 cells across, or 16."""
    grid = coarsen(glass(Disc(2 * RADIUS), 0.025), larger)
    assert spun_down(grid, NOTHING, 40.0) == pytest.approx(1, abs=0.05)


@pytest.mark.parametrize("larger", [1, 2, 3.5])
def test_within_rock_too(larger, pit, monkeypatch):
    """As within glass, if the rock is smooth; with its steps for walls, 0.6 would be left on the smallest cells."""
    monkeypatch.setitem(ROUGHNESS, Kind.ROCK, NOTHING)
    assert spun_down(pit(larger), NOTHING, 40.0) == pytest.approx(1, abs=0.05)


def test_smooth_glass_slows_water_that_circles(glass):
    """By the law of smooth pipes; a quarter of the loss is left to that, for the tank is no pipe, to the law of the
    wall, and to what smooths.
    """
    grid = coarsen(glass(Disc(2 * RADIUS), 0.025), 2)
    assert 1 - spun_down(grid, WATER, 40.0) == pytest.approx(1 - slowed(0.0), rel=0.25)


@pytest.mark.parametrize("larger", [1, 2])
def test_rough_rock_slows_water_that_circles(larger, pit):
    """By the law of rough pipes, its roughness for their equivalent sand grain; as above."""
    assert 1 - spun_down(pit(larger), WATER, 40.0) == pytest.approx(1 - slowed(ROUGHNESS[Kind.ROCK]), rel=0.25)


def inner(values: np.ndarray, axis: int, grid: Grid, along: np.ndarray) -> np.ndarray:
    """Those (n,) of values on open faces that lie well off the channel's ends."""
    places = np.ix_(*((np.arange(n) + 0.5) * h for n, h in zip(values.shape[:2], grid.spacing[:2], strict=True)))
    halves = middle(grid)[:2]
    from_middle = sum(a * (place - half) for a, place, half in zip(along, places, halves, strict=True))
    opened = grid.shares[axis] > 0
    return values[opened & (np.abs(from_middle) < LONG / 4)[:, :, None]]


@pytest.mark.parametrize("larger", [1, 2])
@pytest.mark.parametrize("angle", [20, 30, 45])
def test_a_stream_along_slanting_glass_keeps_its_speed(angle, larger, glass, askew):
    """Exact, whatever carries and smooths it, but for faces that are open by less than 1/20 and therefore shut.

    Of a volume that is carried past such a face a fortieth is missing: 0.025 U²/h; of larger cells two such faces.
    """
    plan, along, _ = askew(angle, LONG, WIDE)
    grid = coarsen(glass(plan, CELL), larger)
    velocity = moving(grid, lambda x, y, z: (*(SPEED * a + 0 * (x + y + z) for a in along), 0 * (x + y + z)))
    slants, momentum = Slants(grid), Momentum(grid, {}, NOTHING, TANK, COARSE.closure)
    slants.act(velocity)
    change, moved, slowed = still(grid), still(grid), still(grid)
    momentum.drive(velocity, np.zeros(grid.shape, np.float32), Stage(0.0, 1.0, 0.0, 1.0, 0.0), 1.0, change, moved)
    momentum.slow(velocity, 1.0, slowed)
    worst = SPEED**2 / max(grid.spacing) * 0.025 * larger
    for axis in range(2):
        assert len(inner(change[axis], axis, grid, along)) > 100
        assert np.abs(inner(change[axis], axis, grid, along)).max() < (1e-5 if angle == 45 else worst)
        smoothed = inner(slowed[axis] - velocity[axis], axis, grid, along)
        assert np.abs(smoothed).max() < 1e-4 * SPEED**2 / max(grid.spacing)


def test_a_field_on_larger_cells_is_read_beside_slanting_glass_as_it_is(glass, askew):
    """Exact for a stream along it; without the velocity on shut faces some of it would be a third too slow."""
    plan, along, _ = askew(30, LONG, WIDE)
    fine = glass(plan, CELL)
    large = coarsen(fine, 2)
    velocity = moving(large, lambda x, y, z: (*(SPEED * a + 0 * (x + y + z) for a in along), 0 * (x + y + z)))
    Slants(large).act(velocity)
    for axis, read in enumerate(refine_velocity(velocity, large, fine)[:2]):
        found = inner(read, axis, fine, along)
        assert found == pytest.approx(SPEED * along[axis], rel=1e-4)


def test_glass_along_the_cells_is_a_wall(glass):
    """Exact: no shut face is given a velocity, in a tank with a corner cut out or in one without."""
    plan = Polygon(((0, 0), (0.8, 0), (0.8, 0.4), (0.4, 0.4), (0.4, 0.8), (0, 0.8)), tuple("abcdef"))
    for grid in (glass(plan, CELL), glass(rectangle(0.8, 0.5), CELL)):
        velocity = moving(grid, lambda x, y, z: (1 + 0 * (x + y + z),) * 3)
        Slants(grid).act(velocity)
        for along, share in zip(velocity, grid.shares, strict=True):
            assert not along[share == 0].any()


@pytest.mark.parametrize(("angle", "least", "most"), [(60, 0, 0), (90, 0, 0), (110, 0, 0), (140, 0.6, 1)])
def test_along_blunt_edges_and_not_along_sharp_ones(angle, least, most, box):
    """Of rock of that angle [°], turned at random: which of the cells within one of its edge count as cut aslant.

    The test is ours, at 61 degrees between its sides; at 120 two in five count.
    """
    random, found = np.random.default_rng(1), np.zeros(2, int)
    for _ in range(4):
        way, aside, _ = np.linalg.qr(random.normal(size=(3, 3)))[0]
        at = 10 * CELL + random.uniform(0, CELL, 3)
        sides = [sign * cos(radians(angle / 2)) * aside - sin(radians(angle / 2)) * way for sign in (1, -1)]
        grid = box((20,) * 3, (CELL,) * 3, partial(off_wedge, at, sides))
        off = np.stack(np.broadcast_arrays(*np.ix_(*grid.centres())), axis=-1) - at
        near = grid.water & (np.hypot(off @ way, off @ aside) < CELL)
        inner = slice(3, -3), slice(3, -3), slice(3, -3)
        found += np.count_nonzero((grid.aslant & near)[inner]), np.count_nonzero(near[inner])
    assert least <= found[0] / found[1] <= most


def off_wedge(at, sides, x, y, z):
    """Distance from rock between two planes through a point [m]."""
    return np.maximum(*(n[0] * (x - at[0]) + n[1] * (y - at[1]) + n[2] * (z - at[2]) for n in sides))
