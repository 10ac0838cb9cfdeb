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
