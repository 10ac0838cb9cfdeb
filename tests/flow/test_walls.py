"""What walls take from the water along them, and what it hands on beside them."""

from math import log, sqrt

import numpy as np
import pytest

from flowviz.flow.velocity import still
from flowviz.flow.walls import GLASS, SLIP, TANK, Friction, Side, Walls
from flowviz.formulas.walls import smooth_wall

SHAPE, EDGES, VISCOSITY, FRICTION = (6, 6, 6), (0.02, 0.0235, 0.017), 1e-6, 0.01  # cells, [m], [m²/s], u* [m/s]
CELL = 0.02  # [m]
SIDES = [(axis, upper) for axis in range(3) for upper in (False, True)]


@pytest.fixture
def beside(box):
    """What layers of water along an axis change by [m/s²], from the first one along the wall at one side of a box."""

    def at(axis: int, across: int, upper: bool, layers: np.ndarray, wall: Side = GLASS) -> np.ndarray:
        grid, sides = box(SHAPE, EDGES), [[SLIP, SLIP] for _ in range(3)]
        sides[across][upper] = wall
        velocity, moved = still(grid), still(grid)
        velocity[axis][...] = np.moveaxis((layers[::-1] if upper else layers)[:, None, None], 0, across)
        friction = Friction(grid, VISCOSITY, Walls(*map(tuple, sides)))
        friction.act(0, SHAPE[0], velocity, 1.0, moved)
        friction.correct(velocity, 1.0, moved)
        middle = [3, 3, 3]
        middle[across] = slice(None, None, -1 if upper else 1)
        assert all(not np.any(moved[other]) for other in range(3) if other != axis)
        return moved[axis][tuple(middle)]

    return at


WAYS = [(axis, across, upper) for axis in range(3) for across, upper in SIDES if across != axis]


@pytest.mark.parametrize(("axis", "across", "upper"), WAYS)
def test_a_stream_with_one_speed_is_only_held(axis, across, upper, beside):
    """By the stress of the wall's law on the first layer, exact but for single precision; there is nothing to mix."""
    change, h = beside(axis, across, upper, np.full(6, 0.3)), EDGES[across]
    assert change[0] == pytest.approx(-smooth_wall(VISCOSITY, h / 2) * 0.3**1.75 / h, rel=1e-5)
    assert not change[1:].any()


@pytest.mark.parametrize(("axis", "across", "upper"), WAYS)
def test_the_logarithmic_law_is_kept(axis, across, upper, beside):
    """What mixing hands to the first layer is what the wall takes from it, ln 3 times: exact but for single precision.

    U = u*/0.41 ln y + c, whose stress is u*² at every distance; from the middle of one layer to the next, three times
    as far, U grows by u*/0.41 ln 3.
    """
    h = EDGES[across]
    places = (np.arange(6) + 0.5) * h
    first = (FRICTION**2 / smooth_wall(VISCOSITY, h / 2)) ** (4 / 7)
    change = beside(axis, across, upper, first + FRICTION / 0.41 * np.log(places / places[0]))
    assert -change[1] * h == pytest.approx(log(3) * FRICTION**2, rel=1e-4)
    assert (change[0] + change[1]) * h == pytest.approx(-(FRICTION**2), rel=1e-4)
    assert not change[2:].any()


@pytest.mark.parametrize(("axis", "across", "upper"), WAYS)
def test_a_wall_of_no_slip_takes_what_the_slope_of_a_parabola_asks_for(axis, across, upper, beside):
    """From U = V + y - 5 y² ν dU/dy at the wall, whose speed is V: exact but for single precision."""
    h, moving = EDGES[across], 0.1
    places = (np.arange(6) + 0.5) * h
    wall = Side("still", tuple(moving * np.eye(3)[axis]))
    change = beside(axis, across, upper, moving + places - 5 * places**2, wall)
    assert change[0] == pytest.approx(-VISCOSITY * 1.0 / h, rel=1e-4)
    assert not change[1:].any()


def block(x, y, z):
    """From one of four cells across x and z, through all of the box."""
    return np.maximum(abs(x - 6 * CELL), abs(z - 6 * CELL)) - 2 * CELL + 0 * y


def slope(x, y, z):
    """From rock at 45 degrees, through the corners of the cells."""
    return (x - z) / sqrt(2) + 0 * y


@pytest.mark.parametrize(("rock", "mixed"), [(block, False), (slope, True)])
def test_water_is_mixed_beside_rock_that_slants_and_not_beside_blocks(rock, mixed, box):
    """Beyond the first layer, which is slower, walls take nothing: what changes there was handed to it."""
    shape = 12, 12, 12
    grid = box(shape, (CELL,) * 3, rock)
    x, y, z = np.ix_(*((np.arange(n + (a == 1)) + 0.5 * (a != 1)) * CELL for a, n in enumerate(shape)))
    velocity, moved = still(grid), still(grid)
    inner = rock(x, y, z) > 0.6 * CELL
    velocity[1][...] = np.where(inner, 0.3, 0.1) * (grid.open_y > 0)
    Friction(grid, VISCOSITY, Walls((SLIP, SLIP), (SLIP, SLIP), (SLIP, SLIP))).act(0, 12, velocity, 1.0, moved)
    assert moved[1][~inner].any()
    assert moved[1][inner].any() == mixed
    assert moved[1][inner].max() <= 0


def test_planes_that_are_done_one_by_one_take_the_same(box):
    """To the bit, and in any order, as threads do them: also what mixing hands from one plane to the next."""
    grid = box((12,) * 3, (CELL,) * 3, slope)
    random = np.random.default_rng(1)
    velocity = tuple(
        random.normal(scale=0.1, size=share.shape).astype(np.float32) * (share > 0) for share in grid.shares
    )
    friction, whole, parts = Friction(grid, VISCOSITY, TANK), still(grid), still(grid)
    friction.act(0, 12, velocity, 0.01, whole)
    for first in reversed(range(12)):
        friction.act(first, first + 1, velocity, 0.01, parts)
    assert all(np.array_equal(one, other) for one, other in zip(whole, parts, strict=True))
    assert all(along.any() for along in whole)
