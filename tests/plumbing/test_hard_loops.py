"""Loops that a solver stumbles over, solved again by another road.

That is scipy's root of the whole set of equations, one for each link and one for each node but the tank, with losses
and curves coded apart from flowviz: Colebrook by bracketing, pumps by scipy's own monotone cubic. It starts a fifth off
the answer and knows nothing of tees, which are checked in a loop of their own.
"""

from math import log, log10, pi

import numpy as np
import pytest
from fluids.fittings import K_branch_converging_Crane, K_run_converging_Crane, K_run_diverging_Crane
from scipy.interpolate import CubicHermiteSpline, PchipInterpolator
from scipy.optimize import brentq, root

from flowviz.plumbing.grade import grade_lines, losses
from flowviz.plumbing.laws import OneWay, PumpLaw, Quadratic
from flowviz.plumbing.network import network
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.model import Junction

GRAVITY = 9.80665


def colebrook(reynolds: float, rough: float) -> float:
    """Darcy factor; between Re 2000 and 4000 the cubic in the logarithms that meets both laws."""
    if reynolds <= 2000:
        return 64 / reynolds
    if reynolds >= 4000:
        return brentq(lambda x: x + 2 * log10(rough / 3.7 + 2.51 * x / reynolds), 0.5, 40, xtol=1e-14) ** -2
    above = [log(colebrook(4000 * (1 + step), rough)) for step in (0, 1e-6)]
    ends = [log(64 / 2000), above[0]], [-1.0, (above[1] - above[0]) / 1e-6]
    return float(np.exp(CubicHermiteSpline([log(2000), log(4000)], *ends)(log(reynolds))))


def pump_head(law: PumpLaw, flow: float) -> float:
    """Head given [m]; on outside the print, and less what its passages take where water is forced through."""
    at, between = flow / law.speed, PchipInterpolator(law.flows, law.heads)
    chord = (law.heads[-1] - law.heads[0]) / (law.flows[-1] - law.flows[0])
    end = law.flows[-1] if at > law.flows[0] else law.flows[0]
    bend = np.polyfit(law.flows[-3:], law.heads[-3:], 2)[0] if at > end and len(law.flows) > 2 else 0.0
    outside = float(between(end)) + (min(float(between.derivative()(end)), chord) + min(bend, 0) * (at - end)) * (
        at - end
    )
    head = float(between(at)) if law.flows[0] <= at <= law.flows[-1] else outside
    forced = min(flow, 0.0) + max(flow - law.open_flow, 0.0)
    return law.speed**2 * head - law.passage * forced * abs(forced)


def lost(law, flow: float) -> float:
    """Head lost [m] by a law of a link."""
    if isinstance(law, OneWay):
        return lost(law.law, flow) if flow >= 0 else 1e15 * flow
    if isinstance(law, PumpLaw):
        return -pump_head(law, flow)
    if isinstance(law, Quadratic):
        return (law.forward if flow >= 0 else law.backward) * flow * abs(flow)
    speed = flow / (pi / 4 * law.diameter**2)
    reynolds = max(abs(speed) * law.diameter / law.viscosity, 1e-9)
    wall = colebrook(reynolds, law.roughness / law.diameter) * law.length / law.diameter
    return (wall + (law.forward if flow >= 0 else law.backward)) * speed * abs(speed) / (2 * GRAVITY)


def flows_of(loop) -> np.ndarray:
    """Of all links [m³/s], in the order of their network."""
    return np.array([each.flow for each in (*loop.pipes, *loop.pumps.values())] + list(loop.rates.values()))


def gains(links, flows, nodes: int) -> np.ndarray:
    """What each node gets less what it gives."""
    start, end = np.array([(link.start, link.end) for link in links]).T
    return np.bincount(end, flows, nodes) - np.bincount(start, flows, nodes)


def test_water_and_power_balance(hard_loop):
    """Nothing is lost at a node, and pumps give what pipes and openings take; rounding only."""
    loop, net = solve_loop(hard_loop), network(hard_loop).network
    flows = flows_of(loop)
    assert np.abs(gains(net.links, flows, len(net.nodes))).max() <= 1e-12 * np.abs(flows).max()
    openings = [*loop.outlets.values(), *loop.intakes.values()]
    taken = sum(each.flow * each.loss for each in loop.pipes)
    taken += sum(abs(each.flow) * sum(each.losses.values()) for each in openings)
    assert taken == pytest.approx(sum(duty.flow * duty.head for duty in loop.pumps.values()), rel=1e-9)


