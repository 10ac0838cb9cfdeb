"""The same cells, which are no cubes, with their axes in turn: openings, marches and jets must do the same."""

from dataclasses import replace

import numpy as np
import pytest

from flowviz.flow.disturbance import Disturbance
from flowviz.flow.field import Field
from flowviz.flow.levels import FINE, Case, subgrid
from flowviz.flow.march import March
from flowviz.flow.narrow import crossing, nearness, told
from flowviz.flow.restore import restore
from flowviz.flow.state import FORGETFUL
from flowviz.flow.velocity import still
from flowviz.flow.walls import TANK, Walls
from flowviz.formulas.rubble import laminar_drag, turbulent_drag
from flowviz.grid.coarsen import coarsen
from flowviz.grid.grid import Grid, Patch, Rubble
from flowviz.progress import silent

SHAPE, EDGES = (20, 18, 17), np.array((0.02, 0.0235, 0.017))  # cells and their edges [m]
RATE, VISCOSITY = 1e-3, 1e-6  # through each opening [m³/s], [m²/s]
TURNS = [1, 2]
BORES = [
    (0.038, 0.038),
    (0.09, 0.09),
    (0.4, 0.01),
]  # taken otherwise by other edges than the longest one [m]


def turned(of, turn: int):
    """What belongs to three axes, with the first one moved to the second place or the third."""
    return tuple(of[(axis - turn) % 3] for axis in range(3))


def transposed(values: np.ndarray, turn: int) -> np.ndarray:
    """Values in cells or on faces, likewise."""
    return np.ascontiguousarray(values.transpose(turned(range(3), turn)))


def opening(name: str, inflow: bool, cells: np.ndarray, extent: tuple[float, float], turn: int) -> Patch:
    """At one end of the first axis."""
    way, share = turned((1.0 if inflow else -1.0, 0.0, 0.0), turn), np.full(len(cells), 1 / len(cells))
    centre = turned((cells.mean(axis=0) + 0.5) * EDGES, turn)
    cells = np.stack(turned(cells.T, turn), axis=-1)
    return Patch(name, inflow, cells, share, centre, way, way, np.prod(extent), extent, extent[0] == extent[1])


def stone(x, y, z):
    """Before the outlet, to one side [m]."""
    return np.sqrt((x - 0.2) ** 2 + (y - 0.17) ** 2 + (z - 0.12) ** 2) - 0.06


@pytest.fixture
def tank(box):
    """A box of water and a stone, with rubble at the far end, an outlet of some extent and an intake."""

    def make(turn: int, extent: tuple[float, float] = BORES[1]) -> Grid:
        row = [(0, j, 8) for j in range(18)] if max(extent) > 0.1 else [(0, j, k) for j in (8, 9) for k in (8, 9)]
        patches = (
            opening("outlet", True, np.array(row), extent, turn),
            opening("intake", False, np.array([(19, 4, 5)]), (0.03, 0.03), turn),
        )

        def rock(*place):
            return stone(*turned(np.broadcast_arrays(*place), -turn))

        grid = box(turned(SHAPE, turn), turned(EDGES, turn), rock, patches)
        heap = np.zeros(SHAPE, np.float32)
        heap[15:, :, :5] = 1
        heap = transposed(heap, turn)
        return replace(grid, rubble=Rubble(heap, laminar_drag(0.4, 0.03) * heap, turbulent_drag(0.4, 0.03) * heap))

    return make


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("extent", BORES)
def test_how_narrow_an_outlet_is_does_not_hang_on_its_axis(extent, turn, tank):
    """Exact; how fast its jet crosses cells but for rounding."""
    one, other = tank(0, extent), tank(turn, extent)
    assert np.array_equal(transposed(nearness(one), turn), nearness(other))
    assert told(one, one.patches[0]) == told(other, other.patches[0])
    assert crossing(one, one.patches[0], RATE) == pytest.approx(crossing(other, other.patches[0], RATE), rel=1e-12)


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("extent", BORES)
def test_an_outlet_is_pushed_as_often_and_as_hard_along_each_axis(extent, turn, tank):
    """Which way is a matter of chance; rounding."""

    def pushes(grid: Grid) -> np.ndarray:
        disturbance = Disturbance(grid, {"outlet": RATE, "intake": -RATE}, 0)
        disturbance.act(0.0, 0.01, 1.0, still(grid), still(grid))
        state = disturbance.state()
        return np.stack((np.linalg.norm(state["forces"], axis=0), state["ends"]))

    one, other = pushes(tank(0, extent)), pushes(tank(turn, extent))
    assert one.min() > 0
    assert one == pytest.approx(other, rel=1e-9)


