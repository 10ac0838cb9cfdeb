"""Words for places in tanks whose geometry is known."""

from dataclasses import replace
from itertools import product
from math import pi

import numpy as np
import pytest

from flowviz.assess.places import beside_rock, jet_through, place_in_words, region, surroundings
from flowviz.scene.apertures import Bore, Slot
from flowviz.scene.model import Outlet, Rock, Sand
from flowviz.shapes.solids import Box, Ellipsoid, turned

SIZE = (1.2, 0.6, 0.6)
BOMMIE = Rock("west bommie", Box((0.6, 0.3, 0.3), (0.3, 0.2, 0.2)))
OCTANTS = list(product((0.15, 1.05), (0.08, 0.52), (0.07, 0.53)))


def beside(point, scene):
    return beside_rock(np.array(point), surroundings(scene))


@pytest.mark.parametrize("centre", OCTANTS)
def test_height_and_side_of_all_octants(centre, scene_of):
    x, y, z = centre
    height = "low" if z < 0.3 else "high"
    across, along = "front" if y < 0.3 else "back", "left" if x < 0.6 else "right"
    assert region(np.array([centre]), scene_of(SIZE)) == f"{height}, towards the {across} {along}"


@pytest.mark.parametrize(
    ("centre", "words"),
    [
        ((0.6, 0.3, 0.3), "at mid-height, in the middle"),
        ((0.1, 0.3, 0.3), "at mid-height, towards the left"),
        ((0.6, 0.5, 0.1), "low, towards the back"),
        ((0.4, 0.2, 0.2), "at mid-height, in the middle"),  # just on the borders of the thirds
    ],
)
def test_thirds(centre, words, scene_of):
    assert region(np.array([centre]), scene_of(SIZE)) == words


def test_height_is_counted_from_the_sand(scene_of):
    """0.25 m is in the middle third of 0.6 m and in the lowest third of what 0.15 m of sand leave: 0.15 to 0.3 m."""
    points = np.array([[0.6, 0.3, 0.25]])
    assert region(points, scene_of(SIZE)) == "at mid-height, in the middle"
    assert region(points, scene_of(SIZE, sand=Sand(0.15, 1e-3))) == "low, in the middle"


def test_water_that_spans_the_tank_is_on_no_side(scene_of):
    along = np.array([[0.1, 0.55, 0.05], [1.0, 0.55, 0.05]])
    assert region(along, scene_of(SIZE)) == "along the back, low"
    layer = np.array([[0.1, 0.05, 0.05], [1.1, 0.55, 0.05]])
    assert region(layer, scene_of(SIZE)) == "low, over the whole length and width"


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        ((0.9, 0.05, 0.05), (1.1, 0.55, 0.55), "filling the right end"),
        ((0.9, 0.05, 0.05), (1.1, 0.55, 0.15), "across the right end, low"),
        ((0.1, 0.05, 0.45), (0.2, 0.55, 0.55), "across the left end, high"),
        ((0.5, 0.05, 0.05), (0.7, 0.55, 0.55), "filling the middle"),
        ((0.1, 0.05, 0.05), (1.1, 0.15, 0.55), "along the front, over most of the depth"),
        ((0.1, 0.25, 0.25), (1.1, 0.35, 0.35), "along the middle, at mid-height"),
        ((0.1, 0.05, 0.05), (1.1, 0.55, 0.55), "all through the tank"),
        ((0.9, 0.05, 0.05), (1.1, 0.15, 0.55), "over most of the depth, towards the front right"),
    ],
)
def test_water_that_fills_a_part_of_the_tank(low, high, words, scene_of):
    """By two opposite corners; more than 0.8 m of the length, 0.4 m of the width or of the depth is spanned."""
    assert region(np.array([low, high]), scene_of(SIZE)) == words


def test_a_thin_tail_is_not_where_a_pocket_is(scene_of):
    """A twentieth of a pocket that fills the right end lies in a row to the left end."""
    body = np.array(
        list(product(np.linspace(0.85, 1.15, 19), np.linspace(0.05, 0.55, 10), np.linspace(0.05, 0.55, 10)))
    )
    tail = np.column_stack((np.linspace(0.05, 0.8, 100), np.full(100, 0.05), np.full(100, 0.05)))
    assert region(np.vstack((body, tail)), scene_of(SIZE)) == "filling the right end"


