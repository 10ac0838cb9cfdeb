"""Path lines against exact paths, and what they carry against the flow of the openings."""

from math import pi

import numpy as np
import pytest

from flowviz.flow.field import Field, Quality
from flowviz.flow.pressure.projection import potential_flow
from flowviz.flow.trace import paths
from flowviz.grid.grid import Grid, Kind, Patch
from flowviz.grid.joining import joined

EDGES = np.array((0.02, 0.0235, 0.017))  # of all cells here [m]


def tank(shape, patches=(), rock=()) -> Grid:
    """A box of water with cells of rock in it."""
    kind = np.full(shape, Kind.WATER, np.uint8)
    for cell in rock:
        kind[cell] = Kind.ROCK
    faces = tuple(np.ones(kind.shape + np.eye(3, dtype=int)[axis], np.float32) for axis in range(3))
    return joined(tuple(EDGES), kind, np.ones(shape, np.float32), faces, patches)


def opening(name, inflow, cells) -> Patch:
    share = np.full(len(cells), 1 / len(cells))
    return Patch(name, inflow, np.array(cells), share, (0, 0, 0), (1, 0, 0), (1, 0, 0), 1e-3, (0.03, 0.03), True)


def field(u, v, w) -> Field:
    u, v, w = (np.asarray(part, np.float32) for part in (u, v, w))
    nothing = np.zeros((u.shape[0] - 1, *u.shape[1:]), np.float32)
    return Field(u, v, w, nothing, nothing, nothing[None], Quality(0.0, 0, 0.0, 0.0, True))


def still(grid: Grid) -> list[np.ndarray]:
    return [np.zeros(face.shape) for face in grid.shares]


@pytest.mark.parametrize("axis", range(3))
def test_uniform_flow(axis):
    """Straight on at 0.05 m/s for the whole duration (exact; single precision of the velocity)."""
    grid = tank(np.where(np.arange(3) == axis, 30, 5))
    velocity = still(grid)
    velocity[axis][:] = 0.05
    start, ahead = np.array((0.031, 0.047, 0.055)), np.eye(3)[axis]
    (line,) = paths(grid, field(*velocity), start, 8.0)
    assert line[0] == pytest.approx((*start, 0.0))
    assert line[-1] == pytest.approx((*start + 0.4 * ahead, 8.0), rel=1e-6)
    assert np.diff(line[:, 3]).min() > 0
    assert line[:, axis] - start[axis] == pytest.approx(0.05 * line[:, 3], rel=1e-6, abs=1e-9)


def test_towards_a_wall():
    """u = 0.1 (1 - x/L): x = L - (L - x0) exp(-0.1 t/L), never through the wall (exact within cells, all linear)."""
    grid = tank((20, 3, 3))
    u, v, w = still(grid)
    length = 20 * EDGES[0]
    u[:] = 0.1 * (1 - np.arange(21) / 20)[:, None, None]
    (line,) = paths(grid, field(u, v, w), np.array((0.05, 0.03, 0.03)), 60.0)
    exact = length - (length - 0.05) * np.exp(-0.1 * line[:, 3] / length)
    assert line[:, 0] == pytest.approx(exact, abs=1e-7)
    assert line[-1, 3] == 60.0


def rotation(grid: Grid, turns_per_second: float, one: int, other: int) -> Field:
    """The water turning as one about the middle of the tank, from one axis to the other."""
    velocity, omega = still(grid), 2 * pi * turns_per_second
    for axis, across, way in ((one, other, -1), (other, one, 1)):
        off = grid.centres()[across] - grid.shape[across] * EDGES[across] / 2
        velocity[axis][:] = way * omega * np.expand_dims(off, tuple({0, 1, 2} - {across}))
    return field(*velocity)


@pytest.mark.parametrize("plane", [(0, 1), (1, 2), (2, 0)])
@pytest.mark.parametrize("radius", [0.05, 0.13, 0.31])
def test_a_turning_tank_brings_the_water_back(radius, plane):
    """Each line closes on itself: its stream function is linear along the faces, and the paths within cells are exact.

    How long a turn takes and how far the path strays from the circle is the error of second order of the field of the
    faces: below h²/(2 r²) and h/4.
    """
    grid, h = tank(np.where(np.isin(np.arange(3), plane), 40, 3)), EDGES[list(plane)].max()
    middle = np.array(grid.shape) * EDGES / 2
    start = middle + radius * np.eye(3)[plane[0]]
    (line,) = paths(grid, rotation(grid, 0.1, *plane), start, 100.0)
    ahead, aside = ((line[:, :3] - middle)[:, axis] for axis in plane)
    assert np.abs(np.hypot(ahead, aside) - radius).max() < h / 4
    back = np.flatnonzero((np.abs(aside) < 1e-9) & (ahead > 0))
    assert len(back) >= 9
    assert ahead[back] == pytest.approx(radius, abs=1e-6)
    assert np.diff(line[back, 3]) == pytest.approx(10.0, rel=h**2 / (2 * radius**2) + 1e-6)


