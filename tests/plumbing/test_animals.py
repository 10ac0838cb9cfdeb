"""How far an intake reaches and whom it holds, by shape of strainer, put back into the law of its water."""

from dataclasses import replace
from math import pi, sqrt

import pytest

from flowviz.plumbing.animals import perils, reach
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.model import Animal, Strainer

FLOW, SPEED, DEPTH = 4e-3, 0.05, 0.6
FLAT = Strainer("flat", 0.18, 0.0, 0.35, 0.004)


def disc(distance, radius):
    """Share of the speed in an opening that draws evenly, on its axis; Lamb's 1 - z/√(z² + a²), written out here."""
    return 1 - distance / sqrt(distance**2 + radius**2)


@pytest.mark.parametrize(("strainer", "radius"), [(FLAT, 0.09), (None, 0.0315)])
def test_a_flat_strainer_or_bare_mouth_on_a_panel_draws_as_a_disc(scene, strainer, radius):
    """180 mm across, or the bore of 63 mm: where it reaches to the water comes just as fast as was asked."""
    intake = replace(scene.intakes[0], strainer=strainer)
    found = reach(intake, FLOW, SPEED, DEPTH)
    assert FLOW / (pi * radius**2) * disc(found, radius) == pytest.approx(SPEED)


@pytest.mark.parametrize("strainer", [FLAT, Strainer("basket", 0.11, 0.12, 0.38, 0.003)])
def test_a_strainer_in_open_water_draws_as_a_ball_of_as_much_skin(scene, strainer):
    """Q = 4π r² V round a ball whose 4π r² is the strainer's skin; a sum done here."""
    intake = replace(scene.intakes[0], panel=None, hole=None, strainer=strainer)
    middle = reach(intake, FLOW, 0.02, DEPTH) + sqrt(strainer.skin / (4 * pi))
    assert 4 * pi * middle**2 * 0.02 == pytest.approx(FLOW)


def guarded(scene, share):
    """The scene with an animal of 100 mm by 20 mm that swims as fast as the slots draw, over a share."""
    speed = solve_loop(scene).intakes["left low"].screen_speed / share
    return replace(scene, animals=(Animal("wrasse", 0.1, 0.02, speed),))


@pytest.mark.parametrize(("share", "held"), [(0.9, False), (1.1, True), (1.5, True), (3.0, True)])
def test_an_animal_slower_than_the_slots_is_told_to_be_held(scene, share, held):
    told = [caution.what for caution in solve_loop(guarded(scene, share)).cautions]
    assert any(f"at {100 * share:.0f} % of the speed that wrasse can swim" in what for what in told) == held


def test_what_an_animal_meets_at_the_skin_and_in_the_slots(scene):
    """Speeds over its own, 0.2 m/s; the skin's less by the open share of 0.38."""
    known = replace(scene, animals=(Animal("wrasse", 0.1, 0.02, 0.2),))
    loop = solve_loop(known)
    (peril,) = perils(known, loop)
    assert peril.slot_share == pytest.approx(loop.intakes["left low"].screen_speed / 0.2)
    assert peril.skin_share == pytest.approx(0.38 * peril.slot_share)
    assert peril.reach == reach(known.intakes[0], loop.intakes["left low"].flow, 0.2, DEPTH)
