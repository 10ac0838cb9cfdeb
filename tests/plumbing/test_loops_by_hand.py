"""Loops of which one line by hand tells what they do, or that nothing moves."""

from dataclasses import dataclass, replace
from math import pi

import numpy as np
import pytest

from flowviz.formulas.pipes import LAMINAR_END, reynolds_number
from flowviz.plumbing.choice import try_pumps
from flowviz.plumbing.graph import TANK, Link, Network
from flowviz.plumbing.laws import PipeLaw, PumpLaw, Quadratic
from flowviz.plumbing.network import network
from flowviz.plumbing.newton import balance
from flowviz.plumbing.rest import resting
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.model import Junction, Water

GRAVITY = 9.80665


def test_what_is_shut_and_what_leads_nowhere_rests(scene, build):
    """A shut valve before an outlet, and a dead leg behind it: the rest runs as if neither were there."""
    plain = (build.pipe("i A"), build.pipe("A D"), build.pipe("D o1"))
    beyond = (
        build.pipe("D L", fittings={"ball valve": 1}, valves=build.shut),
        build.pipe("L o2"),
        build.pipe("L M"),
        build.pipe("M L", 0.02),
    )
    loop = solve_loop(build.parts((build.strong,), plain + beyond).put_into(scene))
    assert [each.flow for each in loop.pipes[3:]] == [0.0] * 4
    assert loop.rates["o2"] == 0.0
    alone = solve_loop(build.parts((build.strong,), plain).put_into(scene))
    assert loop.rates["o1"] == pytest.approx(alone.rates["o1"], rel=1e-8)  # the solver's


def test_a_ring_rests_where_both_ways_are_alike(scene, build):
    """Of the flow of either side, by symmetry."""
    loop = solve_loop(build.loops["a ring whose far side rests by symmetry"].put_into(scene))
    assert loop.rates["o1"] == pytest.approx(loop.rates["o2"], rel=1e-12)
    assert abs(loop.pipes[4].flow) <= 1e-9 * loop.rates["o1"]


def test_a_thin_hose_runs_as_poiseuille_has_it(scene, build):
    """Q = π g H D⁴/(128 ν L), H the pump's against a shut valve; what its curve falls by is 1e-5."""
    loop = solve_loop(build.loops["a hose of 3 mm and 200 m"].put_into(scene))
    law = network(build.loops["a hose of 3 mm and 200 m"].put_into(scene)).pipes[1]
    by_hand = pi * GRAVITY * 6.5 * 0.003**4 / (128 * law.viscosity * 200.0)
    assert loop.rates["o"] == pytest.approx(by_hand, rel=1e-4)


def test_in_very_wide_pipes_only_the_openings_cost(scene, build):
    """Entrance 0.5 and widening (1 - a)² on 63 mm, narrowing 0.5 (1 - a) and exit 1 on 32 mm: the head by hand."""
    loop = solve_loop(build.loops["pipes of two metres across"].put_into(scene))
    duty = loop.pumps["A"]
    intake, outlet = ((duty.flow / (pi / 4 * bore**2)) ** 2 / (2 * GRAVITY) for bore in (0.063, 0.032))
    entrance = (0.5 + (1 - (0.063 / 2) ** 2) ** 2) * intake
    leaving = (0.5 * (1 - (0.032 / 2) ** 2) + 1) * outlet
    assert duty.head == pytest.approx(entrance + leaving, rel=1e-5)  # of the friction that is left


def test_cold_salt_water_runs_thicker(scene, build):
    """Laminar flow goes with 1/ν: 1.828 mm²/s of sea water at 0 °C, 0.801 of fresh water at 30 °C, 2.28 times.

    E. C. Tupper, Introduction to Naval Architecture, table 5.1.
    """
    hose, waters = build.loops["a hose of 3 mm and 200 m"], (Water(0.0, 35.0), Water(30.0, 0.0))
    cold, hot = (solve_loop(replace(hose, water=water).put_into(scene)).rates["o"] for water in waters)
    assert hot / cold == pytest.approx(1.828 / 0.801, rel=0.015)  # Sharqawy's accuracy


@pytest.mark.parametrize(("bores", "run"), [((0.01, 0.052, 0.052), ("A", "o2")), ((0.013, 0.052, 0.078), ("A", "o1"))])
def test_a_check_valve_beside_a_tee_finds_its_place(scene, build, bores, run):
    """A narrow pipe that blows through a tee into wide ones, one of them with a check valve: it opened and shut for
    ever, since inertia that counts what is shut lets nothing move. Water and power balance is all that is asked.
    """
    supply, free, checked = bores
    pipes = (
        build.pipe("i A", 0.052),
        build.pipe("A t", supply, 0.3),
        build.pipe("t o1", free),
        build.pipe("t o2", checked, fittings=build.checked),
    )
    loop = solve_loop(build.parts((build.strong,), pipes, (Junction("t", "tee", run),)).put_into(scene))
    taken = sum(each.flow * each.loss for each in loop.pipes)
    taken += sum(
        abs(each.flow) * sum(each.losses.values()) for each in (*loop.outlets.values(), *loop.intakes.values())
    )
    assert taken == pytest.approx(loop.pumps["A"].flow * loop.pumps["A"].head, rel=1e-9)


