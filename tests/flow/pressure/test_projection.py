"""The projection against its own promise, and against exact solutions on boxes."""

import numpy as np
import pytest
from numpy import cos, pi, sin

from flowviz.errors import ConvergenceError
from flowviz.flow.pressure.projection import Projection, potential_flow
from flowviz.grid.grid import Patch


def still(grid):
    return tuple(np.zeros(face.shape, np.float32) for face in grid.shares)


def most_carried(grid, u, v, w):
    """The largest flow through a face of cubic cells [m³/s]."""
    faces = ((grid.open_x, u), (grid.open_y, v), (grid.open_z, w))
    return max(np.abs(face * speed).max() for face, speed in faces) * grid.spacing[0] ** 2


@pytest.mark.parametrize("tolerance", [1e-2, 1e-4, 1e-6])
def test_no_cell_lacks_more_than_asked(rocky, stirred, fed, lacks, tolerance):
    """Summed in double precision here; single precision of the velocity adds some 3e-7 of what a face carries."""
    u, v, w = stirred(rocky)
    source = fed(rocky)
    told = Projection(rocky).project(u, v, w, source, tolerance)
    found = np.abs(lacks(rocky, source, u, v, w))[rocky.water].max() / most_carried(rocky, u, v, w)
    assert told <= tolerance
    assert found == pytest.approx(told, abs=3e-7)


def test_closed_faces_are_left_alone(rocky, stirred, fed):
    speeds = stirred(rocky)
    Projection(rocky).project(*speeds, fed(rocky), 1e-4)
    for speed, face in zip(speeds, (rocky.open_x, rocky.open_y, rocky.open_z), strict=True):
        assert (speed[face == 0] == 9).all()


def test_a_velocity_without_divergence_is_left_alone(rocky, fed):
    """Projecting what is projected already changes nothing: the remedy of the first time is no remedy now."""
    u, v, w = still(rocky)
    Projection(rocky).project(u, v, w, fed(rocky), 1e-6)
    again = u.copy(), v.copy(), w.copy()
    Projection(rocky).project(*again, fed(rocky), 1e-5)
    assert all((a == b).all() for a, b in zip(again, (u, v, w), strict=True))


def test_less_than_is_allowed_is_mended_too(rocky, stirred, fed):
    """Else a slow motion would bend a little in each step, unseen. One V-cycle leaves a quarter of it
    at most (common practice, no source; ours: an eighth)."""
    speeds = stirred(rocky)
    first = Projection(rocky).project(*speeds, fed(rocky), 1e-2)
    assert Projection(rocky).project(*speeds, fed(rocky), 1e-2) < first / 4


def test_starting_from_the_last_pressure_gives_the_same_velocity(rocky, stirred, fed):
    """The same start twice in one Projection: the second time nothing is left to solve, the answer is the same to
    the tolerance of both (1e-5 of the fastest flow, added up over the box it may be ten times that)."""
    projection = Projection(rocky)
    first, second = stirred(rocky), stirred(rocky)
    projection.project(*first, fed(rocky), 1e-5)
    projection.project(*second, fed(rocky), 1e-5)
    for a, b, face in zip(first, second, (rocky.open_x, rocky.open_y, rocky.open_z), strict=True):
        assert np.abs(a - b)[face > 0].max() < 1e-4 * np.abs(a)[face > 0].max()


def test_a_single_cell(box):
    """Nothing to do, and nothing to go wrong."""
    grid = box((1, 1, 1), (0.02, 0.02, 0.02))
    assert Projection(grid).project(*still(grid), np.zeros((1, 1, 1)), 1e-6) == 0
    with pytest.raises(ConvergenceError):
        Projection(grid).project(*still(grid), np.full((1, 1, 1), 1e-3), 1e-6)


