"""What a change of layout does to a flood, on a tank of 1.2 m x 0.5 m with 0.5 m of water."""

import pytest

from flowviz import compare
from flowviz.comparison.course import course
from flowviz.comparison.numbers import comparison_numbers
from flowviz.report.client import facts_of_two, sentences_of_two
from flowviz.tables import comparison_tables

AREA, DEPTH = 1.2 * 0.5, 0.5  # [m²], [m]
WALL = AREA * (DEPTH - (0.4 - 0.06 / 2))  # the outlet's hole of 60 mm at 400 mm [m³]
RISERS = {"a": 0.2, "b": 0.4, "c": 0.8, "d": 1.0}  # where along the tank they stand [m]
LABEL = "water that the worst break lets out"


@pytest.fixture(scope="module")
def layouts(make):
    """The outlet in the wall, in the floor, and as high in the wall as told [m]; the intake is higher than all."""
    intake = make.intake("weir", (1.2, 0.25, 0.45), (-1.0, 0.0, 0.0), "right")

    def layout(*outlets):
        return make.study(make.scene(outlets=outlets, intakes=(intake,), sand=None), make.alive)

    def in_wall(height):
        return layout(make.outlet("jet", (0.0, 0.1, height), (1, 0, 0), "left"))

    floor = [make.outlet(f"riser {letter}", (x, 0.25, 0.0), (0, 0, 1), "floor") for letter, x in RISERS.items()]
    wall = in_wall(0.4)
    return {
        "wall": wall,
        "floor": layout(floor[0]),
        "four": layout(*wall.scene.outlets, *floor),
        "lower": in_wall(0.385),
        "far lower": in_wall(0.38),
    }


def flood(comparison):
    return next(each for each in comparison.differences if each.label == LABEL)


def warned(comparison):
    return [str(caution) for caution in comparison.cautions if caution.where == "a broken pipe or bulkhead"]


def test_an_outlet_that_goes_from_wall_to_floor_lets_the_whole_tank_out(layouts):
    told = compare(layouts["wall"], layouts["floor"])
    found = flood(told)
    assert (found.before, found.after, found.verdict) == (pytest.approx(WALL), pytest.approx(AREA * DEPTH), "worse")
    assert f"more {LABEL}" in told.title
    assert f"more {LABEL} (78 L before, 300 L after)" in told.reasons[2]  # 0.078 and 0.3 m³
    assert f"more {LABEL} (78 L before, 300 L after)" in " ".join(sentences_of_two(told))
    (caution,) = warned(told)
    assert 'outlet "riser a" lets out 300 L; no break of the first layout lets out more than 78 L' in caution


def test_tables_page_and_numbers_tell_it(layouts):
    told = compare(layouts["wall"], layouts["floor"])
    row = ("the loop", LABEL, "78 L", "300 L")
    assert (*row, "222 L", "worse") in comparison_tables(told)[0].rows
    assert (*row, "worse") in facts_of_two(told).rows
    number = next(each for each in comparison_numbers(told)["differences"] if each["label"] == LABEL)
    assert (number["unit"], number["verdict"]) == ("m3", "worse")


def test_and_back_it_is_better(layouts):
    told = compare(layouts["floor"], layouts["wall"])
    assert flood(told).verdict == "better"
    assert f"less {LABEL}" in told.reasons[0]
    assert not warned(told)


def test_a_little_more_is_no_matter(layouts):
    """15 mm lower are 9 L of 87, less than the bucket of 10 L; 20 mm are 12 L of 90, more than that and a tenth."""
    for name, verdict in (("lower", "the same"), ("far lower", "worse")):
        told = compare(layouts["wall"], layouts[name])
        assert flood(told).verdict == verdict
        assert bool(warned(told)) == (verdict == "worse")


def test_a_tenth_of_a_large_flood_is_no_matter(make):
    """The intake at 105 mm has its lip at 60: 264 L; at 60 mm it has it at 15, and lets out 27 L more, of 291 L."""
    low, lower = (
        make.study(make.scene(intakes=(make.intake("low", (1.2, 0.25, height), (-1, 0, 0), "right"),)), make.alive)
        for height in (0.105, 0.06)
    )
    found = flood(compare(low, lower))
    assert (found.before, found.after) == (pytest.approx(0.264), pytest.approx(0.291))
    assert found.verdict == "the same"


def test_every_break_that_lets_out_more_than_any_before_is_named_the_first_three_by_name(layouts):
    (caution,) = warned(compare(layouts["wall"], layouts["four"]))
    assert all(f'outlet "riser {letter}" lets out 300 L' in caution for letter in "abc")
    assert "riser d" not in caution
    assert "jet" not in caution
    assert "and 1 other likewise" in caution


def test_an_opening_on_its_way_down_is_warned_of(layouts):
    """90 L run out at the end of its way, by its hole at 380 mm, and 78 at the start."""
    (caution,) = warned(course([layouts["wall"], layouts["far lower"]], "jet"))
    assert 'outlet "jet" lets out 90 L; no break of the first layout lets out more than 78 L' in caution
    assert not warned(course([layouts["wall"], layouts["lower"]], "jet"))


def test_a_flood_stands_behind_corals_and_dead_water_and_before_all_else(make, layouts):
    """More water that does not move, less bed where detritus is kept moving, and a riser in the floor."""
    brisk = make.study(layouts["wall"].scene, lambda x, y, z: 0.2 + 0 * x)
    dead = make.study(layouts["floor"].scene, make.dead)
    title = compare(brisk, dead).title
    assert title.index("dead water") < title.index(LABEL)
    assert "detritus" not in title[: title.index(LABEL)]
