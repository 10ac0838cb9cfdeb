"""The same tank in larger cells: nothing is lost on the way."""

from collections import defaultdict
from dataclasses import replace
from math import radians

import numpy as np
import pytest

from flowviz.grid.coarsen import SLIVER, coarsen
from flowviz.grid.grid import Grid, Kind
from flowviz.grid.joining import bodies, joined
from flowviz.grid.voxelise import voxelise
from flowviz.scene.apertures import Bore
from flowviz.scene.model import Intake, Outlet, Rock, Sand
from flowviz.shapes.plans import Disc
from flowviz.shapes.solids import Box, Cylinder, Ellipsoid, turned

JET = Outlet("jet", (0.0, 0.23, 0.31), (1.0, 0.0, 0.0), (1.0, 0.0, 0.0), Bore(0.05), "left", None, None)
DRAIN = Intake("drain", (1.2, 0.4, 0.1), (-1.0, 0.0, 0.0), Bore(0.06), "right", None, None, None)
HEAP = (
    Rock("heap", Ellipsoid((0.6, 0.3, 0.05), (0.5, 0.4, 0.5))),
    Rock("block", Box((0.9, 0.5, 0.2), (0.1, 0.13, 0.4))),
)


@pytest.fixture
def fine(tank) -> Grid:
    """A tank with sand and rock in 60 x 32 x 24 cells of 20 mm."""
    return voxelise(tank(rocks=HEAP, sand=Sand(0.05, 0.001), outlets=(JET,), intakes=(DRAIN,)), 0.02)


def middle_of_flow(grid: Grid, number: int) -> np.ndarray:
    """Where an opening's flow enters, on average [m]."""
    patch = grid.patches[number]
    return patch.share @ ((patch.cells + 0.5) * grid.spacing)


def test_a_factor_of_one_changes_nothing_but_slivers(fine):
    """A hundredth of the cells that solids cut, where the steps that these leave hide that a wall runs on."""
    same = coarsen(fine, 1)
    lost = fine.water & ~same.water
    assert np.count_nonzero(lost) < 0.01 * np.count_nonzero(fine.water & (fine.open_volume < 1))
    assert (fine.open_volume[lost] < SLIVER).all()
    kind = np.where(lost, np.uint8(Kind.ROCK), fine.kind)
    rest = joined(fine.spacing, kind, fine.open_volume.copy(), tuple(share.copy() for share in fine.shares), ())
    for name in ("open_volume", "open_x", "open_y", "open_z"):
        assert np.array_equal(getattr(same, name), getattr(rest, name)), name
    assert np.array_equal(same.patches[0].cells, fine.patches[0].cells)
    assert same.patches[0].share == pytest.approx(fine.patches[0].share, abs=1e-15)


@pytest.mark.parametrize("factor", [2, 2.5, 3, 4])
def test_the_box_and_all_but_slivers_of_the_water_are_kept(fine, factor):
    """Lost are larger cells with less than SLIVER of water: on average 0.125 % of a cell along the 1.3 m² of solid.

    Twice that is allowed, the cells being few.
    """
    large = coarsen(fine, factor)
    assert np.multiply(large.shape, large.spacing) == pytest.approx(np.multiply(fine.shape, fine.spacing), abs=1e-12)
    assert max(large.spacing) / 0.02 == pytest.approx(factor, rel=0.2)
    assert large.water_volume <= fine.water_volume + 1e-9
    assert large.water_volume == pytest.approx(fine.water_volume, abs=0.0025 * max(large.spacing) * 1.3)
    assert {Kind.WATER, Kind.ROCK} <= set(large.kind.ravel().tolist()) <= {Kind.WATER, Kind.ROCK, Kind.SAND}


def test_a_tank_without_slivers_keeps_its_volume_exactly(tank):
    """Sand of 60 mm is one and a half cells of 40 mm, and three fourths of one of 80 mm."""
    fine = voxelise(tank(sand=Sand(0.06, 0.001)), 0.02)
    for factor in (2, 4):
        assert coarsen(fine, factor).water_volume == pytest.approx(1.2 * 0.64 * 0.42, rel=1e-6)  # float32


