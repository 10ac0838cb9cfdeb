"""The picture of measured points: what it says and what it shows, against the records it is made of."""

from dataclasses import replace

import numpy as np
import pytest

from flowviz.draw.flat.measured import measured_view
from flowviz.scene.model import Measured

COMMON = 0.1  # speed of the hand-made water, alike in all windows [m/s]


@pytest.fixture
def seen(make):
    """The picture of a tank of COMMON speed with these measured points."""

    def draw(*points):
        scene = make.scene(measured=tuple(Measured(name, at, speed, doubt) for name, at, speed, doubt in points))
        return measured_view(make.study(scene, make.speeds))

    return draw


def test_the_title_counts_the_points_and_tells_the_bias(seen):
    """Measured 12 and 30 cm/s, computed 10 and 10: one within a factor of two; 10 is 52 % less than the mean of 21."""
    view = seen(("a", (0.6, 0.1, 0.45), 0.12, 0.02), ("b", (0.8, 0.1, 0.45), 0.3, 0.0))
    assert view.title == "1 of 2 measured points within a factor of two; computed 52 % too slow on average"
    assert "a: measured 12 cm/s, computed 10 cm/s." in view.description


def test_every_point_is_drawn_and_the_worst_is_named_so(seen):
    view = seen(("a", (0.6, 0.1, 0.45), 0.12, 0.02), ("b", (0.8, 0.1, 0.45), 0.3, 0.0))
    (axes,) = view.figure.axes
    points = axes.containers[0].lines[0].get_xydata()
    assert points == pytest.approx(np.array([[12, 10], [30, 10]]), rel=1e-6)
    words = [text.get_text() for text in axes.texts]
    assert "b (worst)" in words
    assert "a" in words
    low, high = axes.get_xlim()
    assert low <= 0
    assert high > 30


def test_a_computed_mean_that_agrees_has_no_direction(seen):
    assert seen(("a", (0.6, 0.1, 0.45), 0.1, 0.0)).title.endswith("computed right on average")


def test_points_in_rock_only(seen):
    """The wall of rock is from 0.45 to 0.75 m along, 0.25 to 0.35 m across and up to 0.3 m."""
    view = seen(("a", (0.6, 0.3, 0.15), 0.1, 0.0))
    assert view.title == "No measured point lies in the water"
    view.figure.canvas.draw()


@pytest.mark.parametrize("name", ["x" * 200, "$x_1$ & <b>", "岩 \N{TROPICAL FISH}"])
def test_names_of_any_kind_are_set(seen, name):
    """Warnings are errors in these tests: a missing sign would be one."""
    seen((name, (0.6, 0.1, 0.45), 0.1, 0.02)).figure.canvas.draw()


def test_us_scenes_speak_us_units(make):
    scene = make.scene(show="us", measured=(Measured("a", (0.6, 0.1, 0.45), COMMON, 0.0),))
    view = measured_view(make.study(scene, make.speeds))
    assert view.figure.axes[0].get_xlabel() == "measured, in/s"
    assert "in/s" in view.description


def test_one_window_leaves_the_computed_interval_out(make):
    scene = make.scene(measured=(Measured("a", (0.6, 0.1, 0.45), COMMON, 0.0),))
    study = make.study(scene, make.speeds)
    point = replace(study.measures.agreement.points["a"], computed_doubt=float("nan"))
    agreement = replace(study.measures.agreement, points={"a": point})
    measured_view(replace(study, measures=replace(study.measures, agreement=agreement))).figure.canvas.draw()
