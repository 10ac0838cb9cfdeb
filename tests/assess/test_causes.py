"""Why water is dead or too strong, in tanks whose geometry is known."""

from dataclasses import replace

import numpy as np
import pytest

from flowviz.assess.causes import cause_of_dead, cause_of_much_dead, cause_of_strong
from flowviz.assess.places import surroundings
from flowviz.assess.sight import screen
from flowviz.scene.apertures import Bore, Slot
from flowviz.scene.model import Intake, Outlet, Rock
from flowviz.shapes.plans import Polygon
from flowviz.shapes.solids import Box

SHAPE, EDGE, SIZE = (60, 30, 30), 0.02, (1.2, 0.6, 0.6)
WALL = Rock("reef wall", Box((0.6, 0.3, 0.3), (0.08, 0.6, 0.6)))
STONE = Rock("stone", Box((0.3, 0.3, 0.05), (0.08, 0.2, 0.1)))


def outlet(name, centre, direction=(1.0, 0.0, 0.0)):
    return Outlet(name, centre, direction, direction, Bore(0.02), None, None, 1e-4)


LEFT = outlet("left jet", (0.0, 0.3, 0.3))
LOW = outlet("low jet", (0.0, 0.3, 0.05))
AWAY = outlet("far jet", (1.2, 0.3, 0.3))  # blows at its own wall


@pytest.fixture
def tank(grid_of, scene_of):
    """A grid with these rocks as whole cells, and the surroundings with them and these openings."""

    def build(*rocks, **openings):
        rock = np.zeros(SHAPE, bool)
        for each in rocks:
            low, high = (np.rint(np.array(corner) / EDGE).astype(int) for corner in each.solid.bounds)
            rock[tuple(slice(max(a, 0), b) for a, b in zip(low, high, strict=True))] = True
        return surroundings(scene_of(SIZE, rocks=rocks, **openings)), grid_of(SHAPE, EDGE, rock)

    return build


def around_point(x, y, z):
    """A few places round a point."""
    return np.array([(x + dx, y + dy, z) for dx in (-0.02, 0.0, 0.02) for dy in (-0.02, 0.0, 0.02)])


def test_what_stands_between(tank):
    around, grid = tank(WALL, STONE)
    start = np.array(LOW.centre)
    assert screen(start, np.array((1.0, 0.3, 0.05)), around, grid) == "the stone"  # the nearer of two
    assert screen(start, np.array((1.0, 0.3, 0.55)), around, grid) == "the reef wall"  # over the stone
    assert screen(start, np.array((0.2, 0.3, 0.05)), around, grid) is None
    assert screen(start, start, around, grid) is None


def test_a_corner_of_the_tank_stands_between_its_arms(make, grid_of):
    """An L: seen from the right end of its long arm, the back of the short one lies round the corner at 0.6, 0.3 m."""
    corners = ((0, 0), (1.2, 0), (1.2, 0.3), (0.6, 0.3), (0.6, 0.6), (0, 0.6))
    plan = Polygon(corners, ("front", "right", "wall 3", "wall 4", "back", "left"))
    jet = outlet("right jet", (1.2, 0.1, 0.3), (-1.0, 0.0, 0.0))
    around, grid = surroundings(make.tank(plan, 0.6, outlets=(jet,))), grid_of(SHAPE, EDGE)
    found = cause_of_dead(around_point(0.5, 0.5, 0.3), around, grid)
    assert found.words == "round a corner of the tank from the right jet"
    assert found.remedy == "an outlet on this side of the corner"
    before = cause_of_dead(around_point(0.5, 0.1, 0.3), around, grid)
    assert before.words == "700 mm along the jet of the right jet, which is spent there"


def test_in_the_lee_of_a_rock(tank):
    around, grid = tank(WALL, outlets=(LEFT,))
    found = cause_of_dead(around_point(0.9, 0.3, 0.3), around, grid)
    assert found.words == "in the lee of the reef wall, seen from the left jet"
    assert found.remedy == "an outlet behind the reef wall, or a gap in it"
    assert found.moving_may_help


