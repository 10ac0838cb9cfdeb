"""A small tank computed again and again: noise is not called a difference, a difference is."""

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from flowviz import Settings, compare, read_scene, run
from flowviz.comparison.enough import MARCHES

SCENE = """
title = "small"
show = "metric"
[water]
temperature = "25 degC"
salinity = "35 g/kg"
[tank]
length = "600 mm"
width = "400 mm"
height = "450 mm"
depth = "400 mm"
seen_from = ["front"]
[limits]
dead = "3 cm/s"
over = "50 cm/s"
[[rock]]
name = "stone"
shape = "box"
centre = ["350 mm", "WALL_Y", "100 mm"]
size = ["100 mm", "160 mm", "200 mm"]
[[coral]]
name = "crown"
centre = ["350 mm", "WALL_Y", "250 mm"]
size = ["200 mm", "200 mm", "100 mm"]
speed = ["5 cm/s", "20 cm/s"]
[[outlet]]
name = "jet"
at = ["0 mm", "JET_Y", "300 mm"]
direction = [1, SIDE, 0]
bore = "25 mm"
panel = "left"
flow = "FLOW"
[[intake]]
name = "drain"
at = ["0 mm", "DRAIN_Y", "100 mm"]
bore = "50 mm"
panel = "left"
"""
AS_IS = {"WALL_Y": "250 mm", "JET_Y": "120 mm", "DRAIN_Y": "280 mm", "SIDE": "0.2", "FLOW": "1200 L/h"}
MIRRORED = AS_IS | {"WALL_Y": "150 mm", "JET_Y": "280 mm", "DRAIN_Y": "120 mm", "SIDE": "-0.2"}
DOUBLED = AS_IS | {"FLOW": "2400 L/h"}
CELL = 0.025  # [m]
REPEATS = 20
MOST_WRONG = 0.05  # share of the comparisons that may call noise a difference: what the work was ordered with


def scene_of(parts: dict[str, str], folder: Path):
    text = SCENE
    for word, value in parts.items():
        text = text.replace(word, value)
    (folder / "small.toml").write_text(text, encoding="utf-8")
    return read_scene(folder / "small.toml")


def study_of(scene, number: int):
    """The number-th study of a scene, with disturbances that no other number has."""
    marches = MARCHES["sketch"]
    return run(scene, Settings("sketch", CELL, number * marches, marches))


def called(comparison):
    pockets = (*comparison.went, *comparison.came)
    return {each.name for each in comparison.differences if each.called and each.noisy} | {p.fate for p in pockets}


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    return scene_of(AS_IS, tmp_path_factory.mktemp("small"))


@pytest.fixture(scope="module")
def studies(small):
    return [study_of(small, number) for number in range(REPEATS + 1)]


@pytest.mark.slow
def test_noise_is_called_a_difference_less_often_than_one_time_in_twenty(studies):
    """Each study against the next: twenty comparisons. Of the verdicts in them no more than 5 % may be wrong."""
    comparisons = [compare(*pair) for pair in pairwise(studies)]
    wrong = sum(len(called(comparison)) for comparison in comparisons)
    verdicts = sum(sum(each.noisy for each in comparison.differences) for comparison in comparisons)
    assert wrong / verdicts < MOST_WRONG
    assert (
        sum(bool(called(comparison)) for comparison in comparisons) <= 2
    )  # at 3 % each more than 2 of 20 come once in 50


@pytest.mark.slow
def test_a_tank_is_too_close_to_its_mirror_image_to_call(studies, tmp_path):
    mirrored = study_of(scene_of(MIRRORED, tmp_path), REPEATS + 1)
    comparison = compare(studies[0], mirrored)
    assert not any(each.called for each in comparison.differences)  # its pockets do lie elsewhere


@pytest.mark.slow
def test_doubled_flow_is_called_and_right(studies, tmp_path):
    """All speeds of a turbulent flow double: the mean by the same factor, and the slow share falls."""
    doubled = study_of(scene_of(DOUBLED, tmp_path), REPEATS + 2)
    comparison = compare(studies[0], doubled)
    found = {each.name: each for each in comparison.differences}
    assert found["mean_speed"].verdict == "changed"
    assert found["mean_speed"].after / found["mean_speed"].before == pytest.approx(2, rel=0.1)  # noise of both means
    assert found["total_flow"].verdict == "changed"
    assert found["total_flow"].change == pytest.approx(1.2 / 3600, rel=1e-6)  # 1200 L/h, typed in the scene
    assert found["bed/settling_fraction"].verdict in ("better", "the same")
    assert not any(each.verdict == "worse" and each.name.endswith("under_fraction") for each in found.values())


@pytest.mark.slow
def test_a_single_march_is_one_look_and_calls_nothing(small, studies):
    """A sketch averaged for half a minute: the circulation takes as long to wander, so nothing can be told from it."""
    single = [run(small, Settings("sketch", CELL, seed)) for seed in (1001, 1002)]
    comparison = compare(*single)
    assert called(comparison) == set()
    assert any("hardly longer" in caution.what for caution in comparison.cautions)


@pytest.mark.slow
def test_a_study_with_other_limits_is_told_apart_by_a_caution(studies):
    scene = studies[0].scene
    other = replace(studies[1], scene=replace(scene, limits=replace(scene.limits, dead=0.02)))
    assert any("limits" in caution.what for caution in compare(studies[0], other).cautions)
