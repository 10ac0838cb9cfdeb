"""Tees as the network sees them: any way of the water, no jump, the published value away from the seams."""

from dataclasses import replace
from math import cos, pi, sin

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from flowviz.formulas.pumps import GRAVITY
from flowviz.formulas.tees import combining_branch, combining_run, dividing_branch, dividing_run, meeting, splitting
from flowviz.plumbing.graph import TANK, Leg, Link, Network, Tee
from flowviz.plumbing.laws import PipeLaw, PumpLaw
from flowviz.plumbing.network import network
from flowviz.plumbing.newton import balance
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.tees import drop_slopes, drops, leg_heads

EQUAL = (1.0, 1.0, 1.0)
HEAD = 1 / (2 * GRAVITY)  # velocity head of a flow of 1 m³/s through 1 m²
angles = st.floats(0, 2 * pi)
bores = st.floats(0.5, 2.0)


@pytest.mark.parametrize(
    ("flows", "heads"),
    [
        ((1.0, -0.6, -0.4), (0.0, -dividing_run(0.4, 1.0), -dividing_branch(0.4, 1.0))),
        ((-1.0, 0.6, 0.4), (0.0, combining_run(0.4), combining_branch(0.4, 1.0))),
        ((-0.7, -0.3, 1.0), (-splitting(0.7, 1.0), -splitting(0.3, 1.0), 0.0)),
        ((0.7, 0.3, -1.0), (meeting(0.7, 1.0, 1.0), meeting(0.3, 1.0, 1.0), 0.0)),
    ],
)
def test_each_way_has_its_published_loss(flows, heads):
    """Heads over the leg with the combined flow, in velocity heads of that flow."""
    assert leg_heads(flows, EQUAL) == pytest.approx([HEAD * head for head in heads], abs=1e-15)


@pytest.mark.parametrize(
    ("flows", "areas", "leg", "head"),
    [
        ((1.0, -0.6, -0.4), (1.0, 1.0, 2.0), 2, -dividing_branch(0.4, 1.0)),
        ((-1.0, 0.6, 0.4), (1.0, 1.0, 2.0), 2, combining_branch(0.4, 1.0)),
        ((-0.7, -0.3, 1.0), (2.0, 2.0, 1.0), 0, -splitting(0.7, 1.0)),
        ((0.7, 0.3, -1.0), (2.0, 2.0, 1.0), 1, meeting(0.3, 1.0, 1.0)),
    ],
)
def test_a_leg_wider_than_the_combined_one_is_taken_as_wide(flows, areas, leg, head):
    """The published formulas end there."""
    assert leg_heads(flows, areas)[leg] == pytest.approx(HEAD * head)


def drawn(share):
    """By how much the heads of a dividing tee lie off the published ones, in velocity heads."""
    published = (0.0, -dividing_run(share, 1.0), -dividing_branch(share, 1.0))
    heads = leg_heads((1.0, share - 1.0, -share), EQUAL)
    return np.array(heads) / HEAD - published


def test_towards_a_leg_at_rest_heads_are_drawn_to_those_of_the_neighbouring_way():
    """Not at all from a tenth of the combined flow on; at rest by half of what the two formulas differ, the dividing
    branch 1 and the combining one 0.9, which gives head; halfway by half of that, for the way there is even.
    """
    assert drawn(0.1) == pytest.approx([0.0] * 3, abs=1e-12)
    at_rest = drawn(0.0)
    assert at_rest[2] == pytest.approx((combining_branch(0.0, 1.0) + dividing_branch(0.0, 1.0)) / 2)
    assert drawn(0.05) == pytest.approx(at_rest / 2, abs=1e-12)


@pytest.mark.parametrize("areas", [EQUAL, (1.0, 0.3, 0.3), (0.3, 1.0, 0.3)])
def test_heads_are_counted_from_the_leg_with_the_combined_flow(areas):
    """It has none over itself, near a leg at rest as well."""
    assert leg_heads((1.0, -0.98, -0.02), areas)[0] == pytest.approx(0.0, abs=1e-12)
    assert leg_heads((0.98, -1.0, 0.02), areas)[1] == pytest.approx(0.0, abs=1e-12)


