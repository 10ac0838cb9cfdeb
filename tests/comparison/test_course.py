"""The measures along the way of an opening, on flows that are known."""

from dataclasses import replace
from math import nan

import numpy as np
import pytest
from scipy.stats import norm as normal

from flowviz.comparison.course import course, wording
from flowviz.comparison.curves import Curve, best_of_all, curves, headline, wrong_in_one
from flowviz.comparison.differences import WRONG
from flowviz.comparison.figures import Figure
from flowviz.comparison.noise import doubt
from flowviz.comparison.numbers import course_numbers
from flowviz.draw.layouts.course import course_view
from flowviz.draw.sheets.sheet import PAGE_HEIGHT
from flowviz.draw.sheets.wording import BARS
from flowviz.flow.intervals import half_width_of_difference
from flowviz.tables.comparison import course_table

DEAD_FROM = (0.6, 0.9, 1.0)  # the water beyond is dead, at each place of the outlet [m]


@pytest.fixture(scope="module")
def found(make):
    studies = []
    for number, start in enumerate(DEAD_FROM):
        scene = make.scene()
        moved = replace(scene, outlets=(replace(scene.outlets[0], centre=(0.0, 0.1 + 0.1 * number, 0.4)),))
        studies.append(make.study(moved, lambda x, y, z, start=start: np.where(x > start, 0.01, 0.1)))
    return course(studies, "left jet")


def test_the_way_is_measured_from_the_first_place(found):
    assert found.moved == pytest.approx((0.0, 0.1, 0.2), abs=1e-12)


def test_the_best_place_is_the_one_with_least_dead_water(found):
    dead = next(curve for curve in found.curves if curve.name == "dead_fraction")
    assert dead.best == 2
    assert dead.close == ()
    assert any(reason.startswith("The water, dead water: least at 200 mm") for reason in found.reasons)


def test_the_title_names_the_place_that_is_surely_better_than_the_first(found, make):
    """The outlet's third place, as the studies have it; the other way round the first is the best."""
    assert found.title.startswith("Best of the 3 places tried is 200 mm from where it is, at 0 mm, 300 mm, 400 mm: ")
    assert course(found.studies[::-1], "left jet").title == "No place on the way is surely better than where it is"
    alike = [make.study(study.scene, make.alive) for study in found.studies]
    assert course(alike, "left jet").title == "Too close to call anywhere on the way"


def test_of_places_as_good_for_the_water_the_one_that_suits_the_corals_is_the_best(make):
    """All is dead in the first place and nothing in the others; corals want 5 to 30 cm/s, and have it in the last."""
    scene = make.scene(rocks=(), sand=None)
    studies = []
    for number, speed in enumerate((0.01, 0.04, 0.1)):
        outlets = (replace(scene.outlets[0], centre=(0.0, 0.1 + 0.1 * number, 0.4)),)
        study = make.study(scene, lambda x, y, z, speed=speed: np.full_like(x, speed))
        studies.append(replace(study, scene=replace(scene, outlets=outlets)))
    told = course(studies, "left jet").title
    assert told.startswith(
        "Best of the 3 places tried is 200 mm from where it is, at 0 mm, 300 mm, 400 mm: least dead water and most of "
    )


def test_corals_that_stand_in_no_water_have_no_say_in_the_best_of_all():
    """Two places without dead water, too close to call for the crest, which has more of what it wants in the last."""
    dead = Curve("dead_fraction", "the water", "dead water", "share", "less", (0.5, 0.0, 0.0), (0.1,) * 3, 1, (2,))
    label, few = "in the current it wants", ("share", "more", (0.3, 0.4, 0.6), (0.5,) * 3, 2, (0, 1))
    crest = Curve("crest/in_band_fraction", "crest", label, *few)
    dry = Curve("dry/in_band_fraction", "dry", label, "share", "more", (nan,) * 3, (nan,) * 3, None, ())
    assert best_of_all(dead, [dead, crest, dry]) == 2


def test_a_place_where_corals_get_less_of_the_one_evil_and_more_of_the_other_is_not_the_best(make):
    """Of corals that want 5 to 30 cm/s none are too still in the second place, where all are too strong."""
    scene = make.scene(rocks=(), sand=None)
    moved = replace(scene, outlets=(replace(scene.outlets[0], centre=(0.0, 0.2, 0.4)),))
    slow, fast = (make.study(scene, lambda x, y, z, at=at: np.full_like(x, at)) for at in (0.04, 0.4))
    way = course([slow, replace(fast, scene=moved)], "left jet")
    assert any(curve.worth_moving for curve in way.curves if curve.subject == "crest")
    assert ": least bed where detritus settles and" in way.title  # which does gain
    assert way.title.startswith("No place is best for all: ")
    assert way.title.endswith("; but more of the crest in too strong a current there (100 %) than where it is (0 %)")


