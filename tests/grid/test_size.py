"""The size of the cells: what is chosen, what is refused and what the message says."""

from dataclasses import replace
from itertools import pairwise
from math import prod

import pytest

from flowviz.errors import InputError
from flowviz.grid import size
from flowviz.grid.voxelise import voxelise
from flowviz.scene.apertures import Bore, Slot
from flowviz.scene.model import Intake, Outlet, Phase


def jet(aperture: Bore | Slot) -> Outlet:
    """An outlet on the left."""
    return Outlet("jet", (0.0, 0.3, 0.3), (1.0, 0.0, 0.0), (1.0, 0.0, 0.0), aperture, "left", None, None)


DRAIN = Intake("drain", (1.2, 0.3, 0.1), (-1.0, 0.0, 0.0), Bore(0.05), "right", None, None, None)


def edges(extent, shape) -> list[float]:
    """Of the cells [m]."""
    return [length / n for length, n in zip(extent, shape, strict=True)]


@pytest.mark.parametrize(
    "extent", [(2.4, 0.76, 0.6), (2.4, 1.2, 0.35), (3.6, 0.7, 0.8), (0.6, 0.4, 0.4), (1.0, 1.0, 0.9)]
)
def test_counts_suit_multigrid_and_cells_are_nearly_cubes(extent):
    """Multiples of 4 with cells within a tenth of the edge that is wanted, as `counts` promises."""
    wanted = size.chosen(extent, [])
    shape = size.counts(extent, wanted)
    assert all(n % 4 == 0 for n in shape)
    assert all(abs(edge / wanted - 1) <= 0.1 for edge in edges(extent, shape))
    assert prod(shape) == pytest.approx(size.AIM, rel=0.38)  # three edges a tenth off at most: 1/0.9³


def test_an_edge_that_fits_is_kept():
    assert size.counts((1.2, 0.64, 0.48), 0.02) == (60, 32, 24)


def test_cubes_go_before_the_edge_that_is_wanted():
    """Cubes of 20.5 mm, where 64 x 40 x 20 would have the volume of 20 mm almost exactly."""
    assert size.counts((1.23, 0.82, 0.41), 0.02) == (60, 40, 20)


def test_where_fours_do_not_fit_twos_are_taken():
    """8 or 12 for 10 cells are off by a fifth; 10 of 105 mm are less cubic than 11 of 95.5, but two halve them."""
    assert size.counts((1.05, 0.6, 0.4), 0.1) == (10, 6, 4)


def test_where_twos_do_not_fit_either_any_number_is_taken():
    """4 or 6 for 5 cells are off by a sixth at least."""
    assert size.counts((0.5, 0.5, 0.5), 0.1) == (5, 5, 5)


def test_few_cells_are_still_nearly_cubes():
    """Counts as small as FEWEST are no multiples of 4 in general; cells stay within a quarter of each other."""
    for extent in ((1.0, 0.55, 0.41), (0.9, 0.5, 0.45), (2.0, 0.7, 0.6)):
        found = edges(extent, size.counts(extent, min(extent) / size.FEWEST))
        assert max(found) / min(found) < 1.25


def test_narrow_openings_make_smaller_cells_up_to_a_limit():
    extent = (2.4, 0.76, 0.6)
    chosen = [size.chosen(extent, [width]) for width in (0.05, 0.018, 0.005)]
    assert chosen[0] == size.chosen(extent, [])
    assert chosen[1] == pytest.approx(0.018 / 1.1, rel=1e-12)  # for counts may make them a tenth larger
    assert max(edges(extent, size.counts(extent, chosen[1]))) <= 0.018
    assert prod(extent) / chosen[2] ** 3 == pytest.approx(size.MOST, rel=1e-9)
    assert all(later <= sooner for sooner, later in pairwise(chosen))


def test_a_slot_counts_by_its_area(tank):
    """120 x 12 mm is as wide as a bore of √(4/π · 120 · 12) = 42.8 mm."""
    assert size.width(jet(Slot(0.12, 0.012))) == pytest.approx(0.0428, abs=5e-5)


