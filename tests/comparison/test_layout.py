"""What was changed from one scene to the next, in words."""

from dataclasses import fields, replace

import pytest

from flowviz.comparison.layout import LIMITS, REST, SITE, changes
from flowviz.scene.apertures import Slot
from flowviz.scene.model import (
    Animal,
    Bar,
    Heap,
    Junction,
    Limits,
    Measured,
    Phase,
    Pump,
    Scene,
    Site,
    Strainer,
)
from flowviz.shapes.plans import rectangle
from flowviz.shapes.solids import Box, Ellipsoid


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
        ((0.46, 0.29, 0.4), "moves 460 mm to the right and 190 mm to the back"),
        ((0.0, 0.2, 0.2), "moves 200 mm down and 100 mm to the back"),
        ((0.1, 0.4, 0.2), "moves 300 mm to the back and 200 mm down and 100 mm to the right"),
    ],
)
def test_a_move_is_told_by_its_length_and_every_part_that_is_not_small(scene, centre, words):
    assert told(scene, outlet(scene, centre=centre)) == [f"the left jet {words}"]


def test_a_turn_and_a_wider_bore_are_told(scene):
    aperture = replace(scene.outlets[0].aperture, diameter=0.06)
    found = told(scene, outlet(scene, direction=(0.0, 1.0, 0.0), aperture=aperture))
    assert found == ["the left jet turns by 90° and has a mouth of 60 mm, not 30 mm"]


def test_a_slot_in_the_place_of_a_bore_is_told_by_both_its_widths(scene):
    found = told(scene, outlet(scene, aperture=Slot(0.12, 0.012)))
    assert found == ["the left jet has a mouth of 120 mm x 12 mm, not 30 mm"]


def test_what_one_scene_lacks_is_told(scene):
    bare = replace(scene, outlets=(), corals=())
    assert told(scene, bare) == ["the left jet is left out", "the crest is left out"]
    assert told(bare, scene) == ["the left jet is added", "the crest is added"]


def test_a_rock_that_stands_otherwise_is_told(scene):
    rock = replace(scene.rocks[0], solid=Box((0.7, 0.3, 0.15), (0.3, 0.1, 0.3)))
    assert told(scene, replace(scene, rocks=(rock,))) == ["the wall stands otherwise (rock)"]


def test_a_rock_that_becomes_a_heap_is_told(scene):
    heap = replace(scene, rocks=(replace(scene.rocks[0], heap=Heap(0.4, 0.04)),))
    assert told(scene, heap) == ["the wall is a heap of rubble now"]
    assert told(heap, scene) == ["the wall is closed rock now, no rubble"]


def test_a_heap_of_other_stones_in_its_place_is_told_by_them(scene):
    """On any ground: that it stands otherwise, or is larger, would not be true."""
    one, other = (replace(scene.rocks[0], heap=heap) for heap in (Heap(0.4, 0.04), Heap(0.45, 0.02)))
    before, after = replace(scene, rocks=(one,)), replace(scene, rocks=(other,))
    longer = replace(after, tank=replace(scene.tank, plan=rectangle(2.0, 0.5)))
    words = "the wall is heaped otherwise (45 % open, not 40 %; stones of 20 mm, not 40 mm)"
    assert told(before, after) == [words]
    assert words in told(before, longer)


@pytest.mark.parametrize(
    ("was", "now", "words"),
    [(0.449, 0.452, "45.2 % open, not 44.9 %"), (0.4501, 0.4504, "45.04 % open, not 45.01 %"), (0.3, 0.45, "45 %")],
)
def test_heaps_that_differ_by_little_are_told_so_that_it_shows(scene, was, now, words):
    one, other = (replace(scene.rocks[0], heap=Heap(share, 0.04)) for share in (was, now))
    (told_of,) = told(replace(scene, rocks=(one,)), replace(scene, rocks=(other,)))
    assert words in told_of


def test_a_rock_of_another_shape_in_its_place_is_told(scene):
    """An ellipsoid within the edges of the box."""
    box = scene.rocks[0].solid
    rounded = replace(scene.rocks[0], solid=Ellipsoid(box.centre, box.size))
    assert told(scene, replace(scene, rocks=(rounded,))) == ["the wall is of another size or shape (rock)"]


def test_a_slower_pump_is_told(scene):
    pump = Pump("loop pump", ((0.0, 5.0), (1e-3, 0.0)), None, None, "dry", 1.0)
    slower = replace(pump, speed=0.8)
    found = told(replace(scene, pumps=(pump,)), replace(scene, pumps=(slower,)))
    assert found == ["the loop pump runs at 80 % of its speed, not 100 %"]


