"""Pumps set on a loop: duty on both curves, cost, and what fouling and throttling leave."""

from dataclasses import replace
from math import log

import pytest

from flowviz.errors import InputError
from flowviz.plumbing.choice import cost_of_a_year, pump_curve, system_curve, try_pumps
from flowviz.plumbing.solve import solve_loop
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