@pytest.mark.parametrize("factor", [2, 4])
def test_larger_faces_take_the_area_of_the_section_they_lie_in(tank, factor):
    """A column through all of the depth is the same in every section: larger faces are means of all the finer ones in
    them, but for slivers.
    """
    fine = voxelise(tank(rocks=(Rock("column", Cylinder((0.61, 0.3, 0.24), 0.3, 0.6)),)), 0.02)
    sections = fine.open_z[:, :, factor:-factor:factor]
    means = sections.reshape(60 // factor, factor, 32 // factor, factor, -1).mean(axis=(1, 3))
    large = coarsen(fine, factor).open_z[:, :, 1:-1]
    assert ((means > 0.1) & (means < 0.9)).any()
    assert ((means > 0) & (means < SLIVER)).any()
    assert large == pytest.approx(np.where(means < SLIVER, 0, means), abs=1e-6)


@pytest.mark.parametrize("factor", [2, 4])
def test_faces_that_slanting_glass_narrows_take_the_area_of_their_section(tank, factor):
    """Exactly, since no water is behind that glass; nor is a small piece of a larger cell shut for being small."""
    fine = voxelise(tank(Disc(1.28)), 0.02)
    large = coarsen(fine, factor)
    sections = fine.open_x[factor:-factor:factor].reshape(-1, 64 // factor, factor, 24 // factor, factor)
    means, glass = sections.mean(axis=(2, 4)), large.open_x[1:-1]
    assert ((means > 0.1) & (means < 0.9)).any()
    assert glass == pytest.approx(np.where(means < SLIVER, 0, means), abs=1e-6)
    assert large.water_volume == pytest.approx(fine.water_volume, rel=1e-6)


@pytest.mark.parametrize("offset", [0.0, 0.007, 0.016, 0.031, 0.055])
@pytest.mark.parametrize("factor", [2, 3, 4])
@pytest.mark.parametrize("gap", [0.02, 0.03, 0.05])
def test_a_throat_between_round_columns_stays_as_narrow(tank, gap, factor, offset):
    """Of one cell to two and a half, to a fifth or so: what they leave open slants, and yet its narrowest place counts.

    The bounds are ours; where it did not count, larger cells made throats wider by two fifths.
    """
    x, y = 0.6 + offset, 0.3 + offset / 2
    middles = [(x, y + side * (0.24 + gap) / 2, 0.24) for side in (-1, 1)]
    fine = voxelise(tank(rocks=tuple(Rock(f"{y}", Cylinder((x, y, z), 0.24, 0.6)) for x, y, z in middles)), 0.02)

    def narrowest(grid: Grid) -> float:
        beside = np.abs(grid.centres()[1] - y) < gap / 2 + 0.07
        faces = np.abs(np.arange(grid.shape[0] + 1) * grid.spacing[0] - x) < 0.06
        return grid.open_x[faces][:, beside].sum(axis=(1, 2)).min() * grid.spacing[1] * grid.spacing[2]

    assert 0.75 < narrowest(coarsen(fine, factor)) / narrowest(fine) < 1.2


@pytest.mark.parametrize("factor", [2, 2.5, 3])
def test_openings_stay_where_they_are(fine, factor):
    """The middle of the flow moves by no more than half the difference of the cells."""
    large = coarsen(fine, factor)
    for number, patch in enumerate(large.patches):
        assert patch.share.sum() == pytest.approx(1, abs=1e-12)
        assert large.water[tuple(patch.cells.T)].all()
        assert patch.area == fine.patches[number].area
        moved = np.abs(middle_of_flow(large, number) - middle_of_flow(fine, number))
        assert (moved <= (np.array(large.spacing) - fine.spacing) / 2 + 1e-9).all()


@pytest.mark.parametrize("factor", [2, 4])
def test_a_larger_cell_brings_what_the_cells_in_it_brought(tank, factor):
    """Added up here, where each larger cell holds whole cells; of a wide bore some of them lie beside the round."""
    fine = voxelise(tank(outlets=(replace(JET, aperture=Bore(0.14)),), intakes=(DRAIN,)), 0.02)
    assert len(fine.patches[0].cells) < np.prod(np.ptp(fine.patches[0].cells, axis=0) + 1)
    for large, patch in zip(coarsen(fine, factor).patches, fine.patches, strict=True):
        brought = defaultdict(float)
        for cell, share in zip(patch.cells // factor, patch.share, strict=True):
            brought[tuple(cell.tolist())] += share
        brings = dict(zip(map(tuple, large.cells.tolist()), large.share, strict=True))
        assert brings == pytest.approx(brought, abs=1e-12)


@pytest.mark.parametrize("factor", [2, 3, 2.5])
@pytest.mark.parametrize("place", [0.58, 0.6, 0.605, 0.62])
def test_a_baffle_that_fits_into_a_larger_cell_still_parts_the_tank(tank, factor, place):
    """Water only passes above it: the open area beside the baffle's top stays, that through it is none."""
    baffle = Rock("baffle", Box((place, 0.32, 0.1), (0.006, 0.7, 0.4)))
    large = coarsen(voxelise(tank(rocks=(baffle,), outlets=(JET,), intakes=(DRAIN,)), 0.02), factor)
    low = int(0.28 / large.spacing[2])
    assert large.open_x[1:-1, :, :low].min(axis=0).max() == 0
    assert large.open_x[1:-1, :, -2:].min() == 1


@pytest.mark.parametrize("factor", [2, 4])
@pytest.mark.parametrize("place", [0.57, 0.59, 0.61, 0.63])
def test_a_slot_in_a_wall_within_a_larger_cell_keeps_its_area(tank, factor, place):
    """One cell high, across all of the tank, in a wall of one cell, which is not in the middle of an even number."""
    parts = (Rock(str(z), Box((place, 0.32, z), (0.02, 0.7, 0.2))) for z in (0.1, 0.32, 0.45))
    large = coarsen(voxelise(tank(rocks=tuple(parts), outlets=(JET,), intakes=(DRAIN,)), 0.02), factor)
    areas = large.open_x[1:-1].sum(axis=(1, 2)) * np.prod(large.spacing[1:])
    assert areas.min() == pytest.approx(0.02 * 0.64, rel=1e-6)  # float32


@pytest.mark.parametrize("factor", [2, 2.5, 3, 4])
@pytest.mark.parametrize("thickness", [0.04, 0.06, 0.08])
@pytest.mark.parametrize("angle", [0.0, 20.0, 45.0])
def test_a_wall_no_thicker_than_a_larger_cell_parts_the_tank(tank, factor, thickness, angle):
    """Wherever it stands and however it lies to the cells, no water gets from one end to the other below its top."""
    for place in np.linspace(0.58, 0.66, 5):
        middle = place, 0.32, 0.1
        wall = Rock("wall", turned(Box(middle, (thickness, 1.2, 0.4)), radians(angle), middle))
        large = coarsen(voxelise(tank(rocks=(wall,), outlets=(JET,), intakes=(DRAIN,)), 0.02), factor)
        low = int(0.28 / large.spacing[2])
        faces = large.open_x[:, :, :low], large.open_y[:, :, :low], large.open_z[:, :, : low + 1]
        body = bodies(large.water[:, :, :low].copy(), tuple(face.copy() for face in faces))
        assert set(np.unique(body[0])).isdisjoint(set(np.unique(body[-1])) - {0})


def test_an_opening_in_a_crevice_stays_connected(tank):
    """A slit of one cell, 300 mm deep, leads to the drain: a hundredth of a larger face stays open."""
    sides = [Rock(f"side {n}", Box((1.05, y, 0.24), (0.3, 0.3, 0.48))) for n, y in enumerate((0.15, 0.49))]
    lid = Rock("lid", Box((1.05, 0.32, 0.3), (0.3, 0.06, 0.36)))
    drain = replace(DRAIN, centre=(1.2, 0.32, 0.06), aperture=Bore(0.03))
    scene = tank(rocks=(*sides, lid), outlets=(JET,), intakes=(drain,))
    for factor in (2, 3, 4, 6):
        large = coarsen(voxelise(scene, 0.02), factor)
        assert large.patches[1].share.sum() == pytest.approx(1, abs=1e-12)
        assert large.water[tuple(large.patches[1].cells.T)].all()


def test_a_larger_cell_is_open_to_the_smaller_part_that_an_opening_is_in(tank):
    """Of four cells in a row two lie before the wall, one in it, one between it and the drain: exact."""
    wall = Rock("wall", Box((1.17, 0.32, 0.08), (0.02, 0.7, 0.16)))
    drain = replace(DRAIN, centre=(1.2, 0.44, 0.12))
    above = coarsen(voxelise(tank(rocks=(wall,), outlets=(JET,), intakes=(drain,)), 0.02), 4).open_z[-1, :, 2]
    assert above[[4, 6]] == pytest.approx(0.5, abs=1e-6)
    assert above[5] == pytest.approx(0.75, abs=1e-6)


def test_a_mirrored_grid_is_coarsened_to_the_mirror_image(tank):
    """To rounding in single precision: sums run the other way."""
    rocks = (Rock("a", Ellipsoid((0.4, 0.23, 0.1), (0.3, 0.3, 0.3))),)
    other = (Rock("a", Ellipsoid((0.4, 0.64 - 0.23, 0.1), (0.3, 0.3, 0.3))),)
    for factor in (2, 3):
        here, there = (coarsen(voxelise(tank(rocks=found), 0.02), factor) for found in (rocks, other))
        assert np.array_equal(here.kind, there.kind[:, ::-1])
        for name in ("open_volume", "open_x", "open_y", "open_z"):
            assert getattr(here, name) == pytest.approx(getattr(there, name)[:, ::-1], abs=1e-6)


def test_glass_and_pockets_are_kept(tank):
    walls = [((0.4, 0.4, z), (0.24, 0.24, 0.04)) for z in (0.1, 0.26)]
    walls += [
        ((0.4 + a * 0.1, 0.4 + b * 0.1, 0.18), (0.04 + 0.2 * abs(b), 0.04 + 0.2 * abs(a), 0.2)) for a, b in AROUND
    ]
    cave = tuple(Rock(f"wall {n}", Box(*wall)) for n, wall in enumerate(walls))
    fine = voxelise(tank(plan=Disc(0.8), rocks=cave), 0.02)
    large = coarsen(fine, 2)
    assert large.pockets == fine.pockets
    assert len(fine.pockets) == 1
    assert (large.kind[0, 0] == Kind.OUTSIDE).all()
    assert not large.water[9:11, 9:11, 4].any()


AROUND = ((-1, 0), (1, 0), (0, -1), (0, 1))


@pytest.mark.parametrize("factor", [16, 24, 60])
def test_a_tank_of_few_larger_cells_or_one_keeps_its_water_and_openings(tank, factor):
    """Two, one and one cell deep; exact but for float32."""
    large = coarsen(voxelise(tank(outlets=(JET,), intakes=(DRAIN,)), 0.02), factor)
    assert large.shape[2] == (2 if factor == 16 else 1)
    assert large.water_volume == pytest.approx(1.2 * 0.64 * 0.48, rel=1e-6)
    assert [patch.share.sum() for patch in large.patches] == pytest.approx([1, 1], abs=1e-12)


@pytest.mark.parametrize("factor", [2, 2.5, 4])
def test_openings_in_a_corner_and_in_the_same_larger_cells_keep_what_they_bring(tank, factor):
    """Two jets beside each other where three sides meet: their flows add up in the cells they share; to rounding."""
    jets = tuple(replace(JET, name=name, centre=(0.0, y, 0.025)) for name, y in (("one", 0.025), ("two", 0.075)))
    fine = voxelise(tank(outlets=jets, intakes=(DRAIN,)), 0.02)
    rates = {"one": 2e-4, "two": 3e-4, "drain": -5e-4}
    near = tuple(slice(round(0.24 / h)) for h in coarsen(fine, factor).spacing)
    source = coarsen(fine, factor).source(rates)
    assert source[near].sum() == pytest.approx(5e-4, rel=1e-9)
    assert source.sum() == pytest.approx(0, abs=1e-12)
