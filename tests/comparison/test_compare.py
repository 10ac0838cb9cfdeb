"""Two hand-made studies side by side: what is called, and what is not."""

import pytest

from flowviz import compare


@pytest.fixture(scope="module")
def dead(make):
    return make.study(make.scene(), make.dead)


@pytest.fixture(scope="module")
def alive(make):
    return make.study(make.scene(), make.alive)


def called(comparison):
    return {each.name for each in comparison.differences if each.called}


def test_a_study_does_not_differ_from_itself(dead):
    comparison = compare(dead, dead)
    assert called(comparison) == set()
    assert comparison.title.startswith("Too close to call")
    assert not comparison.went
    assert not comparison.came
    assert len(comparison.stayed) == len(dead.measures.zones) == 1


def test_water_that_comes_alive_is_better(dead, alive):
    comparison = compare(dead, alive)
    verdicts = {each.name: each.verdict for each in comparison.differences}
    assert verdicts["dead_fraction"] == "better"
    assert verdicts["holes"] == verdicts["glass_removed"] == "the same"
    assert [pocket.before for pocket in comparison.went] == list(dead.measures.zones)


def test_and_the_other_way_round_it_is_worse(dead, alive):
    comparison = compare(alive, dead)
    assert {each.name: each.verdict for each in comparison.differences}["dead_fraction"] == "worse"
    assert [pocket.after for pocket in comparison.came] == list(dead.measures.zones)