def test_a_coral_that_wants_another_current_is_told(scene):
    other = replace(scene.corals[0], speed=(0.1, 0.2))
    assert told(scene, replace(scene, corals=(other,))) == ["the crest wants 10 cm/s to 20 cm/s"]


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"nozzle": 0.95}, "has a nozzle (coefficient 0.95) now"),
        ({"bar": Bar(0.6, 0.025, 12, 0.008)}, "has a spray bar of 600 mm with 12 holes of 8 mm now"),
        ({"panel": None}, "goes over the rim"),
        ({"hole": 0.07}, "is drilled 70 mm"),
        ({"fitted": 2020}, "is described otherwise"),
    ],
)
def test_what_is_fitted_to_an_outlet_is_told(scene, changed, words):
    assert told(scene, outlet(scene, **changed)) == [f"the left jet {words}"]


STRAINER = Strainer("flat", 0.18, 0.0, 0.35, 0.004)


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ({}, {"strainer": STRAINER}, "gets a strainer"),
        ({"strainer": STRAINER}, {}, "loses its strainer"),
        (
            {"strainer": STRAINER},
            {"strainer": replace(STRAINER, slot=0.003, open_area=0.25)},
            "has another strainer (25 % open, not 35 %; slots of 3 mm, not 4 mm)",
        ),
        (
            {"strainer": STRAINER},
            {"strainer": replace(STRAINER, shape="basket", diameter=0.1, length=0.2)},
            "has another strainer (basket, not flat; 100 mm wide, not 180 mm; 200 mm long, not 0 mm)",
        ),
        ({}, {"edge": 0.005}, "has an edge rounded to 5 mm now"),
        ({"edge": 0.005}, {}, "has a sharp edge now"),
    ],
)
def test_what_is_fitted_to_an_intake_is_told(scene, before, after, words):
    pair = [replace(scene, intakes=(replace(scene.intakes[0], **fitted),)) for fitted in (before, after)]
    assert told(*pair) == [f"the right low {words}"]


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"site": Site(altitude=300.0, price=0.3)}, "the site differs (altitude, price of electricity)"),
        ({"limits": Limits(0.02, 0.5)}, "the limit of dead water is 2 cm/s, not 3 cm/s"),
        ({"animals": (Animal("goby", 0.06, 0.01, 0.2),)}, "the goby is added"),
        ({"phases": (Phase("flood", 600.0, {}, {}),)}, "the phase flood is added"),
        ({"junctions": (Junction("fork", "tee", ("a", "b")),)}, "the junctions differ"),
        ({"measured": (Measured("spot", (0.1, 0.1, 0.1), 0.1, 0.0),)}, "the measured points differ"),
        ({"sand": None}, "the sand differs"),
    ],
)
def test_what_belongs_to_the_whole_tank_is_told(scene, changed, words):
    assert told(scene, replace(scene, **changed)) == [words]


def test_an_animal_that_swims_otherwise_is_told(scene):
    goby = Animal("goby", 0.06, 0.01, 0.2)
    pair = [replace(scene, animals=(replace(goby, speed=speed),)) for speed in (0.2, 0.3)]
    assert told(*pair) == ["the goby differs (animal)"]


def test_what_phases_do_otherwise_is_told(scene):
    flood, ebb = Phase("flood", 600.0, {"pump": 1.0}, {}), Phase("ebb", 600.0, {"pump": 0.5}, {})
    before = replace(scene, phases=(flood, ebb))
    slower = replace(before, phases=(flood, replace(ebb, speeds={"pump": 0.4}, time=300.0)))
    assert told(before, slower) == ["the phase ebb lasts 5 min, not 10 min and has its pumps or valves otherwise"]
    assert told(before, replace(before, phases=(ebb, flood))) == ["the phases follow each other otherwise"]


def test_nothing_of_a_scene_is_left_out():
    """What is not told belongs to the file, not to the tank."""
    untold = {"title", "show", "cautions", "source"}
    apart = {"outlets", "intakes", "pumps", "phases", "rocks", "corals", "animals", "limits", "site"}
    assert {each.name for each in fields(Scene)} == untold | apart | set(REST)
    assert {each.name for each in fields(Limits)} == set(LIMITS)
    assert {each.name for each in fields(Site)} == set(SITE)
