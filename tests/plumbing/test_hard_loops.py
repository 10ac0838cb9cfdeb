"""Loops that a solver stumbles over: solved again by another road, and by hand where that is a line.

The other road is scipy's root of the whole set of equations, one for each link and one for each node but the tank, with
losses and curves coded apart from flowviz: Colebrook by bracketing, pumps by scipy's own monotone cubic. It starts a
fifth off the answer and knows nothing of tees, which are checked in a loop of their own.
"""

from dataclasses import dataclass, field, replace
from math import log, log10, pi

import numpy as np
import pytest
from fluids.fittings import K_branch_converging_Crane, K_run_converging_Crane, K_run_diverging_Crane
from scipy.interpolate import CubicHermiteSpline, PchipInterpolator
from scipy.optimize import brentq, root

from flowviz.plumbing.choice import try_pumps
from flowviz.plumbing.grade import grade_lines, losses
from flowviz.plumbing.laws import OneWay, PumpLaw, Quadratic
from flowviz.plumbing.network import network
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.apertures import Bore
from flowviz.scene.model import Intake, Junction, Outlet, Pipe, Pump, Scene, Water

GRAVITY = 9.80665
HOUR = 1 / 3600
STRONG = Pump("A", ((0.0, 6.5), (6 * HOUR, 5.6), (12 * HOUR, 3.4), (16 * HOUR, 1.2)), None, None, "dry", 1.0)
WEAK = Pump("B", ((0.0, 3.0), (4 * HOUR, 2.2), (8 * HOUR, 0.3)), None, None, "dry", 1.0)
STEEP = Pump("C", ((0.0, 9.0), (3 * HOUR, 7.5), (6 * HOUR, 1.0)), None, None, "dry", 1.0)
CHECKED, SHUT = {"check valve": 1}, {"ball valve": 0.0}


def pipe(way: str, inside: float = 0.04, length: float = 1.0, fittings=None, valves=None) -> Pipe:
    """Of a way such as "pump tee"."""
    return Pipe(*way.split(), None, inside, length, 0.0, fittings or {}, 0.0, valves or {})


@dataclass(frozen=True)
class Parts:
    """Pumps and pipes; ends called o... are outlets of 32 mm, ends called i... intakes of 63 mm."""

    pumps: tuple[Pump, ...]
    pipes: tuple[Pipe, ...]
    junctions: tuple[Junction, ...] = ()
    water: Water = field(default_factory=lambda: Water(25.5, 35.0))

    def put_into(self, scene: Scene) -> Scene:
        """A tank with this loop."""
        ends = dict.fromkeys(end for each in self.pipes for end in (each.start, each.end))
        across = (1.0, 0.0, 0.0)
        outlets = tuple(
            Outlet(end, (0.0, 0.2, 0.45), across, across, Bore(0.032), "left", None, None)
            for end in ends
            if end[0] == "o"
        )
        intakes = tuple(
            Intake(end, (0.0, 0.3, 0.12), across, Bore(0.063), "left", None, None, None)
            for end in ends
            if end[0] == "i"
        )
        parts = {"pumps": self.pumps, "pipes": self.pipes, "junctions": self.junctions, "water": self.water}
        return replace(scene, outlets=outlets, intakes=intakes, **parts)


def lattice() -> Parts:
    """Sixty pipes: six by five places in squares, pumps at two corners, seven outlets."""
    rng = np.random.default_rng(5)
    ways = [f"n{i}{j} n{i + 1}{j}" for i in range(5) for j in range(5)]
    ways += [f"n{i}{j} n{i}{j + 1}" for i in range(6) for j in range(4)]
    pipes = [pipe(way, rng.uniform(0.01, 0.06), rng.uniform(0.2, 4)) for way in ways]
    pipes += [pipe("i1 A"), pipe("A n00"), pipe("i2 B"), pipe("B n54", fittings=CHECKED)]
    pipes += [pipe(way, 0.025) for way in ("n04 o0", "n14 o1", "n24 o2", "n34 o3", "n44 o4", "n30 o5", "n50 o6")]
    return Parts((STRONG, WEAK), tuple(pipes))