@pytest.mark.parametrize(
    ("cell", "aperture", "message"),
    [
        (0.0, Bore(0.03), r"^cell size: 0 is no size for a cell\. Write a length above zero$"),
        (-0.02, Bore(0.03), "^cell size: -0.02 is no size"),
        (float("nan"), Bore(0.03), "^cell size: nan is no size"),
        (float("inf"), Bore(0.03), "^cell size: inf is no size"),
        (0.5, Bore(0.3), r"^cell size: cells of 500 mm are too large .* extent is 480 mm\. Write 120 mm or less"),
        (
            0.03,
            Bore(0.025),
            r"^cell size: cells of 30 mm are larger than the bore of 'jet', 25 mm\. Write 25 mm or less",
        ),
        (0.05, Slot(0.12, 0.012), r"larger than the bore of 'jet', 42\.8\d? mm\. Write 42\.8 mm or less"),
    ],
)
def test_a_cell_that_does_not_suit_the_tank_is_refused(tank, cell, aperture, message):
    with pytest.raises(InputError, match=message):
        voxelise(tank(outlets=(jet(aperture),), intakes=(DRAIN,)), cell)


def test_the_largest_cell_that_is_offered_is_taken(tank):
    """120 mm for a depth of 480 mm."""
    assert voxelise(tank(), 0.12).shape[2] == size.FEWEST


def test_a_cell_as_large_as_the_bore_is_taken(tank):
    """53 mm through inches is 53 mm but for its last bit."""
    inches = 0.053 / 0.0254 * 0.0254
    assert inches < 0.053
    drain = replace(DRAIN, aperture=Bore(0.06))
    grid = voxelise(tank(outlets=(jet(Bore(inches)),), intakes=(drain,)), 0.053)
    assert grid.patches[0].share.sum() == pytest.approx(1, abs=1e-12)


def test_more_cells_than_memory_are_refused_before_they_are_made(tank, monkeypatch):
    """With 1 GB free: 200 bytes a cell allow five million; 0.36864 m³ over 5e6 is a cube of 4.194 mm."""
    monkeypatch.setattr(size, "free_memory", lambda: 10**9)
    with pytest.raises(InputError) as refused:
        voxelise(tank(), 0.001)
    assert refused.value.fault == "cells of 1 mm make 3.69e+08 of them, which need 73.7 GB of memory; 1 GB are free"
    assert refused.value.remedy == "Write 4.2 mm or more, or leave it out"
    assert prod(size.counts((1.2, 0.64, 0.48), 0.0042)) * size.BYTES < 1.05e9  # counts may go a little over


def test_each_further_phase_needs_room_for_its_flow(tank, monkeypatch):
    """84 bytes more a cell: 368,640 cells of 10 mm need 73.7 MB of one phase, 167 MB of four."""
    phases = tuple(Phase(name, 60.0, {}, {}) for name in "abcd")
    monkeypatch.setattr(size, "free_memory", lambda: 10**8)
    assert voxelise(tank(phases=phases[:1]), 0.01).kind.size == 368_640
    with pytest.raises(InputError, match=r"^cell size: cells of 10 mm .* need 0\.167 GB of memory; 0\.1 GB are free"):
        voxelise(tank(phases=phases), 0.01)


def test_absurdly_small_cells_are_refused_too(tank):
    for cell in (1e-6, 1e-300):
        with pytest.raises(InputError, match=r"^cell size: .* GB of memory"):
            voxelise(tank(), cell)


def test_a_large_tank_with_a_narrow_bore_chooses_cells_wider_than_the_bore():
    """5 mm in 5 x 2 x 1.5 m: cells of the bore's size would be 120 million."""
    assert size.chosen((5.0, 2.0, 1.5), [0.005]) > 0.005


def test_the_machine_tells_its_memory():
    assert 10**8 < size.free_memory() < 10**14


def test_a_shallow_tank_keeps_cells_enough_over_its_depth():
    """140,000 cubes of 3 x 3 x 0.05 m have edges of 14.8 mm, three and a half over the depth; four are 12.5 mm."""
    extent = (3.0, 3.0, 0.05)
    assert size.chosen(extent, []) == pytest.approx(0.0125, rel=1e-12)
    assert size.counts(extent, 0.0125) == (240, 240, size.FEWEST)


def test_us_scenes_are_told_in_inches(tank):
    """A bore of 1 in, cells of 2 in; 1 in is on the tape."""
    with pytest.raises(InputError) as refused:
        voxelise(replace(tank(outlets=(jet(Bore(0.0254)),)), show="us"), 0.0508)
    assert refused.value.fault == "cells of 2 in are larger than the bore of 'jet', 1 in"
    assert refused.value.remedy == "Write 1 in or less, or leave it out"