def test_outlets_water_ends_at_the_intakes_by_their_flows():
    """Lines that start evenly over the faces of the outlet's cell carry the flow of their faces, and none is lost: what
    ends at an intake is its flow, to what 100 lines a face resolve (1/√100)."""
    openings = (
        opening("outlet", True, [(0, 6, 4)]),
        opening("low", False, [(29, 2, 2)]),
        opening("high", False, [(29, 9, 6)]),
    )
    rock = [(i, j, k) for i in (12, 13) for j in range(4, 8) for k in range(6)]
    grid = tank((30, 12, 8), openings, rock)
    u, v, w = potential_flow(grid, {"outlet": 1e-3, "low": -0.7e-3, "high": -0.3e-3}, 1e-6)
    seeds, carried = over_faces((0, 6, 4), 10, u, v, w)
    lines = paths(grid, field(u, v, w), seeds, 1e4)
    ends = np.array([line[-1, :3] / EDGES for line in lines])
    low, high = (np.abs(ends - middle).max(axis=1) < 0.5001 for middle in ((29.5, 2.5, 2.5), (29.5, 9.5, 6.5)))
    assert carried.sum() == pytest.approx(1e-3, rel=1e-4)
    assert (low | high).all()
    assert carried[low].sum() / carried.sum() == pytest.approx(0.7, abs=0.1)


def over_faces(cell, n, u, v, w) -> tuple[np.ndarray, np.ndarray]:
    """A lattice of n x n points just outside each face of a cell [m], and what flows out by each [m³/s]."""
    across = (np.arange(n) + 0.5) / n
    seeds, carried = [], []
    for axis, speed in enumerate((u, v, w)):
        for side in (0, 1):
            face = tuple(np.array(cell) + side * (np.arange(3) == axis))
            lattice = [across] * 3
            lattice[axis] = np.array([1.0001 if side else -0.0001])
            points = np.stack(np.meshgrid(*lattice, indexing="ij"), axis=-1).reshape(-1, 3)
            out = (1 if side else -1) * float(speed[face]) * EDGES.prod() / EDGES[axis]
            if out > 0:
                seeds.append((cell + points) * EDGES)
                carried.append(np.full(n * n, out / n**2))
    return np.concatenate(seeds), np.concatenate(carried)


def test_lines_stay_in_the_water():
    """Random flow through rock: every point of every line lies in water, and times only grow."""
    random = np.random.default_rng(2)
    rock = [tuple(cell) for cell in random.integers(0, (20, 10, 8), (150, 3)) if tuple(cell) != (0, 0, 0)]
    openings = opening("in", True, [(0, 0, 0)]), opening("out", False, [(19, 9, 7)])
    rock = [cell for cell in rock if cell != (19, 9, 7)]
    grid = tank((20, 10, 8), openings, rock)
    flow = field(*potential_flow(grid, {"in": 1e-3, "out": -1e-3}, 1e-6))
    seeds = (np.argwhere(grid.water) + 0.4) * EDGES
    for line in paths(grid, flow, seeds, 1e3):
        middles = (line[1:, :3] + line[:-1, :3]) / 2 / EDGES
        assert grid.water[tuple(np.clip(middles.astype(int), 0, np.array(grid.shape) - 1).T)].all()
        assert (np.diff(line[:, 3]) >= 0).all()


def test_seeds_that_go_nowhere():
    """In rock, in an intake and outside the tank: a line of one point."""
    grid = tank((6, 5, 4), (opening("out", False, [(5, 2, 2)]),), [(2, 2, 2)])
    seeds = np.array([(2.5, 2.5, 2.5), (5.5, 2.5, 2.5), (-3.0, 1.0, 1.0)]) * EDGES
    lines = paths(grid, field(*still(grid)), seeds, 10.0)
    assert [len(line) for line in lines] == [1, 1, 1]
    assert [line[0] for line in lines[:2]] == [pytest.approx((*seed, 0.0)) for seed in seeds[:2]]


def test_still_water_stays():
    grid = tank((6, 5, 4))
    (line,) = paths(grid, field(*still(grid)), np.array((0.05, 0.05, 0.05)), 10.0)
    assert line == pytest.approx(np.array([(0.05, 0.05, 0.05, 0.0), (0.05, 0.05, 0.05, 10.0)]))
