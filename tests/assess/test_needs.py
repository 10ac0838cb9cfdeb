"""What corals lack and why, and which step comes first, in hand-made water."""

from dataclasses import replace

import numpy as np
import pytest

from flowviz.assess.causes import WEAK
from flowviz.scene.model import Coral

GARDEN = Coral("garden", (0.9, 0.2, 0.3), (0.2, 0.2, 0.1), (0.2, 0.4))  # [m], [m/s]
REMEDY = "a wider mouth or less flow at the left jet"  # against the core of a jet


def even(x, y, z):
    return np.full(x.shape, 0.1)  # below what the garden wants, and not dead


def fast(x, y, z):
    return np.where((abs(y - 0.1) < 0.03) & (abs(z - 0.4) < 0.03) & (x < 0.6), 0.8, even(x, y, z))


def strong(x, y, z):
    return np.where(x > 0.7, 0.45, 0.1)  # above what the garden wants, within the limit of the water


def dead_end(x, y, z):
    return np.where(x > 0.9, 0.01, 0.1)


@pytest.fixture
def told(make):
    """Measures of a tank with a garden and sand, by the speeds of its water."""
    return lambda speeds, **parts: make.study(make.scene(corals=(GARDEN,), **parts), speeds).measures


def test_corals_without_any_dead_water_get_a_cause_and_a_remedy(told):
    """The middle of the garden is 0.9 m along the jet and hypot(0.1, 0.1) = 141 mm off its axis: inside the cone of
    2 × 15 mm + 0.2 × 900 mm = 210 mm.
    """
    (step,) = told(even).first_steps
    assert step.about == "the corals of garden are in too weak a current"
    assert step.cause == "910 mm along the jet of the left jet, which is spent there"  # hypot(900, 100, 100) mm
    assert step.remedy == "an outlet nearer to it, or a narrower mouth or more flow at the left jet"
    assert step.moving_may_help


def test_no_outlet_is_throttled_for_the_core_of_its_jet_where_corals_want_more(told):
    (step,) = told(fast).first_steps
    assert step.about.startswith("the corals of garden")


def test_the_core_of_a_jet_in_which_nothing_lives_asks_for_nothing(make):
    measures = make.study(make.scene(corals=()), fast).measures
    (zone,), (step,) = measures.zones, measures.first_steps
    assert zone.harmless
    assert zone.remedy == step.remedy == f"nothing, as long as nothing lives there; else {REMEDY}"
    assert not step.moving_may_help


def test_the_core_of_a_jet_that_blows_sand_about_is_mended(make):
    """Sand 50 mm deep, and the axis of the jet 10 mm over it."""

    def low(x, y, z):
        return fast(x, y, z + 0.34)

    jet = make.outlet("left jet", (0.0, 0.1, 0.08), (1, 0, 0), "left")
    (zone,) = make.study(make.scene(corals=(), rocks=(), outlets=(jet,)), low).measures.zones
    assert (zone.harmless, zone.bed, zone.remedy) == (False, "sand", REMEDY)


def test_a_longer_look_comes_before_what_is_tried_against_water_that_may_not_be_dead(make):
    """An end at 2.8 cm/s, dead below 3: without the first window, at half the speed, its mean is 3.3."""
    scene = make.scene(corals=())

    def slow_end(x, y, z):
        return np.where(x > 1.0, 0.028, 0.1)

    fickle, steady = (make.study(scene, slow_end, windows).measures for windows in ((0.5, 2, 0.75, 0.75), (1, 1, 1, 1)))
    assert fickle.uncertainty["dead_fraction"] > fickle.dead_fraction == steady.dead_fraction
    (surely,), (perhaps,) = steady.first_steps, fickle.first_steps
    assert perhaps.remedy == f"a longer look first, for this may be chance; then {surely.remedy}"
    assert perhaps.moving_may_help == surely.moving_may_help


def test_too_strong_a_current_is_traced_to_its_jet(told):
    (step,) = told(strong).first_steps
    assert step.about == "the corals of garden are in too strong a current"
    assert (step.remedy, step.moving_may_help) == (REMEDY, False)


def test_corals_that_a_jet_strikes_in_part_are_not_told_that_it_is_spent(told):
    """Half of the garden at 50 cm/s, the other at 10: it wants 20 to 40."""
    found = told(lambda x, y, z: np.where(y < 0.2, 0.5, 0.1))
    assert found.corals["garden"].verdict == "uneven"
    cause = found.needs["garden"]
    assert cause.words == "the jet of the left jet strikes a part of it and leaves the rest still"
    assert cause.remedy == "the left jet farther away or turned aside, or a wider mouth at it"
    assert cause.moving_may_help


def test_corals_come_before_dead_water_and_one_remedy_is_told_once(told):
    steps = told(dead_end).first_steps
    assert steps[0].about.startswith("the corals of garden")
    assert len({step.remedy for step in steps}) == len(steps)


def test_corals_in_a_tank_that_is_dead_all_over_want_more_flow(told):
    (step,) = told(lambda x, y, z: np.full(x.shape, 0.01)).first_steps
    assert (step.cause, step.remedy, step.moving_may_help) == (WEAK.words, WEAK.remedy, False)


def test_nothing_is_advised_for_corals_of_which_nothing_is_known(told):
    found = told(even)
    garden = found.corals["garden"]
    unsure = replace(garden, uncertainty=dict.fromkeys(garden.uncertainty, 1.2), sure=False)
    found = replace(found, corals={"garden": unsure})
    assert (found.unknown_corals, found.first_steps) == (("garden",), ())


def test_content_corals_need_nothing(make):
    measures = make.study(make.scene(), even).measures
    assert (dict(measures.needs), measures.first_steps, measures.unknown_corals) == ({}, (), ())
