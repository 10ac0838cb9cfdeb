"""The flow at points: exact where it is linear, and never taken from the far side of rock."""

import numpy as np
import pytest

from flowviz.flow.field import Field, Quality
from flowviz.flow.sample import speed_at, velocity_at
from flowviz.grid.grid import Grid, Kind
from flowviz.grid.joining import joined

SPACING = (0.021, 0.02, 0.019)
SHAPE = (9, 8, 7)


def tank(kind: np.ndarray) -> Grid:
    faces = tuple(np.ones(kind.shape + np.eye(3, dtype=int)[axis], np.float32) for axis in range(3))
    return joined(SPACING, kind, np.ones(kind.shape, np.float32), faces, ())


def field(u, v, w, speed) -> Field:
    u, v, w, speed = (np.asarray(part, np.float32) for part in (u, v, w, speed))
    return Field(u, v, w, speed, np.zeros_like(speed), speed[None], Quality(0.0, 0, 0.0, 0.0, True))


def linear(grid: Grid, slopes: np.ndarray, rest: np.ndarray) -> Field:
    """The field whose velocity is rest + slopes · x, and whose speed is 1 + x + 2 y + 3 z."""
    components = []
    for axis in range(3):
        middles = list(grid.centres())
        middles[axis] = np.arange(SHAPE[axis] + 1) * SPACING[axis]
        components.append(rest[axis] + sum(s * p for s, p in zip(slopes[axis], np.ix_(*middles), strict=True)))
    x, y, z = np.ix_(*grid.centres())
    return field(*components, 1 + x + 2 * y + 3 * z)


@pytest.fixture
def open_tank() -> Grid:
    return tank(np.full(SHAPE, Kind.WATER, np.uint8))


def inner_points() -> np.ndarray:
    """Random points at least a cell from the sides, where no closed face is near."""
    random = np.random.default_rng(3).random((200, 3))
    return (1 + random * (np.array(SHAPE) - 2)) * SPACING


def test_a_linear_field_is_met_exactly(open_tank):
    """A linear interpolation has no error on a linear field; single precision of the field leaves 1e-6."""
    slopes, rest = np.random.default_rng(4).standard_normal((3, 3)), np.array((0.3, -0.2, 0.1))
    points = inner_points()
    here = linear(open_tank, slopes, rest)
    assert velocity_at(open_tank, here, points) == pytest.approx(rest + points @ slopes.T, abs=1e-6)
    assert speed_at(open_tank, here, points) == pytest.approx(1 + points @ (1, 2, 3), abs=1e-6)


def test_middle_of_a_cell(open_tank):
    """There it is the mean of the cell's two faces, as Field.velocity says, whatever the field."""
    random = np.random.default_rng(5)
    faces = open_tank.open_x, open_tank.open_y, open_tank.open_z
    here = field(*(random.standard_normal(face.shape) * (face > 0) for face in faces), random.random(SHAPE))
    points = np.stack(np.meshgrid(*open_tank.centres(), indexing="ij"), axis=-1).reshape(-1, 3)
    assert velocity_at(open_tank, here, points) == pytest.approx(here.velocity().reshape(-1, 3), abs=1e-6)
    assert speed_at(open_tank, here, points) == pytest.approx(here.speed.ravel(), abs=1e-6)


def test_nothing_passes_the_glass(open_tank):
    """On each side of the tank the velocity through it is 0, and along it that of the cells beside it."""
    here = linear(open_tank, np.zeros((3, 3)), np.array((0.3, -0.2, 0.1)))
    for speed, face in ((here.u, open_tank.open_x), (here.v, open_tank.open_y), (here.w, open_tank.open_z)):
        speed[face == 0] = 0
    inside = np.array(SHAPE) * SPACING / 2
    for axis in range(3):
        for side in (0.0, SHAPE[axis] * SPACING[axis]):
            point = inside.copy()
            point[axis] = side
            expected = np.array((0.3, -0.2, 0.1))
            expected[axis] = 0
            assert velocity_at(open_tank, here, point)[0] == pytest.approx(expected, abs=1e-6)


def test_nothing_is_taken_from_across_rock():
    """A wall one cell thick with fast water behind it: in the cell before it only the water on this side counts."""
    kind = np.full(SHAPE, Kind.WATER, np.uint8)
    kind[4, :-1] = Kind.ROCK  # a gap at the back keeps the water in one piece
    grid = tank(kind)
    u, v, w = (np.zeros(face.shape) for face in grid.shares)
    v[:4], v[4:] = 0.1, 9.0
    speed = np.where(np.arange(SHAPE[0])[:, None, None] < 4, 0.1, 9.0) * np.ones(SHAPE)
    here = field(u, v, w, speed)
    points = np.array([(x * SPACING[0], 3.3 * SPACING[1], 3.4 * SPACING[2]) for x in (3.2, 3.5, 3.9, 3.999)])
    assert velocity_at(grid, here, points)[:, 1] == pytest.approx(0.1)
    assert speed_at(grid, here, points) == pytest.approx(0.1)


def test_no_flow_in_rock_and_outside_the_tank():
    kind = np.full(SHAPE, Kind.WATER, np.uint8)
    kind[4, 4, 4] = Kind.ROCK
    grid = tank(kind)
    here = linear(grid, np.zeros((3, 3)), np.ones(3))
    points = np.array([(4.5, 4.5, 4.5), (-0.1, 1, 1), (1, 8.1, 1), (1, 1, 1e6)]) * SPACING
    assert not velocity_at(grid, here, points).any()
    assert not speed_at(grid, here, points).any()
