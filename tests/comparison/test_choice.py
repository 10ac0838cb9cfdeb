"""Three layouts of one tank side by side, on flows that are known."""

from dataclasses import replace

import numpy as np
import pytest

from flowviz.comparison.choice import choice
from flowviz.comparison.numbers import choice_numbers
from flowviz.draw.layouts.choice import choice_view
from flowviz.draw.layouts.curves import entries
from flowviz.draw.sheets.sheet import PAGE_HEIGHT
from flowviz.tables.comparison import choice_table

DEAD_FROM = (0.6, 0.9, 1.0)  # the water beyond is dead, in each layout [m]


def layouts(make, starts):
    """Studies of a tank whose outlet is moved up by 10 cm from one to the next."""
    for number, start in enumerate(starts):
        scene = make.scene()
        outlet = replace(scene.outlets[0], centre=(0.0, 0.2, 0.3 + 0.1 * number))
        moved = replace(scene, title=f"Tank {'ABC'[number]}", outlets=(outlet,))
        yield make.study(moved, lambda x, y, z, start=start: np.where(x > start, 0.01, 0.1))


@pytest.fixture(scope="module")
def found(make):
    return choice(list(layouts(make, DEAD_FROM)))


def curve(found, name):
    return next(each for each in found.curves if each.name == name)


def test_the_best_layout_is_the_one_with_least_dead_water(found):
    assert found.title.startswith("Best of the 3 layouts is layout 3: least dead water")
    assert any(each.startswith("The water, dead water: least in layout 3 (") for each in found.reasons)
    assert curve(found, "dead_fraction").as_good == [2]


def test_layouts_that_differ_by_noise_alone_are_too_close_to_call(make):
    assert choice(list(layouts(make, (1.0,) * 3))).title == "Too close to call between the layouts"


def test_none_is_better_than_the_first_where_that_is_the_best(make):
    assert choice(list(layouts(make, DEAD_FROM[::-1]))).title == "No layout is surely better than layout 1"


def test_a_layout_that_is_too_close_to_the_best_is_named(make):
    told = choice(list(layouts(make, (0.6, 1.0, 1.0)))).title
    assert told.startswith("As good as any of the 3 layouts is layout 2: ")
    assert told.endswith("; layout 3 is too close to it to call")


def test_each_layout_is_told_by_its_title_and_by_what_is_otherwise_than_in_the_first(found):
    first, second, third = found.names
    assert first == "Layout 1 is Tank A."
    assert second.startswith("Layout 2 is Tank B: the left jet moves 100 mm up")
    assert third.startswith("Layout 3 is Tank C: the left jet moves 200 mm up")


def test_none_is_the_better_by_a_limit_that_is_not_the_same_in_all(make):
    studies = list(layouts(make, DEAD_FROM))
    limits = replace(studies[2].scene.limits, dead=0.02)
    studies[2] = replace(studies[2], scene=replace(studies[2].scene, limits=limits))
    dead = curve(choice(studies), "dead_fraction")
    assert dead.wanted is None
    assert dead.best is None


def test_corals_that_one_layout_lacks_are_in_no_row(make):
    studies = list(layouts(make, DEAD_FROM))
    bare = make.study(replace(studies[2].scene, corals=()), make.alive)
    assert any(each.subject == "crest" for each in choice(studies).curves)
    assert not any(each.subject == "crest" for each in choice([*studies[:2], bare]).curves)


def test_the_table_has_a_column_for_each_layout_and_names_the_best(found):
    table = choice_table(found)
    assert [heading for heading, _ in table.columns[2:]] == ["1", "2", "3", "best"]
    assert next(row for row in table.rows if row[:2] == ("the water", "dead water"))[-1] == "3"


def test_numbers_have_a_value_for_each_layout(found):
    numbers = choice_numbers(found)
    assert all(len(each["values"]) == len(numbers["layouts"]) == 3 for each in numbers["curves"])


def test_the_picture_names_the_layouts_and_says_which_is_best(found):
    view = choice_view(found)
    view.figure.canvas.draw()
    words = [text.get_text() for text in view.figure.texts]
    assert "".join(words[0].split()).startswith("Bestofthe3layoutsislayout3")
    assert all(any(each.startswith(f"Layout {n} is Tank") for each in words) for n in (1, 2, 3))
    assert view.figure.get_size_inches()[1] <= PAGE_HEIGHT + 1e-9  # rounding of sums of lengths
    dots = [line for axes in view.figure.axes for line in axes.lines if list(line.get_xdata()) == [1, 2, 3]]
    assert dots
    assert all(line.get_linewidth() == 0 for line in dots)  # nothing lies between layouts
    assert {dot.get_linestyle() for dot, _ in entries("none")} == {"None"}  # nor does the key say that something does
