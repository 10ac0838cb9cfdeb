"""What was changed from one scene to the next, in words."""

from dataclasses import replace

import pytest

from flowviz.comparison.layout import changes
from flowviz.scene.model import Heap, Pump
from flowviz.shapes.solids import Box


@pytest.fixture
def scene(make):
    return make.scene()


def outlet(scene, **changed):
    return replace(scene, outlets=(replace(scene.outlets[0], **changed),))


def told(before, after):
    return [str(change) for change in changes(before, after)]


def test_the_same_scene_has_no_changes(scene):
    assert told(scene, scene) == []


@pytest.mark.parametrize(
    ("centre", "words"),
    [
        ((0.3, 0.1, 0.4), "moves 300 mm to the right"),
        ((0.0, 0.4, 0.4), "moves 300 mm to the back"),
        ((0.0, 0.1, 0.2), "moves 200 mm down"),
        ((0.0, 0.05, 0.41), "moves 51 mm to the front"),
    ],
)
def test_a_move_is_told_by_its_length_and_main_way(scene, centre, words):
    assert told(scene, outlet(scene, centre=centre)) == [f"the left jet {words}"]


def test_a_turn_and_a_wider_bore_are_told(scene):
    aperture = replace(scene.outlets[0].aperture, diameter=0.06)
    found = told(scene, outlet(scene, direction=(0.0, 1.0, 0.0), aperture=aperture))
    assert found == ["the left jet turns by 90° and opens 4 times as wide"]


def test_what_one_scene_lacks_is_told(scene):
    bare = replace(scene, outlets=(), corals=())
    assert told(scene, bare) == ["the left jet is left out", "the crest is left out"]
    assert told(bare, scene) == ["the left jet is added", "the crest is added"]


def test_a_rock_that_stands_otherwise_is_told(scene):
    rock = replace(scene.rocks[0], solid=Box((0.7, 0.3, 0.15), (0.3, 0.1, 0.3)))
    assert told(scene, replace(scene, rocks=(rock,))) == ["the wall stands otherwise (rock)"]


def test_a_rock_that_becomes_a_heap_is_told(scene):
    rock = replace(scene.rocks[0], heap=Heap(0.4, 0.04))
    assert told(scene, replace(scene, rocks=(rock,))) == ["the wall stands otherwise (rock)"]


def test_a_slower_pump_is_told(scene):
    pump = Pump("loop pump", ((0.0, 5.0), (1e-3, 0.0)), None, None, "dry", 1.0)
    slower = replace(pump, speed=0.8)
    found = told(replace(scene, pumps=(pump,)), replace(scene, pumps=(slower,)))
    assert found == ["the loop pump runs at 80 % of its speed, not 100 %"]
