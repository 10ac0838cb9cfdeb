"""The stills of a report: their badges are named below, and of two layouts once where they are the same."""

from dataclasses import replace

import pytest

from flowviz.comparison import compare
from flowviz.draw.sheets.view import openings_line
from flowviz.report.stills import sights_of_one, sights_of_two
from flowviz.scene.model import Intake, Outlet


def names(study):
    """Badge, name and flow of every opening."""
    return [openings_line(study, Outlet, "Outlets"), openings_line(study, Intake, "Intakes")]


def told(sight):
    return [text.words for text in sight.names]


def test_the_openings_are_named_below_their_badges(make):
    study = make.study(make.scene(), make.dead)
    assert names(study) == [
        "Outlets: A\N{NO-BREAK SPACE}left jet, 3600 L/h",
        "Intakes: 1\N{NO-BREAK SPACE}right low, 3600 L/h",
    ]
    assert [told(sight) for sight in sights_of_one(study)] == [names(study)] * 2


@pytest.mark.parametrize(("name", "named_twice"), [("left jet", False), ("other jet", True)])
def test_of_two_layouts_the_first_names_what_the_second_does_not(make, name, named_twice):
    scene = make.scene()
    before, after = make.study(scene, make.dead), make.study(named(scene, name), make.alive)
    below = [told(sight) for sight in sights_of_two(compare(before, after))]
    assert below == [names(before) if named_twice else [], names(after), names(after)]


def named(scene, name):
    """The scene with its outlet elsewhere, called otherwise."""
    return replace(scene, outlets=(replace(scene.outlets[0], name=name, centre=(0.0, 0.2, 0.4)),))