@pytest.mark.parametrize(("best", "where"), [(1, "at 100 mm"), (0, "where it is")])
def test_a_place_that_is_best_for_the_water_is_not_called_best_where_corals_are_better_off_elsewhere(best, where):
    """Dead water is least in the last of three places 100 mm apart, the crest is all in its band in another."""
    dead = Curve("dead_fraction", "the water", "dead water", "share", "less", (0.5, 0.3, 0.1), (0.01,) * 3, 2, ())
    shares = tuple(float(number == best) for number in range(3))
    label, few = "in the current it wants", ("share", "more", shares, (0.01,) * 3, best, ())
    crest = Curve("crest/in_band_fraction", "crest", label, *few)
    places, moved = [(0.0, 0.1 * number, 0.4) for number in range(3)], (0.0, 0.1, 0.2)
    assert headline([dead, crest], wording(places, moved, "metric"), "metric") == (
        "No place is best for all: least dead water 200 mm from where it is, at 0 mm, 200 mm, 400 mm; but most of the "
        f"crest in the current it wants {where}"
    )


@pytest.mark.parametrize(("worse", "told"), [((1, 2), True), ((1,), False)])
def test_a_place_that_is_surely_too_strong_for_some_corals_is_not_called_best(worse, told):
    """Dead water is least in the last of three places, where 13 % of the crest get too much; none where it was."""
    dead = Curve("dead_fraction", "the water", "dead water", "share", "less", (0.5, 0.3, 0.1), (0.01,) * 3, 2, ())
    few = ("share", "less", (0.0, 0.1, 0.13), (0.01,) * 3, 0, (), worse)
    crest = Curve("crest/over_fraction", "crest", "too strong", *few)
    places, moved = [(0.0, 0.1 * number, 0.4) for number in range(3)], (0.0, 0.1, 0.2)
    start = "No place is best for all: least dead water 200 mm from where it is, at 0 mm, 200 mm, 400 mm"
    price = "; but more of the crest in too strong a current there (13 %) than where it is (0 %)"
    best = "Best of the 3 places tried is 200 mm from where it is, at 0 mm, 200 mm, 400 mm: least dead water"
    assert headline([dead, crest], wording(places, moved, "metric"), "metric") == (f"{start}{price}" if told else best)


def test_a_place_that_others_are_too_close_to_is_not_called_the_best():
    """Dead water is least in the last of four places 100 mm apart; the one before it is too close to call."""
    dead = Curve(
        "dead_fraction", "the water", "dead water", "share", "less", (0.5, 0.3, 0.1, 0.09), (0.05,) * 4, 3, (2,)
    )
    places, moved = [(0.0, 0.1 * number, 0.4) for number in range(4)], (0.0, 0.1, 0.2, 0.3)
    assert headline([dead], wording(places, moved, "metric"), "metric") == (
        "As good as any of the 4 places tried is 300 mm from where it is, at 0 mm, 300 mm, 400 mm: least dead water; "
        "200 mm is too close to it to call"
    )


def test_the_places_that_are_surely_worse_than_the_first_are_known(found):
    """Less and less is dead on the way; the other way round more and more."""
    for way, worse in ((found, ()), (course(found.studies[::-1], "left jet"), (1, 2))):
        assert next(curve for curve in way.curves if curve.name == "dead_fraction").worse == worse


@pytest.mark.parametrize("places", [2, 3, 5, 9])
def test_noise_seldom_tells_the_best_of_places_that_are_alike_from_any_other(places):
    """The largest less the smallest of normal numbers, over and over; ten measures may err ten times as often as one.

    Counted in 100,000 cases, which leaves a twentieth of 3 %; pairs have numbers in common, so that fewer are wrong.
    """
    numbers = np.random.default_rng(1).normal(size=(100_000, places))
    width = normal.isf(wrong_in_one(1, places) / 2) * np.sqrt(2)
    assert 0.7 * WRONG < np.mean(np.ptp(numbers, axis=1) > width) < 1.05 * WRONG
    assert wrong_in_one(10, places) == pytest.approx(wrong_in_one(1, places) / 10, rel=1e-12)