def test_a_pump_that_drives_a_bypass_alone_draws_nothing(scene, build):
    """The way out is shut: water goes round, none comes or goes, not even the smallness of a sum."""
    ways = (
        build.pipe("i S"),
        build.pipe("S A"),
        build.pipe("A D"),
        build.pipe("D S"),
        build.pipe("D o", fittings={"ball valve": 1}, valves=build.shut),
    )
    loop = solve_loop(build.parts((build.strong,), ways).put_into(scene))
    assert loop.rates == {"o": 0.0, "i": 0.0}
    assert loop.pipes[0].flow == 0.0
    assert loop.pumps["A"].flow == pytest.approx(loop.pipes[3].flow)
    assert loop.pipes[3].flow > 0


def test_what_can_neither_come_nor_go_rests_whatever_a_balance_leaves_there(scene, build):
    """The same loop, and beside it one that runs, with a millionth of the flow left where none can be: the way in, what
    is shut, what a check valve shuts, and their openings rest; the bypass and all of the other loop do not.
    """
    ways = ("i S", "S A", "A D", "D S", "i2 B", "B o2")
    shut = build.pipe("D o", fittings={"ball valve": 1}, valves=build.shut)
    pipes = (*map(build.pipe, ways), shut, build.pipe("D o3", fittings=build.checked))
    pumps = (build.strong, replace(build.strong, name="B"))
    layout = network(build.parts(pumps, pipes).put_into(scene))
    left = [1e-9, 1e-3, 1e-3, 1e-3, 2e-3, 2e-3, 1e-9, -1e-9, 1e-3, 2e-3]
    mouths = [2e-3 if name in ("i2", "o2") else 1e-9 for name in layout.mouths]
    still = resting(layout.network, left + mouths)
    openings = [layout.opening_link(place) for place, name in enumerate(layout.mouths) if name in ("i", "o", "o3")]
    assert still == {0, 6, 7, *openings}


def test_a_pump_whose_two_sides_meet_at_one_place_drives_nothing_else(scene, build):
    """Round and round from a junction to itself; and what tries a pump on such a loop divides by nothing."""
    looped = build.parts(
        (build.strong,), (build.pipe("i T"), build.pipe("T A"), build.pipe("A T"), build.pipe("T o"))
    ).put_into(scene)
    loop = solve_loop(looped)
    assert loop.rates == {"o": 0.0, "i": 0.0}
    assert loop.pumps["A"].flow > 0
    (choice,) = try_pumps(looped, "A", [build.strong])
    assert choice.rates == {"o": 0.0, "i": 0.0}
    assert (choice.kept_fouled, choice.kept_throttled) == (0.0, 0.0)


def test_laminar_flow_in_a_loop_is_poiseuilles():
    """Hagen-Poiseuille: a pump of 1 mm of head on 10 m of 5 mm pipe; Q = π g H D⁴/(128 ν L), a sum done here."""
    pipe = PipeLaw(0.005, 10.0, 0.0, 1e-6, 0.0, 0.0)
    pump = PumpLaw(((0.0, 1e-3), (1e3, 0.0)), 1.0)
    network = Network(("tank", "behind"), (Link("pump", TANK, 1, pump), Link("pipe", 1, TANK, pipe)))
    flow = balance(network, np.array([1e-6, 1e-6])).flows[1]
    assert flow == pytest.approx(pi * GRAVITY * 1e-3 * 0.005**4 / (128 * 1e-6 * 10.0), rel=1e-6)  # the pump's own slope
    assert reynolds_number(flow, 0.005, 1e-6) < LAMINAR_END


@pytest.mark.parametrize(
    ("arrangement", "flow", "head"),
    [("one", 3.0551, 5.6667), ("parallel", 3.5277, 7.2222), ("series", 3.8730, 8.5000)],
)
def test_pumps_alone_side_by_side_and_in_a_row(arrangement, flow, head):
    """Pump H = 8 - 0.25 Q² on system H = 1 + 0.5 Q² (m, L/s); by hand: Q = √(7/0.75), √(7/0.5625), √(15), to 1e-4.

    The curve between 41 printed points is a cubic, which a parabola's is to 1e-4.
    """
    points = tuple((i * 1.4e-4, 8 - 0.25 * (0.14 * i) ** 2) for i in range(41))
    pump, lift = PumpLaw(points, 1.0), Quadratic(0.5e6, 0.5e6)
    rise = Lift(1.0)
    ways = {
        "one": (("tank", "behind", "before"), [(TANK, 1)]),
        "parallel": (("tank", "behind", "before"), [(TANK, 1), (TANK, 1)]),
        "series": (("tank", "behind", "before", "middle"), [(TANK, 3), (3, 1)]),
    }
    nodes, ends = ways[arrangement]
    links = [Link("pump", start, end, pump) for start, end in ends]
    links += [Link("system", 1, 2, lift), Link("lift", 2, TANK, rise)]
    state = balance(Network(nodes, tuple(links)), np.full(len(links), 2e-3))
    assert state.flows[-1] == pytest.approx(flow * 1e-3, rel=1e-4)
    assert state.heads[1] == pytest.approx(head, rel=1e-4)


@dataclass(frozen=True)
class Lift:
    """A constant head against the flow: water that is raised."""

    head: float

    def loss(self, flow):
        return self.head, 0.0
