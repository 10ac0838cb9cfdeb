"""Intakes at the surface of the peninsula's 0.6 m of water: what of a mouth is wet, and whether air gets in."""

from dataclasses import replace
from math import pi

import pytest

from flowviz.plumbing.animals import perils, reach
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.surface import wetted_area
from flowviz.scene.apertures import Bore, Slot
from flowviz.scene.model import Animal

DEPTH = 0.6
GRAVITY = 9.80665


def with_mouth(scene, height: float, aperture, strainer=None):
    """The peninsula whose intake lies elsewhere."""
    intake = replace(scene.intakes[0], centre=(0.0, 0.38, height), aperture=aperture, strainer=strainer)
    return replace(scene, intakes=(intake,))


def air(scene) -> list[str]:
    """What is told of the intake but its speed."""
    told = (caution for caution in solve_loop(scene).cautions if caution.where == "intake left low")
    return [caution.what for caution in told if "water passes its" not in caution.what]


@pytest.mark.parametrize(
    ("height", "share"),
    [(0.5, 1.0), (0.57, 1.0), (0.585, 0.75), (0.6, 0.5), (0.615, 0.25), (0.63, 0.0), (0.7, 0.0)],
)
def test_the_wet_part_of_a_slot(scene, height, share):
    """60 mm high, between its edges."""
    (intake,) = with_mouth(scene, height, Slot(0.4, 0.06)).intakes
    assert wetted_area(intake, DEPTH) == pytest.approx(share * 0.4 * 0.06)


def test_the_wet_part_of_a_bore(scene):
    """Half of it with its middle at the surface; with that half a radius below, 1/3 + √3/(4 π) + 1/3, exact; nothing
    over it.
    """
    bore = Bore(0.08)
    shares = [
        wetted_area(with_mouth(scene, height, bore).intakes[0], DEPTH) / bore.area
        for height in (0.6, 0.58, 0.62, 0.5, 0.7)
    ]
    lower = 2 / 3 + 3**0.5 / (4 * pi)
    assert shares == pytest.approx([0.5, lower, 1 - lower, 1.0, 0.0])


def test_a_half_wet_weir_draws_twice_as_fast_for_four_times_the_head(scene):
    """Entrance 0.5 on the speed through the wet half, which is told too."""
    loop = solve_loop(with_mouth(scene, 0.6, Slot(0.4, 0.06)))
    figures = loop.intakes["left low"]
    speed = figures.flow / (0.4 * 0.03)
    assert (figures.screen_speed, figures.approach_speed) == pytest.approx((speed, speed))
    assert figures.losses["entrance"] == pytest.approx(0.5 * speed**2 / (2 * GRAVITY))


def test_animals_before_a_half_wet_weir(scene):
    """The surface is a mirror: twice the flow into a whole mouth in water without one."""
    weir = with_mouth(scene, 0.6, Slot(0.4, 0.06))
    deep = with_mouth(scene, 0.3, Slot(0.4, 0.06))
    assert reach(weir.intakes[0], 1e-3, 0.03, DEPTH) == pytest.approx(reach(deep.intakes[0], 2e-3, 0.03, DEPTH))
    guarded = replace(weir, animals=(Animal("wrasse", 0.2, 0.08, 0.2),))
    (peril,) = perils(guarded, solve_loop(guarded))
    assert peril.slot_share == pytest.approx(solve_loop(guarded).rates["left low"] / -(0.4 * 0.03 * 0.2))


def test_what_passes_a_bare_slot_is_narrower_than_it_is_high(scene):
    """60 mm, whatever its length: the wrasse of 80 mm does not, one of 50 mm does."""
    animals = Animal("wrasse", 0.2, 0.08, 0.2), Animal("slim wrasse", 0.2, 0.05, 0.2)
    guarded = replace(with_mouth(scene, 0.3, Slot(0.4, 0.06)), animals=animals)
    assert [peril.passes for peril in perils(guarded, solve_loop(guarded))] == [False, True]


def test_a_rounded_edge_is_measured_by_the_narrow_way_of_a_slot(scene):
    """3.6 mm on 60 mm are 0.06, for which Crane has 0.15 (TP-410, A-30); a sharp edge of the same slot has 0.5."""
    sharp = with_mouth(scene, 0.3, Slot(0.4, 0.06))
    round_one = replace(sharp, intakes=(replace(sharp.intakes[0], edge=0.0036),))
    found = (solve_loop(each).intakes["left low"] for each in (round_one, sharp))
    rounded, plain = (each.losses["entrance"] / each.flow**2 for each in found)
    assert rounded / plain == pytest.approx(0.15 / 0.5)


def test_a_weir_that_is_drawn_dry_is_told(scene):
    """Francis over 0.4 m under 30 mm: 1.838 (0.4 - 0.006) 0.03^1.5 = 3.76 L/s; the pump draws 4 L/s. A metre does."""
    assert solve_loop(with_mouth(scene, 0.6, Slot(0.4, 0.06))).total > 3.76e-3
    (what,) = air(with_mouth(scene, 0.6, Slot(0.4, 0.06)))
    assert "runs over its lower edge under 30 mm of water" in what
    assert air(with_mouth(scene, 0.6, Slot(0.7, 0.06))) == []


def test_a_weir_that_ends_at_the_surface_is_told_too(scene):
    """Francis over 0.2 m under 60 mm: 1.838 (0.2 - 0.012) 0.06^1.5 = 5.08 L/s, more than is drawn; 0.12 m: 2.92."""
    assert 2.92e-3 < solve_loop(with_mouth(scene, 0.57, Slot(0.12, 0.06))).total < 5.08e-3
    (what,) = air(with_mouth(scene, 0.57, Slot(0.12, 0.06)))
    assert "runs over its lower edge under 60 mm of water" in what
    assert air(with_mouth(scene, 0.57, Slot(0.2, 0.06))) == []


def test_a_bare_mouth_near_the_surface_is_told(scene):
    """63 mm with 1.3 m/s in it: 63 (1 + 2.3 1.3/√(9.8 0.063)) mm, some 0.3 m of water; it has 0.1, or 0.45."""
    (what,) = air(with_mouth(scene, 0.5, Bore(0.063)))
    assert what.startswith("100 mm of water stand over the middle of its bare mouth; 30")
    assert air(with_mouth(scene, 0.15, Bore(0.063))) == []
    assert air(with_mouth(scene, 0.5, Bore(0.063), scene.intakes[0].strainer)) == []