@pytest.mark.parametrize("along", range(3))
def test_the_quarters_of_an_outlet_lie_a_quarter_of_its_bore_off_its_axis(along, box):
    """What is shared out on one side of it has its middle there, along the shortest edge, where no share overlaps."""
    across, bore, cell = (along + 1) % 3, 0.13, np.full((1, 3), 8)
    cell[0, along] = 0
    way = tuple(np.eye(3)[along])
    hole = Patch("outlet", True, cell, np.ones(1), (0, 0, 0), way, way, np.pi * bore**2 / 4, (bore, bore), True)
    grid = box((17, 17, 17), turned((0.0235, 0.017, 0.02), along), patches=(hole,))
    change = still(grid)
    Disturbance(grid, {"outlet": RATE}, 0).act(0.0, 0.01, 1.0, change, still(grid))
    places = (np.arange(18) * 0.017 - 8.5 * 0.017)[:9]
    kicks = np.moveaxis(change[across], across, 0)[:9].sum(axis=(1, 2), dtype=float)
    assert (kicks @ places) / kicks.sum() == pytest.approx(-bore / 4, rel=1e-5)


@pytest.mark.parametrize("turn", TURNS)
def test_a_march_goes_on_the_same(turn, tank, monkeypatch):
    """Without the outlet's random pushes, which have axes of their own; rounding, of ten steps."""
    monkeypatch.setattr("flowviz.flow.disturbance.STRENGTH", 0.0)

    def marched(turn: int) -> March:
        grid = tank(turn)
        walls = Walls(*turned((TANK.x, TANK.y, TANK.z), turn))
        march = March(grid, {"outlet": RATE, "intake": -RATE}, VISCOSITY, walls, FINE.closure, still(grid), 0)
        for _ in range(10):
            march.step()
        return march

    one, other = marched(0), marched(turn)
    assert one.time == pytest.approx(other.time, rel=1e-6)
    fastest = max(float(np.abs(along).max()) for along in one.velocity)
    for axis, along in enumerate(turned(one.velocity, turn)):
        assert transposed(along, turn) == pytest.approx(other.velocity[axis], abs=2e-6 * fastest)
    unseen, its_unseen = transposed(unseen_in(one), turn), unseen_in(other)
    assert unseen == pytest.approx(its_unseen, abs=1e-5 * float(its_unseen.max()))


def unseen_in(march: March) -> np.ndarray:
    """Rms of the motion smaller than its cells [m/s]."""
    return subgrid(Case(march.grid, {}, VISCOSITY, (0.03, 0.5), silent, 0, FORGETFUL), march)


@pytest.mark.parametrize("turn", TURNS)
def test_jet_sharpened_across_the_grid_is_the_same(turn, tank, make):
    """Of an outlet narrower than the larger cells, in water at rest: what is given back of its jet; rounding."""

    def given_back(turn: int) -> Field:
        grid = tank(turn, BORES[0])
        nothing = np.zeros(grid.shape, np.float32)
        at_rest, rates = make.field(grid, nothing[None]), {"outlet": RATE, "intake": -RATE}
        return restore(at_rest, grid, coarsen(grid, 2), rates, nothing)

    one, other = given_back(0), given_back(turn)
    assert one.speed.max() > 0.1
    for mine, its in zip(turned((one.u, one.v, one.w), turn), (other.u, other.v, other.w), strict=True):
        assert transposed(mine, turn) == pytest.approx(its, abs=1e-5)