def test_the_nearest_of_the_jets_that_are_hidden_is_told(tank):
    around, grid = tank(WALL, STONE, outlets=(LEFT, LOW))
    assert (
        cause_of_dead(around_point(0.9, 0.3, 0.1), around, grid).words
        == "in the lee of the stone, seen from the low jet"
    )
    assert (
        cause_of_dead(around_point(0.9, 0.3, 0.5), around, grid).words
        == "in the lee of the reef wall, seen from the left jet"
    )


def test_a_jet_that_misses(tank):
    """At 0.6 m the jet reaches 0.2 × 0.6 m + 2 × 1 cm = 14 cm to its side; 20 cm off its axis it is 6 cm away."""
    around, grid = tank(outlets=(LEFT,))
    assert cause_of_dead(around_point(0.6, 0.5, 0.3), around, grid).words == "the jet of the left jet passes 60 mm away"


def test_a_jet_that_is_spent(tank):
    around, grid = tank(outlets=(LEFT,))
    found = cause_of_dead(around_point(1.1, 0.3, 0.3), around, grid)
    assert found.words == "1100 mm along the jet of the left jet, which is spent there"
    assert found.remedy == "an outlet nearer to it, or a narrower mouth or more flow at the left jet"
    assert found.moving_may_help


def test_a_jet_that_another_stops(tank):
    """They face each other over 1.2 m: what lies beyond 0.6 m is the other's, if not in front of its mouth."""
    facing = outlet("right jet", (1.2, 0.3, 0.3), (-1.0, 0.0, 0.0))
    around, grid = tank(outlets=(LEFT, facing))
    found = cause_of_dead(around_point(1.1, 0.5, 0.3), around, grid)
    assert found.words == "the jets of the left jet and the right jet meet before it"
    assert found.remedy == "one of the two moved aside, so that they pass each other"
    assert found.moving_may_help
    before = cause_of_dead(around_point(0.5, 0.5, 0.3), around, grid)
    assert before.words == "the jet of the left jet passes 80 mm away"
    aside = outlet("right jet", (1.2, 0.02, 0.3), (-1.0, 0.0, 0.0))  # 28 cm off either axis, at the end of 26 cm cones
    around, grid = tank(outlets=(LEFT, aside))
    assert "meet" not in cause_of_dead(around_point(1.1, 0.5, 0.3), around, grid).words


def test_jets_side_by_side_do_not_meet(tank):
    """Slots of 60 mm by 10, one 15 mm over the other: each within the circle that the other's jet is taken to leave."""
    slots = (replace(outlet(name, (0.0, 0.3, z)), aperture=Slot(0.06, 0.01)) for name, z in (("a", 0.3), ("b", 0.315)))
    around, grid = tank(outlets=tuple(slots))
    assert cause_of_dead(around_point(1.1, 0.3, 0.3), around, grid).words.endswith("which is spent there")


def test_a_pocket_on_both_sides_of_a_jet(tank):
    """At 0.6 m the jet reaches 14 cm to its sides; 20 cm off its axis, on either side, water is beside it. Turned to
    one side it would leave the other; where three places of four lie on one side, it is to be turned to that.
    """
    around, grid = tank(outlets=(LEFT,))
    one, other = around_point(0.6, 0.5, 0.3), around_point(0.6, 0.1, 0.35)
    found = cause_of_dead(np.vstack((one, other)), around, grid)
    assert found.words == "on more than one side of the jet of the left jet"
    assert found.remedy == "a narrower mouth or more flow at the left jet, or a second outlet"
    assert not found.moving_may_help
    mostly = np.vstack((one, one, one, other))
    assert "on more than one side" not in cause_of_dead(mostly, around, grid).words


def test_one_jet_misses_and_another_is_hidden(tank):
    around, grid = tank(STONE, outlets=(LEFT, LOW))
    found = cause_of_dead(around_point(0.5, 0.3, 0.05), around, grid)
    assert found.words == "the jet of the left jet passes 130 mm away; the stone hides it from the low jet"
    assert found.remedy == "a narrower mouth or more flow at the left jet; turned, it may leave other water still"
    assert not found.moving_may_help