LOOPS = {
    "three unlike pumps side by side": Parts(
        (STRONG, WEAK, STEEP),
        (
            *(pipe(f"{a} {b}") for a, b in ("iS", "SA", "SB", "SC")),
            *(pipe(f"{a} D", fittings=CHECKED) for a in "ABC"),
            pipe("D o1"),
            pipe("D o2"),
        ),
    ),
    "the same without check valves, so that one runs backwards": Parts(
        (STRONG, WEAK, STEEP),
        (*(pipe(f"{a} {b}") for a, b in ("iS", "SA", "SB", "SC", "AD", "BD", "CD")), pipe("D o", 0.02)),
    ),
    "three unlike pumps in a row, the last forced beyond its curve": Parts(
        (STRONG, WEAK, STEEP), tuple(pipe(f"{a} {b}") for a, b in ("iA", "AB", "BC", "Co"))
    ),
    "a bypass round the pump, far wider than the way out": Parts(
        (STRONG,), (pipe("i S"), pipe("S A"), pipe("A D"), pipe("D S", 0.08), pipe("D o", 0.013))
    ),
    "a valve all but shut": Parts(
        (STRONG,),
        (pipe("i A"), pipe("A D"), pipe("D o1"), pipe("D o2", fittings={"ball valve": 1}, valves={"ball valve": 0.1})),
    ),
    "a ring whose far side rests by symmetry": Parts(
        (STRONG,), tuple(pipe(way) for way in ("i A", "A T", "T L", "T R", "L M", "M R", "L o1", "R o2"))
    ),
    "a hose of 3 mm and 200 m": Parts((STRONG,), (pipe("i A", 0.02), pipe("A o", 0.003, 200.0))),
    "pipes of two metres across": Parts((STRONG,), (pipe("i A", 2.0, 10.0), pipe("A o", 2.0, 10.0))),
    "a hose of 2 mm beside a pipe of 50 mm": Parts(
        (STRONG,), (pipe("i A", 2.0, 0.01), pipe("A D", 0.05), pipe("D o1"), pipe("D o2", 0.002, 100.0))
    ),
    "a pump run out to three times its printed curve": Parts(
        (Pump("D", ((0.0, 1.0), (2 * HOUR, 0.8)), None, None, "dry", 1.0),), (pipe("i D", 0.1), pipe("D o", 0.1))
    ),
    "water backwards through an idling pump": Parts(
        (STRONG, replace(WEAK, speed=1e-3)), tuple(pipe(f"{a} {b}") for a, b in ("iS", "SA", "SB", "AD", "BD", "Do"))
    ),
    "an outlet that draws": Parts((STRONG,), (pipe("i S", 0.015), pipe("S A"), pipe("A o1"), pipe("S o2"))),
    "an intake that blows": Parts((STRONG,), (pipe("i1 A"), pipe("A D"), pipe("D o", 0.01), pipe("i2 D"))),
    "delivery joined to the other pump's suction": Parts(
        (STRONG, WEAK), tuple(pipe(way) for way in ("i1 A", "A X", "X o1", "i2 Y", "Y B", "B o2", "X Y"))
    ),
    "sixty pipes": lattice(),
}
CROSSED = Parts((STRONG, WEAK), tuple(pipe(way) for way in ("i1 A", "A X", "X o1", "i2 B", "B Y", "Y o2", "X Y")))
LOOPS |= {
    "two loops joined, sea water of 2 °C": replace(CROSSED, water=Water(2.0, 35.0)),
    "two loops joined, fresh water of 40 °C": replace(CROSSED, water=Water(40.0, 0.0)),
}


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


@pytest.fixture(params=LOOPS, ids=str)
def loop_scene(request, scene):
    return LOOPS[request.param].put_into(scene)


