"""A scene with one opening on its way to another place."""

from pathlib import Path

import pytest

from flowviz.errors import InputError
from flowviz.scene.file import read_moved, read_scene

PENINSULA = Path(__file__).parents[2] / "scenes" / "peninsula.toml"
RISER = "floor riser"  # at 300, 110, 0 mm of a floor under 40 mm of sand
TARGET = (1.5, 0.07, 0.0)  # [m]


def place(scene, name=RISER):
    return next(opening.centre for opening in scene.openings if opening.name == name)


@pytest.mark.parametrize(("way", "at"), [(0.0, (0.3, 0.11, 0.04)), (0.25, (0.6, 0.1, 0.04)), (1.0, (1.5, 0.07, 0.04))])
def test_an_opening_goes_a_share_of_its_way_and_stays_clear_of_the_sand(way, at):
    assert place(read_moved(PENINSULA, RISER, TARGET, way)) == pytest.approx(at, abs=1e-12)  # rounding


def test_all_else_stays():
    before, after = read_scene(PENINSULA), read_moved(PENINSULA, RISER, TARGET, 1.0)
    assert [each for each in after.openings if each.name != RISER] == [o for o in before.openings if o.name != RISER]
    assert after.pipes == before.pipes
    assert after.source is None  # no file holds it


def test_intakes_move_too():
    assert place(read_moved(PENINSULA, "left top", (0.0, 0.5, 0.5), 1.0), "left top") == (0.0, 0.5, 0.5)


def test_an_unknown_name_is_told_with_the_nearest():
    with pytest.raises(InputError, match="Did you mean 'floor riser'"):
        read_moved(PENINSULA, "floor risr", TARGET, 1.0)


def test_a_place_outside_the_tank_is_refused():
    with pytest.raises(InputError, match="outside the tank"):
        read_moved(PENINSULA, RISER, (9.0, 0.1, 0.0), 1.0)


@pytest.mark.parametrize(
    ("name", "panel", "off"),
    [("left top", "left", (0.02, 0.5, 0.5)), ("left low", "left", (1.0, 0.76, 0.2)), (RISER, "floor", (1.5, 0.1, 0.1))],
)
def test_a_place_off_the_panel_that_it_sits_on_is_refused(name, panel, off):
    """20 mm before the left pane, on the back one, and 60 mm over the sand."""
    with pytest.raises(InputError, match=f"{name!r}.at: lies off the panel '{panel}' that it sits on"):
        read_moved(PENINSULA, name, off, 1.0)


def test_a_floor_opening_may_stand_on_the_sand():
    assert place(read_moved(PENINSULA, RISER, (1.5, 0.07, 0.04), 0.5)) == pytest.approx((0.9, 0.09, 0.04), abs=1e-12)


@pytest.mark.parametrize("free", [{"outlet.0.panel": "rim"}, {"outlet.0.at": ["40 mm", "200 mm", "200 mm"]}])
def test_an_opening_over_the_rim_or_before_its_panel_goes_anywhere(scene_in, tmp_path, free):
    path = scene_in(tmp_path, free)
    assert place(read_moved(path, "jet", (0.3, 0.1, 0.3), 1.0), "jet") == (0.3, 0.1, 0.3)


def test_the_straight_way_between_two_places_of_a_round_wall_leaves_it(scene_in, tmp_path):
    """From the right end of a circle of 300 mm radius to its front: half way it is 300 (1 - cos 45°) = 88 mm inside."""
    tank = {"tank.length": None, "tank.width": None, "tank.diameter": "600 mm"}
    jet = {"outlet.0.at": ["0 mm", "300 mm", "200 mm"], "outlet.0.panel": "wall"}
    drain = {"intake.0.at": ["600 mm", "300 mm", "150 mm"], "intake.0.panel": "wall"}
    path = scene_in(tmp_path, tank | jet | drain)
    assert place(read_moved(path, "drain", (0.3, 0.0, 0.15), 1.0), "drain") == (0.3, 0.0, 0.15)
    with pytest.raises(InputError, match="lies off the panel 'wall' that it sits on"):
        read_moved(path, "drain", (0.3, 0.0, 0.15), 0.5)