@given(angles, bores, bores)
def test_no_jump_between_one_way_and_the_next(angle, second, branch):
    """Around the circle of all splits; what a step of 1e-6 may change is the steepest seam, some 1000 heads a
    radian.
    """
    areas = (1.0, second, branch)
    before = drops(cos(angle - 5e-7), sin(angle - 5e-7), areas)
    after = drops(cos(angle + 5e-7), sin(angle + 5e-7), areas)
    assert after == pytest.approx(before, abs=1e-3 * HEAD * max(1.0, 1 / min(areas) ** 4))


@given(angles, st.floats(1e-6, 1e3))
def test_losses_go_with_the_square_of_the_flow(angle, size):
    """A property of all the formulas; rounding only."""
    one, many = drops(cos(angle), sin(angle), EQUAL), drops(size * cos(angle), size * sin(angle), EQUAL)
    assert many == pytest.approx([size**2 * drop for drop in one], rel=1e-9, abs=1e-12 * size**2)


def test_slopes_are_derivatives_away_from_the_seams():
    """A dividing run in the middle of its range, M q² with M = 2 (2q - 1): K' by hand; central differences to 1e-6."""
    by_second, by_branch = drop_slopes(-0.7, -0.3, EQUAL, drops(-0.7, -0.3, EQUAL))
    run, side = 0.7 + 0.3, 0.3  # drop = (4 b³/Q - 2 b²)/2g with b the branch's and Q the whole flow
    assert by_second[0] == pytest.approx(4 * side**3 / run**2 / (2 * GRAVITY), rel=1e-5)
    assert by_branch[0] == pytest.approx(
        (4 * side**3 / run**2 - 12 * side**2 / run + 4 * side) / (2 * GRAVITY), rel=1e-5
    )


@given(angles, st.sampled_from([EQUAL, (1.0, 1.0, 0.3), (1.0, 0.5, 0.3)]))
def test_the_slope_with_the_larger_flow_is_a_derivative_too(angle, areas):
    """Against differences, away from the seams, where those to either side differ."""
    flows, step = (cos(angle), sin(angle)), 1e-5
    here = drops(*flows, areas)
    for leg, found in enumerate(drop_slopes(*flows, areas, here)):
        back, ahead = (
            drops(*(flow + way * (i == leg) for i, flow in enumerate(flows)), areas) for way in (-step, step)
        )
        before = [(b - a) / step for a, b in zip(back, here, strict=True)]
        behind = [(b - a) / step for a, b in zip(here, ahead, strict=True)]
        assume(before == pytest.approx(behind, abs=1e-3))
        assert found == pytest.approx(behind, abs=2e-3)  # half of the curvature that was let pass, and rounding


def test_a_small_pump_head_on_to_a_large_one_is_not_held_off_by_its_narrow_pipe():
    """Ends of 20 and 52 mm into a branch of 78 mm, a tenth of 2.15 L/s from the narrow one: what the jet of the wide
    end brings, 1.0 m/s, is some 5 cm of head, and not the 1.4 m of a formula for ends that are alike.
    """
    areas = [pi / 4 * bore**2 for bore in (0.020, 0.052, 0.078)]
    narrow, _, _ = leg_heads((0.215e-3, 1.935e-3, -2.15e-3), areas)
    assert 0 < narrow < 2 * (1.935e-3 / areas[1]) ** 2 / (2 * GRAVITY)


def test_no_flow_has_no_loss():
    assert drops(0.0, 0.0, EQUAL) == (0.0, 0.0)
    assert drop_slopes(0.0, 0.0, EQUAL, (0.0, 0.0)) == ((0.0, 0.0), (0.0, 0.0))