def test_the_accounts_close(hard_loop):
    """Grade lines come back to the surface they left, past a bypass and backwards through pumps; shares sum to 1."""
    loop = solve_loop(hard_loop)
    lines = grade_lines(hard_loop, loop)
    assert {line.outlet for line in lines} == {name for name in loop.outlets if loop.rates[name] > 0}
    assert [line.stations[-1].head for line in lines] == pytest.approx([0.0] * len(lines), abs=1e-9)
    assert sum(loss.share for loss in losses(loop)) == pytest.approx(1.0, abs=1e-9)


def test_another_solver_finds_the_same(hard_loop):
    """Both stop at rounding; 1e-9 of the largest flow leaves room for either."""
    loop, net = solve_loop(hard_loop), network(hard_loop).network
    flows, heads = flows_of(loop), np.array([loop.nodes[name] for name in net.nodes[1:]])
    most, count = np.abs(flows).max(), len(flows)

    def equations(unknown):
        head = np.concatenate([[0.0], unknown[count:]])
        links = [
            lost(link.law, flow) - head[link.start] + head[link.end]
            for link, flow in zip(net.links, most * unknown[:count], strict=True)
        ]
        return np.concatenate([links, gains(net.links, unknown[:count], len(net.nodes))[1:]])

    start = np.concatenate([flows / most * np.random.default_rng(1).uniform(0.8, 1.2, count), heads])
    found = root(equations, start, options={"xtol": 1e-13, "maxfev": 20000})
    assert np.abs(equations(found.x)).max() < 1e-9
    assert found.x[:count] == pytest.approx(flows / most, abs=1e-9)


def combining_heads(shares, pipes):
    """Heads of run and branch over the combined leg, in its velocity heads, by the fluids library."""
    given = {"D_run": pipes[0], "D_branch": pipes[1], "Q_run": shares[0], "Q_branch": shares[1]}
    return K_run_converging_Crane(**given, angle=90), K_branch_converging_Crane(**given, angle=90)


def test_two_tees_by_hand(scene, build):
    """Two suctions combine before the pump, two outlets divide behind it; Crane's K by the fluids library, but for the
    dividing branch, 1 + 0.3 q², which the library has twice over. Solved for the two splits and the flow.
    """
    ways = "i1 S", "i2 S", "S A", "A D", "D o1", "D o2"
    lengths = 0.6, 2.4, 1.0, 1.0, 0.5, 3.0
    pipes = tuple(build.pipe(way, 0.05, length) for way, length in zip(ways, lengths, strict=True))
    tees = Junction("S", "tee", ("i1", "A")), Junction("D", "tee", ("A", "o1"))
    piped = build.parts((build.strong,), pipes, tees).put_into(scene)
    laws, dynamic = network(piped).pipes, (4 / pi / 0.05**2) ** 2 / (2 * GRAVITY)
    mouths = {name: mouth.law() for name, mouth in network(piped).mouths.items()}

    def equations(unknown):
        flow, drawn, blown = unknown[0] * 1e-3, unknown[1], unknown[2]
        head, pump = dynamic * flow**2, network(piped).pumps[0]
        run, branch = combining_heads((1 - drawn, drawn), (0.05, 0.05))
        through = K_run_diverging_Crane(D_run=0.05, D_branch=0.05, Q_run=1 - blown, Q_branch=blown, angle=90)
        suctions = [
            lost(laws[i], share * flow) - lost(mouths[f"i{i + 1}"], -share * flow) + k * head
            for i, share, k in ((0, 1 - drawn, run), (1, drawn, branch))
        ]
        outlets = [
            lost(laws[i + 3], share * flow) + lost(mouths[f"o{i}"], share * flow) + k * head
            for i, share, k in ((1, 1 - blown, through), (2, blown, 1 + 0.3 * blown**2))
        ]
        whole = suctions[0] + lost(laws[2], flow) + lost(laws[3], flow) + outlets[0] - pump_head(pump, flow)
        return [suctions[0] - suctions[1], outlets[0] - outlets[1], whole]

    flow, drawn, blown = root(equations, [3.5, 0.4, 0.4], options={"xtol": 1e-13}).x
    loop = solve_loop(piped)
    assert loop.pumps["A"].flow == pytest.approx(flow * 1e-3, rel=1e-8)
    assert -loop.rates["i2"] == pytest.approx(drawn * flow * 1e-3, rel=1e-8)
    assert loop.rates["o2"] == pytest.approx(blown * flow * 1e-3, rel=1e-8)
