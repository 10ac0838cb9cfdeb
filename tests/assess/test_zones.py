"""Pockets of dead and too-strong water in hand-made fields, all figures counted by hand."""

import re
from dataclasses import replace
from itertools import product
from types import SimpleNamespace

import numpy as np
import pytest

from flowviz.assess.causes import WEAK
from flowviz.assess.places import surroundings
from flowviz.assess.zones import at_odds, fewest_cells, find_zones, pockets
from flowviz.scene.apertures import Bore
from flowviz.scene.model import Coral, Outlet, Rock, Sand
from flowviz.shapes.solids import Box

BACK_TO_FRONT = re.compile("front|back")
SHAPE, EDGE, SIZE = (20, 10, 10), 0.05, (1.0, 0.5, 0.5)
FINE, DEAD, STRONG = 0.2, 0.01, 0.7  # speeds that are in order, too slow and too fast [m/s]


@pytest.fixture
def zones_of(grid_of, field_of, scene_of):
    """Zones and labels of speeds (windows, cells...) in a tank."""

    def find(windows, grid=None, **parts):
        grid = grid or grid_of(SHAPE, EDGE)
        return find_zones(surroundings(scene_of(SIZE, **parts)), grid, field_of(np.atleast_1d(windows), grid))

    return find


def two_pockets() -> np.ndarray:
    """Dead water of 4 x 3 x 3 cells at the back on the floor, too-strong water of 4 x 3 x 4 cells at mid-height."""
    speeds = np.full(SHAPE, FINE)
    speeds[2:6, 7:, :3] = DEAD
    speeds[3, 8, 1] = DEAD / 2
    speeds[12:16, 2:5, 3:7] = STRONG
    speeds[13, 3, 5] = 2 * STRONG
    return speeds


def test_two_pockets(zones_of):
    (dead, over), labels = zones_of([two_pockets()])
    assert (dead.kind, dead.cells, over.kind, over.cells) == ("dead", 36, "over", 48)
    assert (dead.volume, over.volume) == pytest.approx((36 * EDGE**3, 48 * EDGE**3), rel=1e-12)  # rounding
    assert dead.centre == pytest.approx((4 * EDGE, 8.5 * EDGE, 1.5 * EDGE), abs=1e-12)
    assert np.array(dead.bounds) == pytest.approx(np.array([[2, 7, 0], [6, 10, 3]]) * EDGE, abs=1e-12)
    assert dead.extreme_at == pytest.approx((3.5 * EDGE, 8.5 * EDGE, 1.5 * EDGE), abs=1e-12)
    assert over.extreme_at == pytest.approx((13.5 * EDGE, 3.5 * EDGE, 5.5 * EDGE), abs=1e-12)
    assert (dead.extreme_speed, over.extreme_speed) == pytest.approx((DEAD / 2, 2 * STRONG), rel=1e-7)  # float32
    assert dead.mean_speed == pytest.approx(DEAD * 35.5 / 36, rel=1e-7)
    assert over.mean_speed == pytest.approx(STRONG * 49 / 48, rel=1e-7)
    assert np.array_equal(labels == 1, two_pockets() < 0.03)
    assert np.array_equal(labels == 2, two_pockets() > 0.5)
    assert labels.dtype == np.int32


def test_remedies_against_each_other_are_told_so(zones_of):
    """Both pockets are laid to one jet, and then to others; of the names of those, the one begins with the other."""
    (dead, over), _ = zones_of([two_pockets()])
    names = "left", "left, low"
    outlets = [SimpleNamespace(name=name) for name in names]
    slower = replace(over, remedy="a wider mouth or less flow at the left")
    for more, told in (
        ("a narrower mouth or more flow at the left; turned, it may leave other water still", True),
        ("an outlet nearer to it, or a narrower mouth or more flow at the left", True),
        ("a narrower mouth or more flow at the left, or a second outlet", True),
        ("a narrower mouth or more flow at the left, low; turned, it may leave other water still", False),
        ("an outlet that blows into it", False),
    ):
        kept, after = at_odds([replace(dead, remedy=more), slower], outlets)
        assert kept.remedy == more
        assert (after.remedy != slower.remedy) == told
        assert "the dead water asks for the opposite" in after.remedy or not told


def test_place_in_words(zones_of):
    (dead, over), _ = zones_of([two_pockets()])
    assert dead.place == "in open water, low, towards the back left"
    assert over.place == "in open water, at mid-height, towards the right"


def test_over_strong_water_is_placed_in_the_jet_that_makes_it(zones_of):
    """The jet runs along x through y = 0.175 m, z = 0.275 m: the fastest cell's own height and width."""
    jet = Outlet("left high", (0.0, 0.175, 0.275), (1, 0, 0), (1, 0, 0), Bore(0.032), "left", None, 1e-3)
    aside = Outlet("left low", (0.0, 0.175, 0.025), (1, 0, 0), (1, 0, 0), Bore(0.032), "left", None, 1e-3)
    (_, over), _ = zones_of([two_pockets()], outlets=(aside, jet))
    assert over.place == "in the jet of “left high”, at mid-height, towards the right"


