"""Heat of the pumps: nothing of their power is lost in the account."""

from dataclasses import replace

import pytest

from flowviz.plumbing.heat import heating
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import State


def heated(scene):
    return heating(scene, solve_loop(scene))


def test_a_dry_motor_keeps_its_own_losses_out_of_the_water(scene):
    """240 W at 75 %: 180 W into the water, 60 W into the air."""
    heat = heated(scene).pumps["loop pump"]
    assert (heat.power, heat.into_water, heat.into_air) == pytest.approx((240.0, 180.0, 60.0))
    better = replace(scene, pumps=(replace(scene.pumps[0], heat_share=0.6),))
    assert heated(better).into_water == pytest.approx(144.0)


def test_rise_through_the_pump(scene):
    """180 W at the shaft less what the water takes up as head, into its flow: a sum done here."""
    duty = solve_loop(scene).pumps["loop pump"]
    expected = (180 - duty.water_power) / (1023.2 * 3999 * duty.flow)
    assert heated(scene).pumps["loop pump"].rise == pytest.approx(expected, rel=1e-3)  # of the water's properties


def test_a_pump_at_rest_warms_nothing(scene):
    """And no rise can be told of water that does not pass."""
    heat = heating(scene, solve_loop(scene, State(speeds={"loop pump": 0.0}))).pumps["loop pump"]
    assert (heat.power, heat.into_water, heat.rise) == (0.0, 0.0, 0.0)


def test_a_submerged_motor_warms_the_water_with_all_its_power(scene):
    wet = replace(scene, pumps=(replace(scene.pumps[0], mounting="submerged"),))
    assert heated(wet).into_water == pytest.approx(240.0)


def test_degrees_a_day(scene):
    """180 W for a day into 2.4 m x 0.76 m x 0.6 m of seawater, 1023.2 kg/m³ and 3999 J/(kg K): a sum done here."""
    joules = 1023.2 * 3999 * 2.4 * 0.76 * 0.6
    assert heated(scene).warming == pytest.approx(180 * 86400 / joules, rel=1e-3)  # of the properties of the water


def test_chiller_and_cost(scene):
    heat = heated(replace(scene, site=replace(scene.site, chiller=600.0)))
    assert heat.chiller_share == pytest.approx(0.3)
    assert heat.cost == pytest.approx(0.240 * 8766 * 0.30)
    assert heated(scene).chiller_share is None


def test_half_speed_takes_an_eighth_of_the_power(scene):
    """Affinity law, P ∝ n³."""
    slow = replace(scene, pumps=(replace(scene.pumps[0], speed=0.5),))
    assert heated(slow).pumps["loop pump"].power == pytest.approx(30.0)


def test_a_pump_of_unknown_power_is_named(scene):
    unknown = replace(scene, pumps=(replace(scene.pumps[0], power=None),))
    assert heated(unknown).unknown == ("loop pump",)
    assert heated(unknown).into_water == 0