def test_water_that_spans_the_tank_is_beside_no_rock(scene_of):
    around = surroundings(scene_of(SIZE, rocks=(BOMMIE,)))
    layer, pocket = np.array([[0.1, 0.5, 0.3], [1.1, 0.5, 0.3]]), np.array([[0.5, 0.5, 0.3], [0.7, 0.5, 0.3]])
    assert place_in_words(layer, layer.mean(axis=0), around) == "along the back, at mid-height"
    assert (
        place_in_words(pocket, pocket.mean(axis=0), around) == "behind the west bommie, at mid-height, towards the back"
    )


@pytest.mark.parametrize(
    ("point", "words"),
    [
        ((0.3, 0.3, 0.3), "to the left of the west bommie"),
        ((0.9, 0.3, 0.3), "to the right of the west bommie"),
        ((0.6, 0.1, 0.3), "in front of the west bommie"),
        ((0.6, 0.5, 0.3), "behind the west bommie"),
        ((0.6, 0.3, 0.1), "under the west bommie"),
        ((0.6, 0.3, 0.5), "above the west bommie"),
        ((0.6, 0.3, 0.3), "around the west bommie"),
    ],
)
def test_sides_of_a_rock_seen_from_the_front(point, words, scene_of):
    assert beside(point, scene_of(SIZE, rocks=(BOMMIE,))) == words


@pytest.mark.parametrize(
    ("seen_from", "point", "words"),
    [
        (("back", "front"), (0.6, 0.1, 0.3), "behind the west bommie (seen from the back)"),
        (("back", "front"), (0.3, 0.3, 0.3), "to the left of the west bommie"),
        (("right",), (0.3, 0.3, 0.3), "behind the west bommie (seen from the right)"),
        (("right",), (0.6, 0.5, 0.3), "on the back side of the west bommie"),
        (("left",), (0.9, 0.3, 0.3), "behind the west bommie (seen from the left)"),
        (("left",), (0.6, 0.1, 0.3), "on the front side of the west bommie"),
        (("above",), (0.6, 0.5, 0.3), "behind the west bommie"),
        ((), (0.6, 0.5, 0.3), "behind the west bommie"),
    ],
)
def test_behind_is_as_seen_from_the_main_side(seen_from, point, words, scene_of):
    assert beside(point, scene_of(SIZE, seen_from=seen_from, rocks=(BOMMIE,))) == words


def test_open_water_is_a_third_of_the_smallest_extent_from_any_rock(scene_of):
    """The rock ends at x = 0.45 m; a third of 0.6 m is 0.2 m."""
    scene = scene_of(SIZE, rocks=(BOMMIE,))
    assert beside((0.26, 0.3, 0.3), scene) == "to the left of the west bommie"
    assert beside((0.24, 0.3, 0.3), scene) == "in open water"
    assert beside((0.24, 0.3, 0.3), scene_of(SIZE)) == "in open water"


def test_the_nearest_rock_is_told_by_its_surface_not_by_its_box(scene_of):
    """The point is in a corner of the ellipsoid's box, yet 0.12 m from its surface and 0.05 m from the ledge."""
    heap = Rock("heap", Ellipsoid((0.6, 0.3, 0.3), (0.6, 0.4, 0.4)))
    ledge = Rock("Ledge 2", Box((0.35, 0.1, 0.5), (0.1, 0.2, 0.1)))
    assert beside((0.35, 0.12, 0.4), scene_of(SIZE, rocks=(heap, ledge))) == "under Ledge 2"


def test_a_rock_behind_the_corners_of_many_boxes_is_still_the_nearest(scene_of):
    """The place of the test above in the boxes of five like heaps: the ledge is nearer than any of their surfaces."""
    heaps = (Rock(f"heap {n}", Ellipsoid((0.6, 0.3, 0.3), (0.6, 0.4, 0.4))) for n in range(5))
    ledge = Rock("Ledge 2", Box((0.35, 0.1, 0.5), (0.1, 0.2, 0.1)))
    assert beside((0.35, 0.12, 0.4), scene_of(SIZE, rocks=(*heaps, ledge))) == "under Ledge 2"


def test_within_a_rocks_box_but_outside_it(scene_of):
    """Both points are outside the ellipsoid, (1/2)² + (1/2)² + (4/5)² > 1, with and without some of it above them."""
    heap = Rock("heap", Ellipsoid((0.6, 0.3, 0.3), (0.6, 0.4, 0.4)))
    scene = scene_of(SIZE, rocks=(heap,))
    assert beside((0.45, 0.2, 0.14), scene) == "under the heap"
    assert beside((0.45, 0.2, 0.46), scene) == "against the heap"


def test_a_turned_rock_is_told_by_the_box_it_fills(scene_of):
    wall = Rock("the long wall", turned(Box((0.6, 0.3, 0.1), (0.5, 0.05, 0.2)), pi / 2, (0.6, 0.3, 0.0)))
    assert beside((0.7, 0.3, 0.1), scene_of(SIZE, rocks=(wall,))) == "to the right of the long wall"