def test_water_and_power_balance(loop_scene):
    """Nothing is lost at a node, and pumps give what pipes and openings take; rounding only."""
    loop, net = solve_loop(loop_scene), network(loop_scene).network
    flows = flows_of(loop)
    assert np.abs(gains(net.links, flows, len(net.nodes))).max() <= 1e-12 * np.abs(flows).max()
    openings = [*loop.outlets.values(), *loop.intakes.values()]
    taken = sum(each.flow * each.loss for each in loop.pipes)
    taken += sum(abs(each.flow) * sum(each.losses.values()) for each in openings)
    assert taken == pytest.approx(sum(duty.flow * duty.head for duty in loop.pumps.values()), rel=1e-9)


def test_the_accounts_close(loop_scene):
    """Grade lines come back to the surface they left, past a bypass and backwards through pumps; shares sum to 1."""
    loop = solve_loop(loop_scene)
    lines = grade_lines(loop_scene, loop)
    assert {line.outlet for line in lines} == {name for name in loop.outlets if loop.rates[name] > 0}
    assert [line.stations[-1].head for line in lines] == pytest.approx([0.0] * len(lines), abs=1e-9)
    assert sum(loss.share for loss in losses(loop)) == pytest.approx(1.0, abs=1e-9)


def test_another_solver_finds_the_same(loop_scene):
    """Both stop at rounding; 1e-9 of the largest flow leaves room for either."""
    loop, net = solve_loop(loop_scene), network(loop_scene).network
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


def test_what_is_shut_and_what_leads_nowhere_rests(scene):
    """A shut valve before an outlet, and a dead leg behind it: the rest runs as if neither were there."""
    plain = (pipe("i A"), pipe("A D"), pipe("D o1"))
    beyond = pipe("D L", fittings={"ball valve": 1}, valves=SHUT), pipe("L o2"), pipe("L M"), pipe("M L", 0.02)
    loop = solve_loop(Parts((STRONG,), plain + beyond).put_into(scene))
    assert [each.flow for each in loop.pipes[3:]] == [0.0] * 4
    assert loop.rates["o2"] == 0.0
    alone = solve_loop(Parts((STRONG,), plain).put_into(scene))
    assert loop.rates["o1"] == pytest.approx(alone.rates["o1"], rel=1e-8)  # the solver's


def test_a_ring_rests_where_both_ways_are_alike(scene):
    """Of the flow of either side, by symmetry."""
    loop = solve_loop(LOOPS["a ring whose far side rests by symmetry"].put_into(scene))
    assert loop.rates["o1"] == pytest.approx(loop.rates["o2"], rel=1e-12)
    assert abs(loop.pipes[4].flow) <= 1e-9 * loop.rates["o1"]


def test_a_thin_hose_runs_as_poiseuille_has_it(scene):
    """Q = π g H D⁴/(128 ν L), H the pump's against a shut valve; what its curve falls by is 1e-5."""
    loop = solve_loop(LOOPS["a hose of 3 mm and 200 m"].put_into(scene))
    law = network(LOOPS["a hose of 3 mm and 200 m"].put_into(scene)).pipes[1]
    by_hand = pi * GRAVITY * 6.5 * 0.003**4 / (128 * law.viscosity * 200.0)
    assert loop.rates["o"] == pytest.approx(by_hand, rel=1e-4)


def test_in_very_wide_pipes_only_the_openings_cost(scene):
    """Entrance 0.5 and widening (1 - a)² on 63 mm, narrowing 0.5 (1 - a) and exit 1 on 32 mm: the head by hand."""
    loop = solve_loop(LOOPS["pipes of two metres across"].put_into(scene))
    duty = loop.pumps["A"]
    intake, outlet = ((duty.flow / (pi / 4 * bore**2)) ** 2 / (2 * GRAVITY) for bore in (0.063, 0.032))
    entrance = (0.5 + (1 - (0.063 / 2) ** 2) ** 2) * intake
    leaving = (0.5 * (1 - (0.032 / 2) ** 2) + 1) * outlet
    assert duty.head == pytest.approx(entrance + leaving, rel=1e-5)  # of the friction that is left