def test_no_outlet_blows_there(tank):
    around, grid = tank(outlets=(AWAY,))
    found = cause_of_dead(around_point(0.9, 0.3, 0.3), around, grid)
    assert found.words == "no outlet blows there; the nearest, the far jet, is 300 mm away"
    assert found.remedy == "a further outlet that blows there, or the far jet moved nearer"
    assert found.moving_may_help
    around, grid = tank(WALL, outlets=(AWAY,))
    found = cause_of_dead(around_point(0.2, 0.3, 0.3), around, grid)
    assert found.words == "in the lee of the reef wall, seen from the far jet"


def test_much_of_the_tank_is_dead_because_all_jets_are_weak_or_hidden(tank):
    """No jet that is turned towards it can mend that; a rock before all of them is a cause still."""
    around, grid = tank(outlets=(LEFT, AWAY))
    found = cause_of_much_dead(around_point(0.6, 0.5, 0.3), around, grid)
    assert found.words == "all outlets together set too little water in motion"
    assert found.remedy.startswith("more flow")
    assert not found.moving_may_help
    around, grid = tank(WALL, outlets=(LEFT,))
    assert cause_of_much_dead(around_point(0.9, 0.3, 0.3), around, grid).words.startswith("in the lee of the reef wall")


def test_without_outlets(tank):
    assert cause_of_dead(around_point(0.9, 0.3, 0.3), *tank()).words == "no outlet drives it"


def test_the_core_of_a_jet(tank):
    around, grid = tank(outlets=(LEFT,))
    found = cause_of_strong((0.21, 0.31, 0.31), around, grid)
    assert found.words == "the core of the jet of the left jet, 210 mm from it"
    assert found.remedy == "a wider mouth or less flow at the left jet"
    assert not found.moving_may_help


def test_a_jet_behind_rock_is_no_cause(tank):
    around, grid = tank(WALL, outlets=(LEFT,))
    assert cause_of_strong((0.67, 0.31, 0.31), around, grid).words == "squeezed past the reef wall"
    assert cause_of_strong((0.9, 0.31, 0.31), around, grid).words == "in the current that the left jet drives"


def test_jets_come_together_only_where_several_blow(tank):
    """At 0.9 m, behind the wall for one jet and above the other."""
    around, grid = tank(WALL, outlets=(LEFT,))
    assert cause_of_strong((0.9, 0.31, 0.31), around, grid).remedy == "a wider mouth or less flow at the left jet"
    around, grid = tank(WALL, outlets=(LEFT, LOW))
    found = cause_of_strong((0.9, 0.31, 0.55), around, grid)
    assert found.words == "where the currents of the jets come together"
    assert found.remedy == "one of the jets turned aside"


def test_the_core_of_the_jet_of_a_bar(tank):
    """0.2 m off the middle of a bar of 0.5 m, and 0.1 m before its holes; what stands before its middle hides none."""
    post = Rock("post", Box((0.06, 0.4, 0.3), (0.04, 0.1, 0.6)))
    around, grid = tank(post, outlets=(replace(LEFT, aperture=Slot(0.5, 0.001)),))
    found = cause_of_strong((0.1, 0.5, 0.3), around, grid)
    assert found.words == "the core of the jet of the left jet, 100 mm from it"


def test_water_drawn_into_an_intake(tank):
    """Within a diameter of 5 cm and a cell; at two it moves a fiftieth as fast as in its mouth."""
    intake = Intake("weir", (1.2, 0.3, 0.3), (-1.0, 0.0, 0.0), Bore(0.05), "right", None, 1e-4, None)
    around, grid = tank(intakes=(intake,))
    drawn = cause_of_strong((1.15, 0.31, 0.31), around, grid)
    assert (drawn.words, drawn.remedy) == ("drawn into the weir", "a wider mouth or a strainer there")
    assert cause_of_strong((1.1, 0.31, 0.31), around, grid).words == "where the currents of the jets come together"
