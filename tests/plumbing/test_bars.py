"""Nozzles, spray bars and rounded edges, in a network and in a scene."""

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest

from flowviz.errors import ConvergenceError
from flowviz.plumbing.bars import SprayBar
from flowviz.plumbing.graph import TANK, Link, Network
from flowviz.plumbing.laws import PipeLaw, PumpLaw
from flowviz.plumbing.mouths import nozzle
from flowviz.plumbing.newton import balance
from flowviz.plumbing.parts import parts
from flowviz.plumbing.phases import phase_cautions, solve_phase
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import State
from flowviz.scene.apertures import Slot
from flowviz.scene.model import Bar, Phase
from flowviz.units import percent

BAR = SprayBar(0.0261, 1.0, 20, 0.0041, 1e-6)


def test_nozzle_by_its_definition():
    """Q = C a √(2 g H), a sum done here."""
    flow = 0.97 * pi / 4 * 0.02**2 * sqrt(2 * 9.80665 * 1.5)
    assert nozzle(pi / 4 * 0.02**2, 0.97).law().loss(flow)[0] == pytest.approx(1.5)


def test_holes_share_the_flow():
    assert sum(BAR.flows(5e-4)) == pytest.approx(5e-4, rel=1e-12)
    assert 0.9 < min(BAR.flows(5e-4)) / max(BAR.flows(5e-4)) < 1.0


@pytest.mark.parametrize("flow", [1e-8, 1e-6, 1e-4, 1e-3])
@pytest.mark.parametrize("hole", [0.001, 0.004, 0.008, 0.012])
def test_holes_of_any_size_share_any_flow(hole, flow):
    """From a fortieth of the bar's area to four times as much, and from water that creeps to 2 m/s; rounding only."""
    bar = SprayBar(0.0261, 1.0, 18, hole, 1e-6)
    assert sum(bar.flows(flow)) == pytest.approx(flow, rel=1e-12)


def test_a_single_hole_lets_through_what_is_printed(published):
    """N.J.A.C. 7:9A-9.7, thirty holes in pipe walls, here of a wide pipe; flows within 1.1 %, so heads within 2.3 %."""
    for row in published("drilled_holes.csv"):
        bar = SprayBar(0.1, 0.01, 1, float(row["hole"]) * 0.0254, 1e-6)
        head = bar.loss(float(row["discharge"]) * 6.30901964e-5)[0]
        assert head == pytest.approx(float(row["head"]) * 0.3048, rel=0.023)


@pytest.mark.parametrize("share", [1.0, 0.5, 0.01])
def test_water_that_creeps_leaves_as_it_does_at_a_fifth_of_a_metre_a_second(share):
    """In a bar of 26.1 mm that is a flow of 0.2 π d²/4; less of it needs the square of the head, and shares out alike.
    Just above it the head goes otherwise, by its friction.
    """
    least = 0.2 * pi / 4 * 0.0261**2
    assert BAR.loss(share * least)[0] == pytest.approx(share**2 * BAR.loss(least)[0], rel=1e-9)
    assert BAR.flows(share * least) == pytest.approx([share * flow for flow in BAR.flows(least)], rel=1e-9)
    long = replace(BAR, length=10.0)
    assert abs(long.loss(1.05 * least)[0] / long.loss(least)[0] / 1.05**2 - 1) > 1e-3


def test_no_water_needs_no_head():
    assert BAR.loss(0.0) == (0.0, 0.0)


@pytest.mark.parametrize(("holes", "hole", "length"), [(60, 0.00179, 2.15), (20, 0.0044, 1.75), (60, 0.0046, 0.28)])
def test_a_thin_bar_whose_far_holes_get_next_to_nothing_is_reckoned(holes, hole, length):
    """8 mm wide, its holes 3, 6 and 20 times its area together: they share the flow, falling towards the end."""
    bar = SprayBar(0.008, length, holes, hole, 1e-6)
    for speed in (0.2, 1.0, 10.0):
        flow = speed * pi / 4 * 0.008**2
        flows = bar.flows(flow)
        assert sum(flows) == pytest.approx(flow, rel=1e-12)  # rounding
        assert min(flows) < flow / holes < max(flows)


@pytest.mark.parametrize("length", [8.0, 20.0])
def test_a_bar_that_is_all_holes_is_refused(length):
    """Ten times its own area of them on many metres: what leaves the far ones is nothing that can be found."""
    with pytest.raises(ConvergenceError, match="Describe a wider bar"):
        SprayBar(0.02, length, 60, 0.008, 1e-6).flows(1e-8)


@pytest.mark.parametrize("flow", [1e-5, 1e-4, 5e-4, -5e-4])
def test_slope_is_the_derivative(flow):
    """Against a central difference ten times as wide."""
    step = 1e-5 * flow
    difference = (BAR.loss(flow + step)[0] - BAR.loss(flow - step)[0]) / (2 * step)
    assert BAR.loss(flow)[1] == pytest.approx(difference, rel=1e-4)