def test_cold_salt_water_runs_thicker(scene):
    """Laminar flow goes with 1/ν: 1.828 mm²/s of sea water at 0 °C, 0.801 of fresh water at 30 °C, 2.28 times.

    E. C. Tupper, Introduction to Naval Architecture, table 5.1.
    """
    hose, waters = LOOPS["a hose of 3 mm and 200 m"], (Water(0.0, 35.0), Water(30.0, 0.0))
    cold, hot = (solve_loop(replace(hose, water=water).put_into(scene)).rates["o"] for water in waters)
    assert hot / cold == pytest.approx(1.828 / 0.801, rel=0.015)  # Sharqawy's accuracy


def combining_heads(shares, pipes):
    """Heads of run and branch over the combined leg, in its velocity heads, by the fluids library."""
    given = {"D_run": pipes[0], "D_branch": pipes[1], "Q_run": shares[0], "Q_branch": shares[1]}
    return K_run_converging_Crane(**given, angle=90), K_branch_converging_Crane(**given, angle=90)


def test_two_tees_by_hand(scene):
    """Two suctions combine before the pump, two outlets divide behind it; Crane's K by the fluids library, but for the
    dividing branch, 1 + 0.3 q², which the library has twice over. Solved for the two splits and the flow.
    """
    ways = "i1 S", "i2 S", "S A", "A D", "D o1", "D o2"
    lengths = 0.6, 2.4, 1.0, 1.0, 0.5, 3.0
    pipes = tuple(pipe(way, 0.05, length) for way, length in zip(ways, lengths, strict=True))
    tees = Junction("S", "tee", ("i1", "A")), Junction("D", "tee", ("A", "o1"))
    piped = Parts((STRONG,), pipes, tees).put_into(scene)
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


@pytest.mark.parametrize(("bores", "run"), [((0.01, 0.052, 0.052), ("A", "o2")), ((0.013, 0.052, 0.078), ("A", "o1"))])
def test_a_check_valve_beside_a_tee_finds_its_place(scene, bores, run):
    """A narrow pipe that blows through a tee into wide ones, one of them with a check valve: it opened and shut for
    ever, since inertia that counts what is shut lets nothing move. Water and power balance is all that is asked.
    """
    supply, free, checked = bores
    pipes = pipe("i A", 0.052), pipe("A t", supply, 0.3), pipe("t o1", free), pipe("t o2", checked, fittings=CHECKED)
    loop = solve_loop(Parts((STRONG,), pipes, (Junction("t", "tee", run),)).put_into(scene))
    taken = sum(each.flow * each.loss for each in loop.pipes)
    taken += sum(
        abs(each.flow) * sum(each.losses.values()) for each in (*loop.outlets.values(), *loop.intakes.values())
    )
    assert taken == pytest.approx(loop.pumps["A"].flow * loop.pumps["A"].head, rel=1e-9)


def test_a_pump_that_drives_a_bypass_alone_draws_nothing(scene):
    """The way out is shut: water goes round, none comes or goes, not even the smallness of a sum."""
    ways = pipe("i S"), pipe("S A"), pipe("A D"), pipe("D S"), pipe("D o", fittings={"ball valve": 1}, valves=SHUT)
    loop = solve_loop(Parts((STRONG,), ways).put_into(scene))
    assert loop.rates == {"o": 0.0, "i": 0.0}
    assert loop.pipes[0].flow == 0.0
    assert loop.pumps["A"].flow == pytest.approx(loop.pipes[3].flow)
    assert loop.pipes[3].flow > 0


def test_a_pump_whose_two_sides_meet_at_one_place_drives_nothing_else(scene):
    """Round and round from a junction to itself; and what tries a pump on such a loop divides by nothing."""
    looped = Parts((STRONG,), (pipe("i T"), pipe("T A"), pipe("A T"), pipe("T o"))).put_into(scene)
    loop = solve_loop(looped)
    assert loop.rates == {"o": 0.0, "i": 0.0}
    assert loop.pumps["A"].flow > 0
    (choice,) = try_pumps(looped, "A", [STRONG])
    assert choice.rates == {"o": 0.0, "i": 0.0}
