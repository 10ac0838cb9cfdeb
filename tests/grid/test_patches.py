"""Openings on the grid: where their water enters, and openings that have none before them."""

from dataclasses import replace
from itertools import pairwise
from math import acos, pi, sqrt

import numpy as np
import pytest

from flowviz.errors import InputError
from flowviz.grid.voxelise import voxelise
from flowviz.scene.apertures import Bore, Slot
from flowviz.scene.model import Intake, Outlet, Rock, Sand
from flowviz.shapes.plans import Disc, rectangle
from flowviz.shapes.solids import Box, Ellipsoid

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
DRAIN = Intake("drain", (1.2, 0.32, 0.1), (-1.0, 0.0, 0.0), Bore(0.06), "right", None, None, None)


def outlet(centre, normal, aperture, panel="left"):
    """An outlet that blows straight into the tank."""
    return Outlet("jet", centre, normal, normal, aperture, panel, None, None)


def patch_of(tank, opening, **parts):
    """The grid with cells of 20 mm, and the opening on it."""
    grid = voxelise(tank(outlets=(opening,), intakes=(DRAIN,), **parts), 0.02)
    return grid, grid.patches[0]


def shares(patch):
    """Share of the flow by cell."""
    return {tuple(cell): share for cell, share in zip(patch.cells.tolist(), patch.share.tolist(), strict=True)}


def test_a_bore_is_shared_out_by_area(tank):
    """A bore of 80 mm about a corner of cells: a cell wholly inside has 400 mm² of it, those beyond 20 mm a segment."""
    _, patch = patch_of(tank, outlet((0.0, 0.3, 0.2), X, Bore(0.08)))
    found = shares(patch)
    whole = 0.02**2 / (pi / 4 * 0.08**2)
    assert found[0, 14, 9] == pytest.approx(whole, rel=0.01)  # points of a sixteenth of a cell
    assert (
        len({round(share, 12) for share in (found[0, 14, 9], found[0, 15, 9], found[0, 14, 10], found[0, 15, 10])}) == 1
    )
    assert sum(share for (_, j, _), share in found.items() if j >= 16) == pytest.approx(
        segment(0.04, 0.02) / (pi * 0.04**2), rel=0.02
    )
    assert np.ptp(patch.cells[:, 0]) == 0


def test_a_slanting_jet_leaves_an_ellipse(tank):
    """A jet as wide as its bore crosses the glass along bore/cos: else it could not leave at its own speed.

    The mean square of an ellipse of half axes a and b is a²/4 along the one and b²/4 along the other; cells add h²/12
    of their own, which is Sheppard's rule and within 5 % of the whole for four cells across.
    """
    slanting = replace(outlet((0.0, 0.3, 0.2), X, Bore(0.08)), direction=(0.8, 0.6, 0.0))
    _, patch = patch_of(tank, slanting)
    middles = (patch.cells + 0.5) * 0.02 - np.array((0.0, 0.3, 0.2))
    along, up = (patch.share @ middles[:, axis] ** 2 for axis in (1, 2))
    assert along == pytest.approx((0.04 / 0.8) ** 2 / 4 + 0.02**2 / 12, rel=0.05)
    assert up == pytest.approx(0.04**2 / 4 + 0.02**2 / 12, rel=0.05)


def segment(radius: float, distance: float) -> float:
    """Area of the part of a disc beyond a line at a distance from its centre."""
    return radius**2 * acos(distance / radius) - distance * sqrt(radius**2 - distance**2)


def test_a_slot_over_the_whole_width_is_even(tank):
    """Full-width slots must bring a level stream: every cell of a row the same."""
    _, patch = patch_of(tank, outlet((0.0, 0.32, 0.44), X, Slot(0.64, 0.05)))
    rows = np.zeros((32, 24))
    rows[patch.cells[:, 1], patch.cells[:, 2]] = patch.share
    assert (rows[:, 21:23] > 0).all()
    assert np.ptp(rows, axis=0).max() < 1e-12
    assert rows.sum(axis=0)[20:24] == pytest.approx([0.1, 0.4, 0.4, 0.1], abs=1e-6)  # 50 mm about a corner


