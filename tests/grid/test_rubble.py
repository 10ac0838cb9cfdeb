"""A heap of stones on the grid: room, drag and open faces."""

import numpy as np
import pytest

from flowviz.formulas.rubble import laminar_drag, turbulent_drag
from flowviz.grid.coarsen import coarsen
from flowviz.grid.voxelise import voxelise
from flowviz.scene.apertures import Bore
from flowviz.scene.model import Heap, Intake, Outlet, Rock
from flowviz.shapes.solids import Box, Ellipsoid

HEAP = Heap(0.4, 0.04)
ACROSS = Box((0.6, 0.32, 0.24), (0.2, 0.64, 0.48))  # fills the tank from glass to glass
LEFT = Outlet("left", (0.0, 0.32, 0.24), (1.0, 0.0, 0.0), (1.0, 0.0, 0.0), Bore(0.032), "left", None, None)
RIGHT = Intake("right", (1.2, 0.32, 0.24), (-1.0, 0.0, 0.0), Bore(0.05), "right", None, None, None)


@pytest.fixture
def heaped(tank):
    """The grid of a tank with rocks, in cells of 20 mm."""
    return lambda *rocks: voxelise(tank(rocks=rocks, outlets=(LEFT,), intakes=(RIGHT,)), 0.02)


def test_water_passes_a_heap_that_fills_the_tank(heaped):
    """Its stones are no water: 0.6 of its 0.2 x 0.64 x 0.48 m³; exact but for float32, its sides being the cells'."""
    grid = heaped(Rock("heap", ACROSS, HEAP))
    assert grid.water.all()
    assert grid.open_x[1:-1].min() == 1
    assert grid.water_volume == pytest.approx(1.2 * 0.64 * 0.48 - 0.6 * 0.2 * 0.64 * 0.48, rel=1e-6)
    assert np.count_nonzero(grid.water & ~grid.clear) == 10 * 32 * 24


def test_drag_stands_in_its_cells_alone(heaped):
    grid = heaped(Rock("heap", ACROSS, HEAP))
    within = grid.rubble.share == 1
    assert grid.rubble.laminar[within] == pytest.approx(laminar_drag(0.4, 0.04), rel=1e-6)  # float32
    assert grid.rubble.turbulent[within] == pytest.approx(turbulent_drag(0.4, 0.04), rel=1e-6)
    assert not grid.rubble.laminar[~within].any()


def test_heaps_that_overlap_are_counted_once(heaped):
    one, two = heaped(Rock("heap", ACROSS, HEAP)), heaped(Rock("heap", ACROSS, HEAP), Rock("again", ACROSS, HEAP))
    assert np.array_equal(one.open_volume, two.open_volume)
    assert np.array_equal(one.rubble.turbulent, two.rubble.turbulent)


def test_a_heap_within_another_takes_no_room_of_its_own(heaped):
    """They begin alike; the inner one ends at 704, the outer at 712 mm, 0.2 and 0.6 into a cell; float32 is left."""
    inner, outer = (Box((0.5 + edge / 2, 0.32, 0.24), (edge, 0.64, 0.48)) for edge in (0.204, 0.212))
    alone, both = heaped(Rock("outer", outer, HEAP)), heaped(Rock("inner", inner, HEAP), Rock("outer", outer, HEAP))
    assert alone.open_volume[35].max() == pytest.approx(1 - 0.6 * 0.6, rel=1e-5)
    assert both.open_volume == pytest.approx(alone.open_volume, abs=1e-6)
    assert both.rubble.turbulent == pytest.approx(alone.rubble.turbulent, rel=1e-5)


def test_a_round_heap_has_its_volume(heaped):
    """Shares are those of planes through the cells: within 1 % at 10 cells to the diameter, found by trial."""
    grid = heaped(Rock("mound", Ellipsoid((0.6, 0.32, 0.24), (0.4, 0.3, 0.2)), HEAP))
    volume = grid.rubble.share.sum(dtype=float) * grid.cell_volume
    assert volume == pytest.approx(np.pi / 6 * 0.4 * 0.3 * 0.2, rel=0.01)
    assert grid.water_volume == pytest.approx(1.2 * 0.64 * 0.48 - 0.6 * volume, rel=1e-6)


def test_solid_rock_within_a_heap_stays_solid(heaped):
    grid = heaped(Rock("heap", ACROSS, HEAP), Rock("core", Box((0.6, 0.32, 0.24), (0.1, 0.2, 0.2)), None))
    assert not grid.water[28:32, 12:20, 8:16].any()


def test_larger_cells_hold_the_same_water_and_of_all_else_the_mean_of_their_eight(heaped):
    grid = heaped(Rock("mound", Ellipsoid((0.6, 0.32, 0.24), (0.4, 0.3, 0.2)), HEAP))
    larger = coarsen(grid, 2)
    assert larger.water_volume == pytest.approx(grid.water_volume, rel=1e-6)
    for name in ("share", "laminar", "turbulent"):
        eights = getattr(grid.rubble, name).reshape(30, 2, 16, 2, 12, 2)
        assert getattr(larger.rubble, name) == pytest.approx(eights.mean(axis=(1, 3, 5)), rel=1e-5)  # single precision


def test_no_heap_costs_no_room(heaped):
    assert heaped().rubble is None
