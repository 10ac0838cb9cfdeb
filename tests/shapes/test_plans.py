"""Floor plans: areas, walls, distances, and corners that cross."""

from itertools import pairwise
from math import hypot, pi, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flowviz.shapes.plans import Disc, Polygon, crossing, rectangle

L_SHAPE = ((0.0, 0.0), (2.0, 0.0), (2.0, 0.6), (0.8, 0.6), (0.8, 1.5), (0.0, 1.5))
DIAMOND = Polygon(((0.3, 0.0), (0.6, 0.3), (0.3, 0.6), (0.0, 0.3)), ("one", "two", "three", "four"))
NAMES = ("front", "right", "inner back", "inner right", "back", "left")
spots = st.tuples(st.floats(-1, 3), st.floats(-1, 3))


def test_a_rectangle_has_its_walls_where_the_axes_say():
    tank = rectangle(2.4, 0.76)
    assert {wall.name: wall.normal for wall in tank.walls} == {
        "front": (0, 1),
        "right": (-1, 0),
        "back": (0, -1),
        "left": (1, 0),
    }
    assert tank.size == (2.4, 0.76)
    assert tank.area == pytest.approx(2.4 * 0.76, rel=1e-15)
    assert tank.panel_names == ("front", "right", "back", "left")


def test_an_l_shape():
    """2 x 0.6 and 0.8 x 0.9 m: 1.92 m²."""
    tank = Polygon(L_SHAPE, NAMES)
    assert tank.area == pytest.approx(1.92, rel=1e-15)
    assert sum(wall.length for wall in tank.walls) == pytest.approx(2 * (2.0 + 1.5), rel=1e-15)
    assert tank.distance(np.array([(0.4, 1.0), (1.4, 0.3), (1.4, 1.0), (-0.3, -0.4)])) == pytest.approx(
        (-0.4, -0.3, 0.4, 0.5)
    )
    assert tank.outline().tolist() == [list(corner) for corner in L_SHAPE]


def test_corners_may_run_either_way_and_keep_their_names():
    clockwise = Polygon(tuple(reversed(L_SHAPE)), ("back", "inner right", "inner back", "right", "front", "left"))
    there, here = ({wall.name: wall.normal for wall in plan.walls} for plan in (clockwise, Polygon(L_SHAPE, NAMES)))
    assert there == here
    assert clockwise.area == pytest.approx(1.92, rel=1e-15)


@pytest.mark.parametrize("plan", [Polygon(L_SHAPE, NAMES), DIAMOND, Disc(0.9)], ids=["polygon", "diamond", "disc"])
def test_normals_point_into_the_water_and_areas_are_those_of_the_outline(plan):
    corners = plan.outline()
    shoelace = sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise([*corners, corners[0]])) / 2
    assert shoelace == pytest.approx(plan.area, rel=1e-3)  # the disc's outline is a polygon of 96 corners: 2π²/(3·96²)
    for wall in plan.walls:
        middle = np.add(wall.start, wall.end) / 2
        assert plan.distance(np.array([middle + 0.01 * np.array(wall.normal)]))[0] == pytest.approx(-0.01)


def test_slanting_walls():
    """The water of a square on its corner is where |x - a| + |y - a| < a; walls are that over √2 away."""
    points = np.random.default_rng(3).uniform(-0.1, 0.7, (500, 2))
    beyond = np.abs(points - 0.3).sum(axis=1) - 0.3
    found = DIAMOND.distance(points)
    assert np.array_equal(found < 0, beyond < 0)
    assert found[beyond < 0] == pytest.approx(beyond[beyond < 0] / sqrt(2), abs=1e-12)  # rounding
    assert DIAMOND.area == pytest.approx(2 * 0.3**2, rel=1e-15)


def test_points_level_with_corners_are_in_or_out_as_all_others():
    """In the L beside and beyond its corners at 0.6 and 1.5 m, and level with all four corners of the diamond."""
    beside = np.array([(0.4, 0.6), (-0.4, 0.6), (2.3, 0.6), (1.0, 1.5), (-0.2, 1.5), (-0.2, 0.0)])
    assert Polygon(L_SHAPE, NAMES).distance(beside) == pytest.approx((-0.4, 0.4, 0.3, 0.2, 0.2, 0.2))
    level = np.array([(0.3, 0.3), (-0.1, 0.3), (0.7, 0.3), (0.0, 0.0), (0.6, 0.6)])
    away = 0.3 / sqrt(2)
    assert DIAMOND.distance(level) == pytest.approx((-away, 0.1, 0.1, away, away))


def test_a_disc_touches_the_axes():
    tank = Disc(0.8)
    assert tank.distance(np.array([(0.0, 0.4), (0.4, 0.8), (0.4, 0.4), (0.0, 0.0)])) == pytest.approx(
        (0, 0, -0.4, 0.4 * (sqrt(2) - 1))
    )
    assert tank.area == pytest.approx(pi * 0.16, rel=1e-15)
    assert tank.size == (0.8, 0.8)
    assert (tank.panel_names, tank.walls) == (("wall",), ())


@given(spots, spots)
def test_distance_changes_no_faster_than_the_way(one, other):
    for plan in (Polygon(L_SHAPE, NAMES), Disc(1.1)):
        first, second = plan.distance(np.array([one, other]))
        assert abs(first - second) <= hypot(one[0] - other[0], one[1] - other[1]) + 1e-12


OUTLINES = [  # corners, and the first two edges that meet; seen by drawing them
    (L_SHAPE, None),
    (((0, 0), (1, 1), (1, 0), (0, 1)), (0, 2)),  # a bow tie
    (((0, 0), (2, 0), (2, 2), (1, 0), (0, 2)), (0, 2)),  # touches its own front
    (((2, 2), (1, 0), (0, 2), (0, 0), (2, 0)), (0, 3)),  # the same from other corners on: its first edge ends there
    (((1, 0), (0, 2), (0, 0), (2, 0), (2, 2)), (0, 2)),  # and begins there
    (((0, 0), (1, 1), (2, 0), (2, 2), (1, 1), (0, 2)), (0, 3)),  # two triangles that share a corner
    (((0, 0), (3, 0), (3, 1), (1, 1), (1, 2), (2, 2), (2, -1), (0, 3)), (0, 5)),
    (((0, 0), (3, 0), (3, 2), (2, 2), (2, 1), (1, 1), (1, 2), (0, 2)), None),  # a U, whose two ends are in one line
    (((0, 0), (4, 0), (4, 1), (3, 2), (4, 3), (4, 4)), None),  # a notch beside a slope that it does not reach
    (((4, 4), (4, 3), (3, 2), (4, 1), (4, 0), (0, 0)), None),  # the other way round
    (((0, 0), (1, 0), (1, 1)), None),
]
PLACES = {
    "there": lambda x, y: (x, y),
    "elsewhere": lambda x, y: (x - 7, y + 4),
    "small": lambda x, y: (x / 8, y / 8),
    "mirrored": lambda x, y: (y, x),
    "upside down": lambda x, y: (9 - x, 5 - y),
    "turned by a quarter": lambda x, y: (y, 4 - x),
}


@pytest.mark.parametrize("place", PLACES.values(), ids=PLACES.keys())
@pytest.mark.parametrize(("corners", "found"), OUTLINES)
def test_edges_that_cross_or_touch_are_found_wherever_the_outline_lies(corners, found, place):
    assert crossing(tuple(place(*corner) for corner in corners)) == found