def test_closed_faces_part_a_pocket(zones_of, grid_of):
    grid = grid_of(SHAPE, EDGE)
    grid.open_x[10] = 0
    speeds = np.full(SHAPE, FINE)
    speeds[8:13, :4, :4] = DEAD
    zones, _ = zones_of([speeds], grid)
    assert [zone.cells for zone in zones] == [3 * 16, 2 * 16]


def test_cells_that_meet_at_an_edge_only_are_two_pockets(grid_of):
    mask = np.zeros(SHAPE, bool)
    mask[:2, :2, :2] = mask[2:4, 2:4, :2] = True
    assert [cells.size for cells in pockets(mask, grid_of(SHAPE, EDGE))] == [8, 8]


def test_a_pocket_in_every_direction_is_found_whole(grid_of):
    """A three-armed cross through one cell, 20 + 9 + 9 cells."""
    mask = np.zeros(SHAPE, bool)
    mask[:, 5, 5] = mask[7, :, 5] = mask[7, 5, :] = True
    assert [cells.size for cells in pockets(mask, grid_of(SHAPE, EDGE))] == [38]


def test_the_smallest_pockets_are_left_out(zones_of, grid_of):
    """2000 cells: two in a thousand are 4, so that the least is 8 cells; 6000 cells: 12."""
    speeds = np.full(SHAPE, FINE)
    speeds[0, 0, :7] = speeds[5, 2, :8] = DEAD
    zones, labels = zones_of([speeds])
    assert [zone.cells for zone in zones] == [8]
    assert labels[0, 0, 0] == 0
    assert fewest_cells(grid_of(SHAPE, EDGE)) == 8
    assert fewest_cells(grid_of((20, 20, 15), EDGE)) == 12


def test_rock_is_not_dead_water(zones_of, grid_of):
    rock = np.zeros(SHAPE, bool)
    rock[5:10, 2:6, :4] = True
    zones, _ = zones_of([np.full(SHAPE, FINE)], grid_of(SHAPE, EDGE, rock))
    assert zones == ()


def test_dead_pockets_come_by_volume_and_strong_ones_by_peak_speed_times_volume(zones_of):
    speeds = np.full(SHAPE, FINE)
    speeds[0:2, 0:2, 0:2] = speeds[4:7, 0:2, 0:2] = DEAD
    speeds[10:13, 0:2, 0:2], speeds[15:17, 0:2, 0:2] = 0.6, 1.0  # 12 cells x 0.6 m/s is less than 8 cells x 1 m/s
    speeds[10:13, 5:8, 0:2] = 0.55  # and 18 cells x 0.55 m/s are more
    zones, _ = zones_of([speeds])
    told = [(zone.kind, zone.cells) for zone in zones]
    assert told == [("dead", 12), ("dead", 8), ("over", 18), ("over", 8), ("over", 12)]


def test_what_a_pocket_touches(zones_of):
    """The dead one lies on the floor in the far corner from the outlet's cell; the other reaches into both groups."""
    speeds = two_pockets()
    speeds[12:16, 2:5, 7:] = STRONG
    corals = (
        Coral("crest", (0.625, 0.175, 0.25), (0.1, 0.1, 0.1), (0.1, 0.3)),
        Coral("edge", (0.850, 0.175, 0.25), (0.1, 0.1, 0.1), (0.1, 0.3)),  # from the cell beside the pocket on
    )
    (dead, over), _ = zones_of([speeds], corals=corals)
    assert (dead.corals, dead.openings, dead.bed, dead.surface) == ((), (), "floor", False)
    assert (over.corals, over.openings, over.bed, over.surface) == (("crest",), (), None, True)
    assert (dead.touches, over.touches) == ("the floor", "the crest, the surface")


def test_pockets_at_openings_and_on_sand(zones_of):
    speeds = np.full(SHAPE, FINE)
    speeds[:2, :2, :2] = speeds[-2:, -2:, -2:] = DEAD
    speeds[8:10, 4:6, 4:6] = DEAD
    zones, _ = zones_of([speeds], sand=Sand(0.02, 1e-3))
    assert {zone.touches for zone in zones} == {"the sand, the in", "the out, the surface", "nothing"}


def test_pockets_at_corals_come_first_and_those_on_the_bed_count_double(zones_of):
    """8 cells at the corals, 12 on the floor (24), 18 in open water."""
    speeds = np.full(SHAPE, FINE)
    speeds[0:3, 0:2, 4:7], speeds[8:11, 0:2, 0:2], speeds[14:16, 4:6, 4:6] = DEAD, DEAD, DEAD
    crest = Coral("crest", (0.75, 0.25, 0.25), (0.1, 0.1, 0.1), (0.1, 0.3))
    zones, _ = zones_of([speeds], corals=(crest,))
    assert [zone.cells for zone in zones] == [8, 12, 18]


def test_the_cause_of_each_pocket_is_told(zones_of):
    jet = Outlet("left high", (0.0, 0.175, 0.275), (1, 0, 0), (1, 0, 0), Bore(0.032), "left", None, 1e-3)
    (dead, over), _ = zones_of([two_pockets()], outlets=(jet,))
    assert over.cause == "the core of the jet of the left high, 680 mm from it"  # 13.5 cells of 5 cm, to two digits
    assert dead.cause.startswith("the jet of the left high passes ")