def test_measures_that_noise_cannot_move_take_no_share_of_its_chances(make, monkeypatch):
    """What no window showed at any place, and what no place is judged by; else the gap would be too close to call."""
    studies = [make.study(make.scene(), make.alive) for _ in range(3)]
    known = [doubt(0.02, study) for study in studies[:2]]
    one, two = (half_width_of_difference(*known, wrong_in_one(measures, 3)) for measures in (1, 2))
    told = {
        "dead_fraction": Figure("the water", "dead water", "share", "less", (one + two) / 2, 0.02),
        "crest/over_fraction": Figure("crest", "too strong", "share", "less", 0.0, 0.003, 0.003),
        "mean_speed": Figure("the water", "mean speed", "speed", None, 0.1, 0.01),
    }
    without = told | {"dead_fraction": replace(told["dead_fraction"], value=0.0)}
    monkeypatch.setattr("flowviz.comparison.curves.figures", lambda study: told if study is studies[0] else without)
    dead = next(each for each in curves(studies) if each.name == "dead_fraction")
    assert dead.worth_moving


def test_what_does_not_differ_has_no_best_of_all(found):
    over = next(curve for curve in found.curves if curve.name == "over_fraction")
    assert not over.decided
    assert any("Too close to call anywhere" in reason and "too-strong" in reason for reason in found.reasons)


def test_the_table_has_a_column_for_each_place(found):
    table = course_table(found)
    assert [heading for heading, _ in table.columns[2:5]] == ["0 mm", "100 mm", "200 mm"]
    assert all(len(row) == len(table.columns) for row in table.rows)


def test_numbers_have_a_value_for_each_place(found):
    numbers = course_numbers(found)
    assert all(len(curve["values"]) == len(numbers["moved_m"]) == 3 for curve in numbers["curves"])


def test_the_picture_says_where_it_is_best(found):
    view = course_view(found)
    words = " ".join(text.get_text() for text in view.figure.texts)
    assert "left jet in 3 places" in words
    assert BARS in words
    assert view.title == found.title
    assert "least at 200 mm" in view.description


def test_the_picture_shows_the_places_on_a_plan(found):
    view = course_view(found)
    view.figure.canvas.draw()
    plan = view.figure.axes[0]
    assert {"0 mm", "100 mm", "200 mm", "left", "crest"} <= {text.get_text() for text in plan.texts}
    (way,) = (line for line in plan.lines if len(line.get_xdata()) == len(found.places))
    assert list(zip(*way.get_data(), strict=True)) == [place[:2] for place in found.places]


def named(found):
    """What is written at the places on the plan, in order."""
    view = course_view(found)
    return [text.get_text() for text in view.figure.axes[0].texts if " mm" in text.get_text()]


def test_places_that_crowd_on_the_plan_are_named_by_the_ends_of_the_way(found):
    """Three places within 20 mm; then three above each other, which one name serves."""
    close = tuple((0.0, 0.1 + 0.01 * number, 0.4) for number in range(3))
    assert named(replace(found, places=close, moved=(0.0, 0.01, 0.02))) == ["0 mm", "20 mm"]
    upright = tuple((0.0, 0.1, 0.4 - 0.1 * number) for number in range(3))
    assert named(replace(found, places=upright)) == ["0 mm to 200 mm, straight down"]


def many(found, decided):
    """The course with twenty curves, of which the last so many tell places apart."""
    values = {"quantity": "share", "wanted": "less", "values": (0.3, 0.2, 0.1), "half_widths": (0.01,) * 3, "best": 2}
    curves = [
        Curve(
            f"garden {n}/over_fraction",
            f"garden {n}",
            "too strong",
            close=() if n >= 20 - decided else (0, 1),
            **values,
        )
        for n in range(20)
    ]
    return replace(found, curves=tuple(curves))


@pytest.mark.parametrize("decided", [0, 3, 12])
def test_the_picture_is_no_taller_than_a_page_however_many_curves_there_are(found, decided):
    """Nine are drawn, first of all those that tell places apart; the others are named, and not by a cut list."""
    view = course_view(many(found, decided))
    view.figure.canvas.draw()
    assert view.figure.get_size_inches()[1] <= PAGE_HEIGHT + 1e-9  # rounding of sums of lengths
    titles = " ".join(text.get_text() for axes in view.figure.axes for text in axes.texts)
    drawn = {n for n in range(20) if f"garden {n}\n" in titles}
    assert len(drawn) == 9
    telling = set(range(20 - decided, 20))
    assert drawn >= telling or drawn <= telling
    words = " ".join(text.get_text() for text in view.figure.texts)
    assert {n for n in range(20) if f"garden {n}, too strong" in words} == set(range(20)) - drawn
    assert "…" not in words


def test_what_is_too_close_to_call_anywhere_is_not_listed_below_a_title_that_says_so(found, make):
    alike = course([make.study(study.scene, make.alive) for study in found.studies], "left jet")
    words = [text.get_text() for text in course_view(alike).figure.texts]
    assert words[0] == "Too close to call anywhere on the way"
    assert not any("Too close to call" in each for each in words[1:])