@pytest.mark.parametrize("speed", [np.inf, np.nan])
def test_what_is_no_number_is_never_balanced(speed, rocky, stirred, fed):
    """Told at once, and left where it stands: infinite flows differ by no more than any share of the largest."""
    u, v, w = stirred(rocky)
    place = tuple(np.argwhere(rocky.open_x > 0)[0])
    u[place] = speed
    with pytest.raises(ConvergenceError, match=r"a cell lacks (inf|nan)"):
        Projection(rocky).project(u, v, w, fed(rocky), 1e-5)
    assert np.argwhere(~np.isfinite(u)).tolist() == [list(place)]


def manufactured_error(box, cells):
    """Rms error of u for the potential cos(πx) cos(πy/0.8) cos(πz/1.1) in a box of 1 x 0.8 x 1.1 m, against its rms."""
    lengths = 1.0, 0.8, 1.1
    grid = box((cells, cells, cells), tuple(length / cells for length in lengths))
    x, y, z = np.ix_(*(pi * middle / length for middle, length in zip(grid.centres(), lengths, strict=True)))
    source = sum((pi / length) ** 2 for length in lengths) * cos(x) * cos(y) * cos(z) * grid.cell_volume
    u, v, w = still(grid)
    Projection(grid).project(u, v, w, source, 1e-6)
    at_faces = np.linspace(0, pi, cells + 1)[:, None, None]
    exact = pi * sin(at_faces) * cos(y) * cos(z)
    return np.sqrt(np.mean((u - exact) ** 2) / np.mean(exact**2))


def test_manufactured_solution_is_second_order(box):
    """Halving the cells quarters the error of u (exact solution; order 2 of the scheme on a smooth field)."""
    errors = [manufactured_error(box, cells) for cells in (8, 16, 32)]
    orders = -np.diff(np.log2(errors))
    assert errors[-1] < 2e-3
    assert (orders > 1.8).all()
    assert (orders < 2.2).all()


def test_pressure_is_the_potential(box):
    """u = -∂φ/∂x for φ = cos(πx) on a line of cells; its second-order error on 32 cells is (π/32)²/12 = 8e-4 of it."""
    grid = box((32, 1, 1), (1 / 32,) * 3)
    phi = cos(pi * grid.centres()[0])
    projection, found = Projection(grid), np.zeros(grid.shape, np.float32)
    projection.project(*still(grid), (pi**2 * phi * grid.cell_volume)[:, None, None], 1e-6)
    projection.read(0.0, 1.0, found)
    assert (found - found.mean())[:, 0, 0] == pytest.approx(phi, abs=1e-3)


@pytest.mark.parametrize("shape", [(1, 1, 2), (2, 2, 2), (5, 1, 7), (1, 9, 4), (17, 2, 3), (31, 17, 9), (3, 40, 1)])
def test_boxes_of_any_shape(box, stirred, lacks, shape):
    grid = box(shape, (0.021, 0.02, 0.019))
    source = np.zeros(shape)
    source[0, 0, 0], source[-1, -1, -1] = 1e-3, -1e-3
    u, v, w = stirred(grid)
    Projection(grid).project(u, v, w, source, 1e-6)
    assert np.abs(lacks(grid, source, u, v, w)).max() < 2e-6 * 1e-3


def test_two_rooms_joined_by_one_cell(box, stirred, lacks):
    """What flows in on the left leaves on the right, all of it through the hole."""

    def distance(x, y, z):
        hole = np.maximum(np.abs(y - 0.25), np.abs(z - 0.15)) - 0.0111
        return np.maximum(np.abs(x - 0.33) - 0.0301, -hole)

    grid = box((33, 25, 16), (0.02, 0.02, 0.02), distance)
    source = np.zeros(grid.shape)
    source[2, 3, 4], source[30, 20, 10] = 1e-3, -1e-3
    u, v, w = stirred(grid)
    Projection(grid).project(u, v, w, source, 1e-6)
    assert np.abs(lacks(grid, source, u, v, w)[grid.water]).max() < 2e-6 * 1e-3
    assert (grid.open_x[16] * u[16]).sum(dtype=float) * 0.02**2 == pytest.approx(1e-3, rel=1e-4)


