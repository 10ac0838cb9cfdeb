"""The whole floor on an invented loop: what must hold whatever the figures are."""

from dataclasses import replace

import pytest

from flowviz.errors import InputError
from flowviz.plumbing.solve import solve_loop


def test_as_much_enters_the_tank_as_leaves_it(scene):
    loop = solve_loop(scene)
    assert abs(sum(loop.rates.values())) <= 1e-9 * loop.total


def test_rates_are_positive_at_outlets_and_negative_at_intakes(scene):
    rates = solve_loop(scene).rates
    assert min(rates["left high"], rates["behind the arch"]) > 0 > rates["left low"]


def test_the_pump_works_on_its_printed_curve(scene):
    """Between the second and the third printed point its head must lie between theirs."""
    duty = solve_loop(scene).pumps["loop pump"]
    assert 12 / 3600 < duty.flow < 16 / 3600
    assert 1.2 < duty.head < 3.4


def test_fixed_flows_are_taken_as_they_are_and_one_takes_the_difference(scene):
    left, right = scene.outlets
    fixed = replace(scene, outlets=(replace(left, flow=1e-3), replace(right, flow=2e-3)), pipes=(), pumps=())
    assert solve_loop(fixed).rates == pytest.approx({"left high": 1e-3, "behind the arch": 2e-3, "left low": -3e-3})


def test_fixed_flows_that_do_not_add_up_are_refused(scene):
    left, right = scene.outlets
    (intake,) = scene.intakes
    fixed = replace(
        scene,
        outlets=(replace(left, flow=1e-3), replace(right, flow=2e-3)),
        intakes=(replace(intake, flow=2.9e-3),),
        pipes=(),
        pumps=(),
    )
    with pytest.raises(InputError, match=r"0.003 m³/s come into the tank and 0.0029 m³/s leave it"):
        solve_loop(fixed)