def pipe(rng: np.random.Generator) -> PipeLaw:
    loss = rng.uniform(0.5, 6)
    return PipeLaw(rng.uniform(0.025, 0.06), rng.uniform(0.5, 5), 1.5e-6, 0.93e-6, loss, loss)


def manifold(seed: int) -> Network:
    """Two pumps at the ends of a row of tees, each with an outlet on its branch, all of it drawn at random."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(2, 7))
    row = range(2, 2 + count)  # nodes: tank, delivery, tees, second delivery
    ends = [(i - 1, i) for i in (*row, 2 + count)]
    links = [Link(f"run {i}", *end, pipe(rng)) for i, end in enumerate(ends)]
    links += [Link(f"outlet {i}", i, TANK, pipe(rng)) for i in row]
    for node in (1, 2 + count):
        flow, head = rng.uniform(2e-3, 5e-3), rng.uniform(4, 9)
        links.append(Link("pump", TANK, node, PumpLaw(((0.0, head), (flow / 2, 0.7 * head), (flow, 0.0)), 1.0)))
    nodes = ("tank", *(f"node {i}" for i in range(1, 3 + count)))
    tees = []
    for place, node in enumerate(row):
        run = Leg(place, 1.0, links[place].law.area), Leg(place + 1, -1.0, links[place + 1].law.area)
        tees.append(Tee(nodes[node], run, Leg(count + 1 + place, -1.0, links[count + 1 + place].law.area)))
    return Network(nodes, tuple(links), tuple(tees))


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 2**32 - 1))
def test_rows_of_tees_balance(seed):
    """What the pumps give equals what pipes and tees take, and nothing is lost at a node; rounding only."""
    network = manifold(seed)
    state = balance(network, np.full(len(network.links), 1e-3))
    flows = state.flows.tolist()
    power = sum(flow * link.law.loss(flow)[0] for link, flow in zip(network.links, flows, strict=True))
    tees = sum(
        flow * head
        for tee in network.tees
        for flow, head in zip(tee.inflows(flows), leg_heads(tee.inflows(flows), tee.areas), strict=True)
    )
    pumped = sum(
        -flow * link.law.loss(flow)[0] for link, flow in zip(network.links, flows, strict=True) if link.name == "pump"
    )
    assert abs(power + tees) <= 1e-9 * pumped


@pytest.mark.parametrize("flow", [1.0, -1.0])
@pytest.mark.parametrize("areas", [(1.0, 0.3, 0.3), (0.3, 1.0, 0.3)])
def test_a_run_that_changes_its_bore_is_a_reducer_where_the_branch_rests(areas, flow):
    """On the velocity in the narrow leg, Crane's 0.5 (1 - a) into it and Borda's (1 - a)² out of it; 1 m³/s from the
    first leg to the second, and back. At a = 0.5 both would be the same.
    """
    narrows = (areas[0] > areas[1]) == (flow > 0)
    loss = 0.5 * (1 - 0.3) if narrows else (1 - 0.3) ** 2
    second, _ = drops(-flow, 0.0, areas)
    assert second == pytest.approx(flow * loss * (1 / 0.3) ** 2 * HEAD)


def test_a_reducer_that_is_described_is_counted_once(scene):
    """A tee of 2 in whose run goes on in 1 1/4 in: with the reducer written, the pipe has its loss and the tee is one
    of even bores; without, the tee has it. Both come to the same, but for what the split does to a tee's own loss.
    """
    pipes = list(scene.pipes)
    pipes[3] = replace(pipes[3], fittings={**pipes[3].fittings, "reducer from 2 in sch 40": 1})
    told, untold = solve_loop(replace(scene, pipes=tuple(pipes))), solve_loop(scene)
    assert told.rates["behind the arch"] == pytest.approx(untold.rates["behind the arch"], rel=2e-3)
    (tee,) = network(replace(scene, pipes=tuple(pipes))).network.tees
    assert [leg.area for leg in tee.run] == pytest.approx([pi / 4 * 0.0519938**2] * 2)