def test_labyrinth(box, lacks):
    """Nine walls of one cell, each with its gap at the other end: the flow runs through them all."""

    def distance(x, y, z):
        gap = [np.abs(y - 0.2 * (n % 2)) - 0.05 for n in range(1, 10)]
        walls = [np.maximum(np.abs(x - 0.06 * n) - 0.0101, -gap[n - 1]) for n in range(1, 10)]
        return np.min(walls, axis=0) + 0 * z

    grid = box((30, 10, 6), (0.02, 0.02, 0.02), distance)
    assert not grid.pockets
    source = np.zeros(grid.shape)
    source[0, 0, 0], source[-1, -1, -1] = 1e-3, -1e-3
    u, v, w = still(grid)
    Projection(grid).project(u, v, w, source, 1e-6)
    assert np.abs(lacks(grid, source, u, v, w)[grid.water]).max() < 1e-6 * most_carried(grid, u, v, w)


def test_the_same_bits_every_time(rocky, stirred, fed):
    first, second = stirred(rocky), stirred(rocky)
    assert Projection(rocky).project(*first, fed(rocky), 1e-5) == Projection(rocky).project(*second, fed(rocky), 1e-5)
    assert all((a == b).all() for a, b in zip(first, second, strict=True))


@pytest.mark.parametrize("axis", [0, 1, 2])
def test_mirrored_tank_has_the_mirrored_flow(box, axis):
    """Exact in exact numbers; solved to 1e-6 of the fastest flow, which over the box adds up to 1e-5."""
    lump = np.array((0.31, 0.22, 0.13))
    size = np.array((0.7, 0.5, 0.4))
    seen = lump.copy()
    seen[axis] = size[axis] - lump[axis]
    here, there = (
        lambda x, y, z, c=c: np.sqrt((x - c[0]) ** 2 + (y - c[1]) ** 2 + (z - c[2]) ** 2) - 0.1 for c in (lump, seen)
    )
    speeds = []
    for distance in (here, there):
        grid = box((35, 25, 20), (0.02, 0.02, 0.02), distance)
        source = np.zeros(grid.shape)
        source[3, 4, 5], source[28, 17, 15] = 1e-3, -1e-3
        source = np.flip(source, axis) if distance is there else source
        u, v, w = still(grid)
        Projection(grid).project(u, v, w, np.ascontiguousarray(source), 1e-6)
        speeds.append((u, v, w))
    for other, (speed, mirrored) in enumerate(zip(*speeds, strict=True)):
        sign = -1 if other == axis else 1
        assert np.abs(speed - sign * np.flip(mirrored, axis)).max() < 2e-5 * np.abs(speed).max()


def test_water_at_rest_stays_at_rest(rocky):
    u, v, w = still(rocky)
    assert Projection(rocky).project(u, v, w, np.zeros(rocky.shape), 1e-6) == 0
    assert not u.any()
    assert not v.any()
    assert not w.any()


def test_sources_that_do_not_balance_are_refused(rocky):
    source = np.zeros(rocky.shape)
    source[50, 20, 10] = 1e-3
    with pytest.raises(
        ConvergenceError, match=r"pressure: .* lacks .*\. Check that the flows of the openings sum to zero"
    ):
        Projection(rocky).project(*still(rocky), source, 1e-6)


def test_potential_flow_brings_each_opening_its_flow(box):
    """Through any plane between outlet and intake passes the outlet's flow (to the tolerance, 1e-5 by default)."""

    def patch(name, inflow, cells):
        share = np.full(len(cells), 1 / len(cells))
        return Patch(name, inflow, np.array(cells), share, (0, 0, 0), (1, 0, 0), (1, 0, 0), 1e-3, (0.03, 0.03), True)

    openings = patch("left", True, [(0, 4, 5), (0, 5, 5)]), patch("right", False, [(39, 10, 3), (39, 10, 4)])
    grid = box((40, 15, 10), (0.02, 0.02, 0.02), patches=openings)
    u, _, _ = potential_flow(grid, {"left": 1.5e-3, "right": -1.5e-3})
    through = (grid.open_x * u).sum(axis=(1, 2), dtype=float)[1:-1] * 0.02**2
    assert through == pytest.approx(1.5e-3, rel=1e-4)