def test_a_bore_within_a_cell_is_one_cell_and_on_an_edge_two(tank):
    _, inside = patch_of(tank, outlet((0.0, 0.31, 0.21), X, Bore(0.02)))
    _, edge = patch_of(tank, outlet((0.0, 0.32, 0.21), X, Bore(0.02)))
    assert shares(inside) == {(0, 15, 10): pytest.approx(1)}
    assert shares(edge) == {(0, 15, 10): pytest.approx(0.5), (0, 16, 10): pytest.approx(0.5)}


def test_a_pipe_end_in_the_tank_fills_the_cells_before_it(tank):
    """Its plane lies at x = 613 mm: the first middles before it are those of the 31st cells."""
    _, patch = patch_of(tank, outlet((0.613, 0.31, 0.21), X, Bore(0.03)))
    assert set(patch.cells[:, 0].tolist()) == {31}
    assert patch.centre == (0.613, 0.31, 0.21)


def test_an_opening_in_oblong_cells_is_where_it_was_put(tank):
    """Cells of 21.4 x 21.4 x 20.8 mm: at the far end of 40 and more of them its middle is still that of its flow."""
    drain = replace(DRAIN, centre=(1.2, 0.3, 0.1))
    pipe = outlet((1.07, 0.51, 0.41), (0.0, 0.0, -1.0), Bore(0.06))
    grid = voxelise(tank(plan=rectangle(1.2, 0.6), depth=0.5, outlets=(pipe,), intakes=(drain,)), 0.02)
    assert len(set(np.round(grid.spacing, 6))) > 1
    middle = grid.patches[0].share @ ((grid.patches[0].cells + 0.5) * grid.spacing)
    assert middle[:2] == pytest.approx((1.07, 0.51), abs=0.002)  # a disc in whole cells: a tenth of one
    assert middle[2] == pytest.approx(0.40, abs=0.01)  # half a cell before it, give or take half a cell


def test_a_slanting_pipe_end_keeps_its_middle(tank):
    """The flow's middle lies half a cell before the opening's, give or take half a cell."""
    normal = (sqrt(0.5), 0.0, -sqrt(0.5))
    grid, patch = patch_of(tank, outlet((0.6, 0.32, 0.3), normal, Bore(0.06)))
    middle = patch.share @ ((patch.cells + 0.5) * grid.spacing)
    assert middle == pytest.approx(np.add((0.6, 0.32, 0.3), 0.01 * np.array(normal)), abs=0.01)


def test_an_outlet_in_the_floor_rises_through_the_sand(tank):
    grid, patch = patch_of(tank, outlet((0.5, 0.2, 0.0), Z, Bore(0.03), "floor"), sand=Sand(0.05, 0.001))
    assert patch.centre == pytest.approx((0.5, 0.2, 0.05))
    assert set(patch.cells[:, 2].tolist()) == {2}
    assert grid.open_volume[tuple(patch.cells[0])] == pytest.approx(0.5, abs=1e-6)


def test_without_sand_over_it_an_opening_stays_where_it_is(tank):
    """An outlet in a bare floor, and one in the wall whose lower half lies behind sand: it looks ahead, not up."""
    _, bare = patch_of(tank, outlet((0.5, 0.2, 0.0), Z, Bore(0.03), "floor"))
    _, half = patch_of(tank, outlet((0.0, 0.3, 0.035), X, Bore(0.04)), sand=Sand(0.04, 0.001))
    assert (bare.centre, half.centre) == ((0.5, 0.2, 0.0), (0.0, 0.3, 0.035))
    assert set(half.cells[:, 2].tolist()) == {2}


def test_an_opening_in_round_glass_finds_the_water(tank):
    spot = (0.4 - 0.4 * sqrt(0.5), 0.4 - 0.4 * sqrt(0.5), 0.3)
    pipe = outlet(spot, (sqrt(0.5), sqrt(0.5), 0.0), Bore(0.04), "wall")
    drain = replace(DRAIN, centre=(0.8, 0.4, 0.1))
    grid = voxelise(tank(plan=Disc(0.8), outlets=(pipe,), intakes=(drain,)), 0.02)
    jet = shares(grid.patches[0])
    assert jet == {(j, i, k): pytest.approx(share) for (i, j, k), share in jet.items()}  # about the diagonal
    assert len(jet) >= 4