def test_bar_and_nozzle_on_one_pump():
    """A pump feeds a bar and a nozzle: heads at their inlets agree with their laws, the flows add up."""
    pipe = PipeLaw(0.03, 2.0, 1.5e-6, 1e-6, 2.0, 2.0)
    pump = PumpLaw(((0.0, 5.0), (1e-3, 3.0), (2e-3, 0.0)), 1.0)
    jet = nozzle(pi / 4 * 0.01**2, 0.97).law()
    links = (
        Link("pump", TANK, 1, pump),
        Link("to bar", 1, 2, pipe),
        Link("bar", 2, TANK, BAR),
        Link("nozzle", 1, TANK, jet),
    )
    state = balance(Network(("tank", "behind", "bar"), links), np.full(4, 5e-4))
    assert state.flows[0] == pytest.approx(state.flows[2] + state.flows[3], rel=1e-12)
    assert state.heads[2] == pytest.approx(BAR.loss(state.flows[2])[0], rel=1e-9)
    assert state.heads[1] == pytest.approx(jet.loss(state.flows[3])[0], rel=1e-9)


def with_outlet(scene, **changes):
    return replace(scene, outlets=(replace(scene.outlets[0], **changes), scene.outlets[1]))


def test_a_bar_in_a_scene_is_lost_head_like_any_other_part(scene):
    """Power of the pump against that of all losses told; rounding only."""
    barred = with_outlet(scene, bar=Bar(0.6, 0.026, 24, 0.006), aperture=Slot(0.6, 0.0007))
    loop = solve_loop(barred)
    figures, duty = loop.outlets["left high"], loop.pumps["loop pump"]
    assert set(figures.losses) == {"spray bar"}
    assert sum(figures.hole_flows) == pytest.approx(figures.flow, rel=1e-9)
    assert figures.evenness == pytest.approx(min(figures.hole_flows) / max(figures.hole_flows))
    lost = sum(pipe.flow * pipe.loss for pipe in loop.pipes)
    lost += sum(each.flow * sum(each.losses.values()) for each in (*loop.outlets.values(), *loop.intakes.values()))
    assert lost == pytest.approx(duty.flow * duty.head, rel=1e-9)


def test_an_uneven_bar_is_told(scene):
    """24 holes of 6 mm have 1.28 times the area of a bar of 26 mm; a bar of 40 mm has twice that of its holes."""
    narrow, wide = (with_outlet(scene, bar=Bar(0.6, inside, 24, 0.006)) for inside in (0.026, 0.040))
    told = [caution.what for caution in solve_loop(narrow).cautions if caution.where == "outlet left high"]
    assert any("the weakest hole of its bar gets" in what for what in told)
    assert not any("weakest hole" in caution.what for caution in solve_loop(wide).cautions)


@pytest.mark.parametrize(
    ("speeds", "when", "at_worst"),
    [
        ({"flood": 1.0, "rest": 0.0}, ", phase flood", ""),
        ({"flood": 1.0, "rest": 0.0, "ebb": 0.5}, ", phases flood, ebb", "at worst "),
        ({"flood": 1.0, "ebb": 0.5}, "", "at worst "),
        ({"flood": 1.0}, "", ""),
    ],
)
def test_an_uneven_bar_is_told_with_the_phases_in_which_it_blows(scene, speeds, when, at_worst):
    """The narrow one of above, at the flows of each phase; told is its least even one."""
    phases = tuple(Phase(name, 600.0, {"loop pump": speed}, {}) for name, speed in speeds.items())
    cycled = replace(with_outlet(scene, bar=Bar(0.6, 0.026, 24, 0.006)), phases=phases)
    loops = {each.name: solve_phase(cycled, each) for each in phases}
    (told,) = [each for each in phase_cautions(cycled, loops) if "weakest hole" in each.what]
    least = min(loop.outlets["left high"].evenness for loop in loops.values() if loop.total)
    assert told.where == f"outlet left high{when}"
    assert told.what == f"{at_worst}the weakest hole of its bar gets {percent(least)} of what the strongest gets"


def test_a_nozzle_in_a_scene_takes_its_head(scene):
    """(V/C)²/2g on the speed in its throat, a sum done here."""
    loop = solve_loop(with_outlet(scene, nozzle=0.82))
    figures = loop.outlets["left high"]
    assert figures.losses == pytest.approx({"nozzle": (figures.speed / 0.82) ** 2 / (2 * 9.80665)})


def test_a_rounded_edge_draws_in_more_easily(scene):
    """Crane's table: 0.5 sharp, 0.24 at a rounding of 4 % of the bore, 0.04 from 15 % on; between them 0.195."""
    for rounding, loss in ((0.0, 0.5), (0.04, 0.24), (0.05, 0.195), (0.2, 0.04)):
        (intake,) = scene.intakes
        loop = solve_loop(replace(scene, intakes=(replace(intake, edge=rounding * 0.063),)))
        figures = loop.intakes["left low"]
        speed = figures.flow / (pi / 4 * 0.063**2)
        assert figures.losses["entrance"] == pytest.approx(loss * speed**2 / (2 * 9.80665))


def test_bar_and_nozzle_are_bought(scene):
    listed = {(part.part, part.size) for part in parts(with_outlet(scene, bar=Bar(0.6, 0.026, 24, 0.006)))}
    assert ("spray bar", "600 mm x 26 mm, 24 holes of 6 mm") in listed
    assert ("nozzle", "32 mm") in {(part.part, part.size) for part in parts(with_outlet(scene, nozzle=0.97))}


def test_a_valve_of_the_scene_counts_as_one_of_the_state(scene):
    """And gives way to it."""
    first = replace(scene.pipes[0], valves={"union ball valve": 0.6})
    throttled = replace(scene, pipes=(first, *scene.pipes[1:]))
    assert solve_loop(throttled) == solve_loop(scene, State(valves={0: {"union ball valve": 0.6}}))
    assert solve_loop(throttled, State(valves={0: {"union ball valve": 1.0}})) == solve_loop(scene)