@pytest.mark.parametrize(("share", "words"), [(0.3, "the jet of the left high"), (0.4, "all outlets together")])
def test_where_much_of_the_tank_is_dead_no_single_jet_is_blamed(zones_of, share, words):
    jet = Outlet("left high", (0.0, 0.175, 0.275), (1, 0, 0), (1, 0, 0), Bore(0.032), "left", None, 1e-3)
    speeds = np.full(SHAPE, FINE)
    speeds[SHAPE[0] - round(share * SHAPE[0]) :] = DEAD
    ((zone,), _) = zones_of([speeds], outlets=(jet,))
    assert words in zone.cause


def test_no_single_jet_is_blamed_for_a_pocket_that_winds_all_through_the_tank(zones_of):
    """Along three walls, one cell thick: 100, 100 and 180 of 2000 cells."""
    jet = Outlet("left high", (0.0, 0.175, 0.275), (1, 0, 0), (1, 0, 0), Bore(0.032), "left", None, 1e-3)
    speeds = np.full(SHAPE, FINE)
    speeds[0] = speeds[-1] = speeds[:, -1] = DEAD
    ((zone,), _) = zones_of([speeds], outlets=(jet,))
    assert zone.cells == 380
    assert zone.place == "all through the tank"
    assert zone.cause == WEAK.words


def test_a_pocket_that_holds_is_sure_at_fine(zones_of):
    (zone, _), _ = zones_of([two_pockets()])
    assert replace(zone, persistence=1.0).sureness("fine", 1) == "sure"
    assert replace(zone, persistence=0.5).sureness("fine", 1) == "perhaps"


def test_volume_and_centre_count_the_open_part_of_cells(zones_of, grid_of):
    grid = grid_of(SHAPE, EDGE)
    grid.open_volume[3] = 0.5
    speeds = np.full(SHAPE, FINE)
    speeds[2:4, :2, :2] = DEAD
    (zone,), _ = zones_of([speeds], grid)
    assert zone.volume == pytest.approx(6 * EDGE**3, rel=1e-12)  # rounding
    assert zone.centre[0] == pytest.approx((4 * 2.5 + 2 * 3.5) / 6 * EDGE, rel=1e-12)


def test_persistence_is_the_share_beyond_the_limit_in_single_windows(zones_of):
    """One window of four finds half of the cells in order: (1 + 1 + 1 + 0.5)/4."""
    windows = np.full((4, *SHAPE), FINE)
    windows[:, :4, :2, :2] = DEAD
    windows[3, :2, :2, :2] = 2 * DEAD + 0.02
    (zone,), _ = zones_of(windows)
    assert zone.cells == 16
    assert zone.persistence == 0.875


def test_a_mirrored_field_has_mirrored_zones(zones_of):
    rough = np.random.default_rng(3).uniform(0.0, 0.2, SHAPE)
    smooth = sum(np.roll(rough, shift, axis) for shift in (-1, 0, 1) for axis in (0, 1, 2)) / 9
    smooth[smooth > 0.13] *= 5
    plain, labels = zones_of([smooth])
    mirrored, mirrored_labels = zones_of([smooth[:, ::-1]])
    assert len(plain) > 2
    assert np.array_equal(labels, mirrored_labels[:, ::-1])
    for zone, image in zip(plain, mirrored, strict=True):
        x, y, z = zone.centre
        assert image.centre == pytest.approx((x, SIZE[1] - y, z), abs=1e-12)  # rounding
        assert image.place == BACK_TO_FRONT.sub(lambda word: {"front": "back", "back": "front"}[word[0]], zone.place)


def test_pockets_in_all_eight_octants_are_placed(zones_of, grid_of):
    """Eight pockets of 4 x 2 x 2 cells in the corners round a rock in the middle, named by their centres."""
    rock = np.zeros(SHAPE, bool)
    rock[8:12, 4:6, 4:6] = True
    speeds = np.full(SHAPE, FINE)
    for x, y, z in product((slice(0, 4), slice(16, 20)), (slice(0, 2), slice(8, 10)), (slice(0, 2), slice(8, 10))):
        speeds[x, y, z] = DEAD
    bommie = Rock("bommie", Box((0.5, 0.25, 0.25), (0.2, 0.1, 0.1)))
    zones, _ = zones_of([speeds], grid_of(SHAPE, EDGE, rock), rocks=(bommie,))
    assert len({zone.place for zone in zones}) == 8
    for zone in zones:
        x, y, z = zone.centre
        height, side, end = ("low", "high")[z > 0.25], ("front", "back")[y > 0.25], ("left", "right")[x > 0.5]
        assert zone.place == f"in open water, {height}, towards the {side} {end}"


def test_a_pocket_that_fills_an_end_says_so(zones_of):
    speeds = np.full(SHAPE, FINE)
    speeds[17:] = DEAD
    (zone,), _ = zones_of([speeds])
    assert zone.place == "filling the right end"