def test_an_intake_looks_along_its_normal(tank):
    grid, _ = patch_of(tank, outlet((0.0, 0.3, 0.2), X, Bore(0.03)))
    drain = grid.patches[1]
    assert not drain.inflow
    assert drain.direction == drain.normal == DRAIN.normal
    assert set(drain.cells[:, 0].tolist()) == {59}
    assert drain.extent == (0.06, 0.06)
    assert drain.round


def test_sources_add_up_to_the_rates(tank):
    grid, _ = patch_of(tank, outlet((0.0, 0.3, 0.2), X, Bore(0.03)))
    source = grid.source({"jet": 0.002, "drain": -0.002})
    assert source[source > 0].sum() == pytest.approx(0.002, rel=1e-12)
    assert source.sum() == pytest.approx(0, abs=1e-18)


@pytest.mark.parametrize(
    ("centre", "normal", "message"),
    [
        ((0.5, 0.3, 0.1), X, r"^outlet jet: it lies inside rock 'heap'\. Move one of the two$"),
        (
            (0.35, 0.3, 0.1),
            X,
            r"^outlet jet: rock 'heap' covers it at cells of 20 mm\. Move one of the two, or take smaller",
        ),
        ((0.0, 0.3, 0.02), X, r"^outlet jet: it lies under the sand\. Move it up"),
        ((0.0, 0.3, 0.6), X, r"^outlet jet: it lies outside the water\. Move it inside the glass and below"),
        ((-0.2, 0.3, 0.3), X, r"^outlet jet: it lies outside the water"),
        ((0.0, 0.3, 0.3), (-1.0, 0.0, 0.0), r"^outlet jet: it lies outside the water"),
    ],
)
def test_an_opening_without_water_before_it_is_refused(tank, centre, normal, message):
    heap = (
        Rock("pebble", Ellipsoid((1.0, 0.5, 0.1), (0.1, 0.1, 0.1))),
        Rock("heap", Box((0.5, 0.3, 0.1), (0.28, 0.2, 0.2))),
    )
    with pytest.raises(InputError, match=message):
        patch_of(tank, outlet(centre, normal, Bore(0.03)), rocks=heap, sand=Sand(0.06, 0.001))


def test_rock_over_half_of_an_opening_leaves_the_flow_to_the_other_half(tank):
    block = (Rock("block", Box((0.0, 0.2, 0.2), (0.2, 0.2, 0.6))),)
    _, patch = patch_of(tank, outlet((0.0, 0.3, 0.2), X, Bore(0.06)), rocks=block)
    assert patch.cells[:, 1].min() == 15
    assert patch.share.sum() == pytest.approx(1, abs=1e-12)


def test_two_openings_in_the_same_cells_are_refused(tank):
    jet = outlet((0.0, 0.31, 0.21), X, Bore(0.021))
    twin = replace(jet, name="twin", centre=(0.0, 0.312, 0.21))
    drain = replace(DRAIN, name="near", centre=(0.0, 0.315, 0.21), normal=X, aperture=Bore(0.02))
    with pytest.raises(InputError, match=r"^outlet jet and outlet twin: they lie in the same cells\. Move them apart"):
        voxelise(tank(outlets=(jet, twin), intakes=(DRAIN,)), 0.02)
    with pytest.raises(InputError, match=r"^outlet jet and intake near: they lie in the same cells"):
        voxelise(tank(outlets=(jet,), intakes=(drain,)), 0.02)


def test_neighbours_of_a_spray_bar_may_share_cells(tank):
    """Holes of 5 mm every 8 mm, all outlets, in cells of 10 mm: their flows add up in the cells they share."""
    holes = [replace(outlet((0.0, 0.3 + 0.008 * n, 0.2), X, Bore(0.005)), name=f"hole {n}") for n in range(6)]
    grid = voxelise(tank(outlets=tuple(holes), intakes=(DRAIN,)), None)
    cells = [set(shares(patch)) for patch in grid.patches[:-1]]
    assert any(one & other for one, other in pairwise(cells))
    assert grid.source({**{hole.name: 1e-4 for hole in holes}, "drain": -6e-4}).sum() == pytest.approx(0, abs=1e-18)
