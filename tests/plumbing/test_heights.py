"""Where the places of a loop lie, and the openings that the rises of the pipes miss."""

from dataclasses import replace
from pathlib import Path

import pytest

from flowviz.plumbing.heights import height_cautions, heights
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene

SHIPPED = sorted((Path(__file__).parents[2] / "scenes").glob("*.toml"))


def astray(scene, where):
    """What the cautions of a solved loop say of the height of a place."""
    cautions = solve_loop(scene).cautions
    return [caution.what for caution in cautions if caution.where == where and "rises" in caution.what]


def test_heights_follow_the_rises(scene, with_pipe):
    """The suction pipe level at 120 mm, the delivery 0.3 m up."""
    assert heights(scene)["loop pump"] == pytest.approx(0.12)
    assert heights(scene)["tee"] == pytest.approx(0.42)
    assert heights(with_pipe(scene, 0, rise=-1.0))["loop pump"] == pytest.approx(-0.88)


def test_openings_have_their_own_heights(scene):
    """The left outlet at 0.45 m, whatever the rises make of it: 0.42 m, which is near enough to go without a word."""
    assert heights(scene)["left high"] == 0.45
    assert not list(height_cautions(scene))


def test_rises_that_miss_an_opening_are_astray(scene, with_pipe):
    """The tee 0.42 m up, and from it 0.13 m more, to an outlet at 0.45 m: 10 cm astray; in the scene's units."""
    (what,) = astray(with_pipe(scene, 2, rise=0.13), "outlet left high")
    assert what == "the rises of its pipes put it 550 mm over the floor, but it is at 450 mm"
    (what,) = astray(replace(with_pipe(scene, 2, rise=0.13), show="us"), "outlet left high")
    assert what == "the rises of its pipes put it 21.65 in over the floor, but it is at 17.72 in"  # 25.4 mm
    assert not astray(with_pipe(scene, 2, rise=0.07), "outlet left high")  # 4 cm


def test_rises_that_end_too_low_are_astray_too(scene, with_pipe):
    """From the tee at 0.42 m 70 mm down, and a metre down: 350 mm over the floor, and 580 mm below it."""
    (what,) = astray(with_pipe(scene, 2, rise=-0.07), "outlet left high")
    assert what == "the rises of its pipes put it 350 mm over the floor, but it is at 450 mm"
    (what,) = astray(with_pipe(scene, 2, rise=-1.0), "outlet left high")
    assert what == "the rises of its pipes put it 580 mm below the floor, but it is at 450 mm"


def test_rises_that_are_all_missing_are_told_once(scene):
    """The openings of the peninsula lie from 0.12 m to 0.45 m over the floor."""
    level = replace(scene, pipes=tuple(replace(pipe, rise=0.0) for pipe in scene.pipes))
    (caution,) = height_cautions(level)
    lowest, highest = (pick(each.centre[2] for each in scene.openings) for pick in (min, max))
    assert caution.where == "pipes"
    assert f"the openings lie from {1000 * lowest:.0f} mm to {1000 * highest:.0f} mm over the floor" in caution.what
    assert "leaks, suction and drawings" in caution.why


@pytest.mark.parametrize("order", [1, -1])
def test_a_second_intake_that_the_rises_miss_is_astray(scene, order):
    """Both lead level to the pump, one from 0.12 m and one from 0.3 m: the higher counts, in whichever order."""
    high = replace(scene.intakes[0], name="left middle", centre=(0.0, 0.6, 0.3))
    other = replace(scene.pipes[0], start="left middle")
    both = replace(scene, intakes=(*scene.intakes, high)[::order], pipes=(other, *scene.pipes))
    both = replace(both, pipes=(*both.pipes[:2], replace(both.pipes[2], rise=0.12), *both.pipes[3:]))
    assert astray(both, "intake left low") == [
        "the rises of its pipes put it 300 mm over the floor, but it is at 120 mm"
    ]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_the_rises_of_a_shipped_scene_meet_its_openings(path):
    assert list(height_cautions(read_scene(path))) == []


def test_heights_are_reckoned_against_the_way_of_the_water_too(scene):
    """A leg that rises 0.2 m to the tee begins 0.2 m under it, and one that falls begins over it."""
    for rise in (0.2, -0.2):
        leg = replace(scene.pipes[1], start="dead end", rise=rise)
        place = heights(replace(scene, pipes=(*scene.pipes, leg)))
        assert place["dead end"] == pytest.approx(place["tee"] - rise)
