"""Pumps set on a loop: duty on both curves, cost, and what fouling and throttling leave."""

from dataclasses import replace
from math import log

import pytest

from flowviz.errors import InputError
from flowviz.plumbing.choice import curve_through, present, pump_curve, system_curve, try_pumps
from flowviz.plumbing.energy import cost_of_a_year
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import State
from flowviz.scene.model import Pump, Site

HOUR = 1 / 3600
FLAT = Pump("flat and wide", ((0.0, 2.6), (15 * HOUR, 1.4), (28 * HOUR, 0.0)), 110.0, None, "dry", 1.0)
STEEP = Pump("steep", ((0.0, 14.0), (10 * HOUR, 6.0), (14 * HOUR, 0.0)), 500.0, 2.0, "dry", 1.0)


def test_the_scenes_own_pump_does_what_the_loop_does(scene):
    (choice,) = try_pumps(scene, "loop pump", scene.pumps)
    assert choice.rates == solve_loop(scene).rates
    assert choice.duty == solve_loop(scene).pumps["loop pump"]


def test_the_duty_lies_on_both_curves(scene):
    """Between points of the loop's curve its head grows a little less than with the square of the flow."""
    duty = solve_loop(scene).pumps["loop pump"]
    points = system_curve(scene, "loop pump")
    assert (duty.flow, duty.head) in points  # full speed is one of them
    low, high = points[0], points[-1]
    exponent = log(high[1] / low[1], high[0] / low[0])
    assert 1.75 < exponent < 2.0  # Blasius' 1.75 for the pipes, 2 for fittings and openings
    curve = pump_curve(scene.pumps[0])
    assert curve[0] == scene.pumps[0].curve[0]
    assert curve[-1] == pytest.approx(scene.pumps[0].curve[-1])


def test_a_pump_of_much_flow_and_little_head_dislikes_head(scene):
    flat, steep = try_pumps(scene, "loop pump", (FLAT, STEEP))
    assert flat.duty.surviving_share < steep.duty.surviving_share
    assert flat.kept_throttled < steep.kept_throttled < 1
    assert flat.kept_fouled < 1
    assert (flat.pump, steep.pump) == ("flat and wide", "steep")


def test_place_on_the_curve(scene):
    """Its flow from the first to the last printed one, a sum done here."""
    flat, _ = try_pumps(scene, "loop pump", (FLAT, STEEP))
    assert flat.along_curve == pytest.approx(flat.duty.flow / (28 * HOUR))


def test_place_on_a_curve_that_begins_at_a_flow(scene):
    """Printed from 4 to 20 m³/h: where between the two, a sum done here."""
    late = Pump("late", ((4 * HOUR, 6.0), (12 * HOUR, 4.0), (20 * HOUR, 0.5)), None, None, "dry", 1.0)
    (choice,) = try_pumps(scene, "loop pump", (late,))
    assert choice.along_curve == pytest.approx((choice.duty.flow - 4 * HOUR) / (16 * HOUR))


def test_what_fouling_and_throttling_leave(scene):
    """Half of the strainer's slots clogged; and a ball valve half shut behind the pump, 31.2 by Weisbach's cock at 45
    degrees: against the loop solved so.
    """
    (choice,) = try_pumps(scene, "loop pump", scene.pumps)
    whole = solve_loop(scene).total
    assert choice.kept_fouled == pytest.approx(solve_loop(scene, State(fouled={"left low": 0.5})).total / whole)
    assert choice.kept_throttled == pytest.approx(solve_loop(scene, State(throttled={1: 31.2})).total / whole)


def test_a_slow_pump_has_a_smaller_curve():
    """Affinity laws: at half speed half of the flow and a quarter of the head, of a curve from 4 to 14 m³/h."""
    late = replace(STEEP, curve=((4 * HOUR, 12.0), *STEEP.curve[1:]), speed=0.5)
    curve = pump_curve(late)
    assert curve[0] == pytest.approx((2 * HOUR, 12.0 / 4))
    assert curve[-1] == pytest.approx((7 * HOUR, 0.0), abs=1e-12)


def test_the_loop_is_felt_out_beyond_the_pump_that_gives_most(scene):
    """A weak pump and a steep one, in either order: half as far again as the stronger one's flow, the curve being
    nearly a parabola; every duty is on it.
    """
    weak = Pump("weak", ((0.0, 0.8), (2 * HOUR, 0.5), (4 * HOUR, 0.0)), None, None, "dry", 1.0)
    for pumps in ((weak, STEEP), (STEEP, weak)):
        tried = try_pumps(scene, "loop pump", pumps)
        curve = curve_through(scene, "loop pump", tried)
        assert curve == tuple(sorted(curve))
        assert {(choice.duty.flow, choice.duty.head) for choice in tried} <= set(curve)
        assert curve[-1][0] == pytest.approx(1.5 * max(choice.duty.flow for choice in tried), rel=0.05)


def test_the_present_pump_of_several(scene):
    """Its own duty and its own cautions."""
    second = replace(STEEP, name="second")
    pipes = (*scene.pipes, replace(scene.pipes[0], end="second"), replace(scene.pipes[1], start="second"))
    both = replace(scene, pumps=(*scene.pumps, second), pipes=pipes, junctions=())
    for place in ("loop pump", "second"):
        choice = present(both, place)
        assert (choice.pump, choice.duty) == (place, solve_loop(both).pumps[place])
        assert {caution.where for caution in choice.cautions} == {f"pump {place}"}


def test_cost():
    """240 W for the 8766 hours of a year at 0.30 a kilowatt-hour: 631.15, a sum done here."""
    assert cost_of_a_year(240.0, 0.30) == pytest.approx(0.240 * 8766 * 0.30)


def test_no_power_no_cost(scene):
    (choice,) = try_pumps(scene, "loop pump", (replace(FLAT, power=None),))
    assert choice.cost is None


def test_no_price_no_cost(scene):
    (dear,), (free,) = (try_pumps(one, "loop pump", (FLAT,)) for one in (scene, replace(scene, site=Site())))
    assert free.cost is None
    assert dear.cost == pytest.approx(0.110 * 8766 * 0.30)


def test_a_place_that_no_pump_has(scene):
    with pytest.raises(InputError, match=r'no pump is called "return pump". Write one of loop pump'):
        try_pumps(scene, "return pump", (FLAT,))
