"""Pumps at rest, all of them or some: what stands still, and what runs back."""

from dataclasses import replace
from itertools import pairwise

import pytest

from flowviz.plumbing.grade import losses
from flowviz.plumbing.laws import PumpLaw
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import State

HOUR = 1 / 3600


def two_pumps(scene, **fittings):
    """A second pump like the first beside it, between the same intake and the same tee."""
    second = replace(scene.pumps[0], name="second")
    pipes = (
        *scene.pipes,
        replace(scene.pipes[0], end="second"),
        replace(scene.pipes[1], start="second", fittings=fittings),
    )
    return replace(scene, pumps=(*scene.pumps, second), pipes=pipes, junctions=())


def test_with_its_only_pump_at_rest_a_loop_stands_still(scene):
    """Under one surface nothing drives the water: an answer, not an error."""
    loop = solve_loop(scene, State(speeds={"loop pump": 0.0}))
    assert set(loop.rates.values()) == {0.0}
    assert {outlet.share for outlet in loop.outlets.values()} == {0.0}
    assert losses(loop) == ()
    assert {pipe.flow for pipe in loop.pipes} == {0.0}
    assert set(loop.nodes.values()) == {0.0}
    duty = loop.pumps["loop pump"]
    assert (duty.speed_share, duty.flow, duty.head, duty.power, duty.npsh_margin) == (0.0, 0.0, 0.0, 0.0, None)


def test_a_speed_of_the_state_counts_as_one_of_the_scene(scene):
    slow = replace(scene, pumps=(replace(scene.pumps[0], speed=0.6),))
    assert solve_loop(scene, State(speeds={"loop pump": 0.6})) == solve_loop(slow)


def test_a_resting_pump_behind_a_check_valve_passes_nothing(scene):
    both = two_pumps(scene, **{"check valve": 1})
    loop = solve_loop(both, State(speeds={"second": 0.0}))
    assert (loop.pumps["second"].flow, loop.pipes[4].flow, loop.pipes[5].flow) == (0.0, 0.0, 0.0)
    alone = solve_loop(replace(scene, junctions=()))
    assert loop.rates == pytest.approx(alone.rates, rel=1e-8)  # the solver's


def test_through_a_resting_pump_without_one_water_runs_back(scene):
    both = two_pumps(scene)
    loop = solve_loop(both, State(speeds={"second": 0.0}))
    assert loop.pumps["second"].flow < 0
    assert loop.total < solve_loop(replace(scene, junctions=())).total
    assert any(caution.what == "water runs backwards through it" for caution in loop.cautions)


def test_a_loop_of_its_own_stands_still_beside_one_that_runs(scene):
    """The second pump with an intake and an outlet of its own, and nothing in common with the first but the tank."""
    own = (
        replace(scene.pipes[0], start="own intake", end="second"),
        replace(scene.pipes[1], start="second", end="own outlet"),
    )
    apart = replace(
        scene,
        pumps=(*scene.pumps, replace(scene.pumps[0], name="second")),
        pipes=(*scene.pipes, *own),
        outlets=(*scene.outlets, replace(scene.outlets[0], name="own outlet", centre=(0.0, 0.5, 0.45))),
        intakes=(*scene.intakes, replace(scene.intakes[0], name="own intake", centre=(0.0, 0.6, 0.12))),
    )
    loop = solve_loop(apart, State(speeds={"second": 0.0}))
    assert (loop.rates["own outlet"], loop.rates["own intake"], loop.pumps["second"].flow) == (0.0, 0.0, 0.0)
    assert loop.rates["left high"] == pytest.approx(solve_loop(scene).rates["left high"], rel=1e-8)  # the solver's


def test_at_rest_the_affinity_laws_leave_the_passage():
    """H = 8 - 0.5 Q² (m, L/s) printed at both ends: 0.5 m at 1 L/s either way, and no jump on the way to rest."""
    curve = ((0.0, 8.0), (4e-3, 0.0))
    rest, nearly = PumpLaw(curve, 0.0), PumpLaw(curve, 1e-6)
    for flow in (-1e-3, 1e-3):
        assert rest.loss(flow)[0] == pytest.approx(0.5 if flow > 0 else -0.5)
        assert rest.loss(flow)[1] == pytest.approx(1000.0)
        assert nearly.loss(flow)[0] == pytest.approx(rest.loss(flow)[0], rel=1e-4)  # of the speed that is left


@pytest.mark.parametrize("speed", [0.0, 0.4, 1.0])
def test_a_pump_gives_the_less_head_the_more_water_goes_through(speed):
    law = PumpLaw(((0.0, 6.5), (6 * HOUR, 5.6), (12 * HOUR, 3.4), (16 * HOUR, 1.2)), speed)
    flows = [(i - 60) * 1e-4 for i in range(140)]
    heads = [law.head(flow)[0] for flow in flows]
    assert all(before >= after for before, after in pairwise(heads))