def outlet(name, centre, direction):
    return Outlet(name, centre, direction, direction, Bore(0.02), None, None, 1e-4)


def test_the_jet_through_a_point(scene_of):
    """A free jet's edge lies 0.2 of the way along to the side (twice the half-width of 0.1); the bore adds its own."""
    left, right = outlet("a", (0.0, 0.3, 0.3), (1, 0, 0)), outlet("b", (1.2, 0.3, 0.3), (-1, 0, 0))
    scene = scene_of(SIZE, outlets=(left, right))
    assert jet_through((0.4, 0.3 + 0.07, 0.3), scene) is left
    assert jet_through((0.8, 0.3, 0.3 - 0.07), scene) is right
    assert jet_through((0.2, 0.3, 0.5), scene_of(SIZE, outlets=(left,))) is None
    assert jet_through((0.2, 0.3, 0.3), scene_of(SIZE, outlets=(outlet("away", (0.6, 0.3, 0.3), (1, 0, 0)),))) is None


BAR = Slot(0.4, 0.001)  # as wide as a spray bar; the circle of its area has a radius of 11.3 mm


@pytest.mark.parametrize(
    ("aside", "up", "inside"),
    [(0.19, 0.0, True), (0.22, 0.0, True), (0.24, 0.0, False), (0.19, 0.02, True), (0.19, 0.04, False)],
)
def test_the_jet_of_a_bar_is_as_long_as_the_bar(aside, up, inside, scene_of):
    """0.05 m before it, 0.2 · 50 = 10 mm and a radius of 11.3 mm beyond its ends at 0.2 m, and above its holes."""
    bar = replace(outlet("bar", (0.0, 0.3, 0.3), (1, 0, 0)), aperture=BAR)
    for side in (-aside, aside):
        assert (jet_through((0.05, 0.3 + side, 0.3 + up), scene_of(SIZE, outlets=(bar,))) is bar) == inside


@pytest.mark.parametrize("degrees", [0.0, 40.0])
@pytest.mark.parametrize(("aside", "inside"), [(-0.19, True), (0.19, True), (-0.26, False), (0.26, False)])
def test_a_jet_at_a_slant_from_the_floor_is_as_long_as_its_slot(degrees, aside, inside, scene_of):
    """A slot along x in the floor blows up and to the right: 0.1 m along it, 20 + 11.3 mm beyond its ends at 0.2 m."""
    lean = np.radians(degrees)
    way, across = np.array((np.sin(lean), 0.0, np.cos(lean))), np.array((np.cos(lean), 0.0, -np.sin(lean)))
    slot = replace(outlet("slot", (0.6, 0.3, 0.0), tuple(way)), normal=(0.0, 0.0, 1.0), aperture=BAR)
    scene = scene_of(SIZE, outlets=(slot,))
    assert (jet_through(slot.centre + 0.1 * way + aside * across, scene) is slot) == inside
    assert jet_through(slot.centre + 0.1 * way + aside * np.array((0.0, 1.0, 0.0)), scene) is None


@pytest.mark.parametrize("corner", list(product((-1, 1), (-1, 1), (-1, 1))))
def test_all_octants_round_a_rock(corner, scene_of):
    """Around a box of 0.3 x 0.2 x 0.2 m, 1 cm beyond its corners but 5 cm beyond one pair of sides: that side is told.

    Offsets are told by the half edges they come to: 5 cm are 1.5 of them across, 1.33 along.
    """
    x, y, z = (0.6 + corner[0] * 0.16, 0.3 + corner[1] * 0.15, 0.3 + corner[2] * 0.11)
    across = "behind" if corner[1] > 0 else "in front of"
    assert beside((x, y, z), scene_of(SIZE, rocks=(BOMMIE,))) == f"{across} the west bommie"
    x, y, z = (0.6 + corner[0] * 0.16, 0.3 + corner[1] * 0.11, 0.3 + corner[2] * 0.15)
    level = "above" if corner[2] > 0 else "under"
    assert beside((x, y, z), scene_of(SIZE, rocks=(BOMMIE,))) == f"{level} the west bommie"
    x, y, z = (0.6 + corner[0] * 0.25, 0.3 + corner[1] * 0.11, 0.3 + corner[2] * 0.11)
    side = "right" if corner[0] > 0 else "left"
    assert beside((x, y, z), scene_of(SIZE, rocks=(BOMMIE,))) == f"to the {side} of the west bommie"
