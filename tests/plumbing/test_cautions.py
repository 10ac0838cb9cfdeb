"""The shares that cautions tell, against sums done here, and when they are told."""

import re
from dataclasses import replace
from math import pi

import pytest

from flowviz.formulas.water import kinematic_viscosity
from flowviz.plumbing.mouths import jet_reynolds
from flowviz.plumbing.phases import phase_cautions, solve_phase
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import State
from flowviz.scene.apertures import Slot
from flowviz.scene.model import Bar, Phase
from flowviz.units import shown

ROUNDED = 0.02  # of shares over a quarter, which are told in whole per cents


def the_one(loop, where, words):
    """The caution of a place that has some words in it."""
    (found,) = (caution for caution in loop.cautions if caution.where == where and words in caution.what)
    return found


def share(text):
    """The first percentage in a text [-]."""
    return float(re.search(r"([\d.]+) %", text)[1]) / 100


def with_pump(scene, **changes):
    return replace(scene, pumps=(replace(scene.pumps[0], **changes),))


def test_suction_head_over_what_is_required(scene):
    """Some 9.7 m of 12 m."""
    loop = solve_loop(with_pump(scene, npsh_required=12.0))
    told = the_one(loop, "pump loop pump", "its suction head is").what
    assert share(told) == pytest.approx(loop.pumps["loop pump"].npsh_available / 12, rel=ROUNDED)


def test_speed_in_slots_and_pipes_over_the_rules(scene):
    """0.1524 m/s for slots, 1.5 m/s before a pump."""
    loop = solve_loop(scene)
    slots = the_one(loop, "intake left low", "water passes its slots").what
    assert share(slots) == pytest.approx(loop.intakes["left low"].screen_speed / 0.1524, rel=ROUNDED)
    pipe = the_one(loop, 'pipe "left low" to "loop pump"', "highest usual speed").what
    assert share(pipe) == pytest.approx(loop.pipes[0].speed / 1.5, rel=ROUNDED)


def test_a_chiller_that_the_pumps_outdo(scene):
    """The pump of 240 W leaves 75 % of them, 180 W, in the water: 120 % of 150 W, and less than 200 W."""
    weak, strong = (replace(scene, site=replace(scene.site, chiller=power)) for power in (150.0, 200.0))
    assert share(the_one(solve_loop(weak), "chiller", "the pumps bring 180 W").what) == pytest.approx(1.2, rel=ROUNDED)
    assert not any(caution.where == "chiller" for caution in solve_loop(strong).cautions)


def test_a_pump_of_unknown_power_is_not_passed_over_where_the_chiller_is_judged(scene):
    """The pump of 240 W leaves 180 W in the water: 90 % of 200 W; beside it one turns whose power is not told."""
    twin = replace(scene.pumps[0], name="B", power=None)
    into, out = scene.pipes[:2]
    more = (replace(into, end="B"), replace(out, start="B"))
    both = replace(scene, pumps=(*scene.pumps, twin), pipes=(*scene.pipes, *more), junctions=())
    for power, why in ((200.0, "Write the power of every pump"), (150.0, "Light and the room come on top")):
        loop = solve_loop(replace(both, site=replace(scene.site, chiller=power)))
        told = the_one(loop, "chiller", "the pumps, without B, of unknown power, bring 180 W")
        assert told.why.startswith(why)


@pytest.mark.parametrize(("efficiency", "doubted"), [(0.9, False), (1.5, True), (3.0, True)])
def test_more_power_than_it_takes_is_doubted(scene, efficiency, doubted):
    taken = solve_loop(scene).pumps["loop pump"].water_power / efficiency
    told = [caution.what for caution in solve_loop(with_pump(scene, power=taken)).cautions]
    assert any("it gives the water" in what for what in told) == doubted


def test_where_the_power_of_a_starved_pump_goes(scene, with_pipe):
    """Into a hose of 12 mm before the tee: flow times head lost there, over that of the pump."""
    loop = solve_loop(with_pipe(scene, 1, size=None, inside=0.012))
    why, hose, duty = the_one(loop, "pump loop pump", "a trickle").why, loop.pipes[1], loop.pumps["loop pump"]
    assert share(why) == pytest.approx(hose.flow * hose.loss / (duty.flow * duty.head), rel=ROUNDED)


@pytest.mark.parametrize(("inside", "told"), [(0.012, 0), (0.020, 1), (0.030, 0)])
def test_a_pipe_that_takes_most_of_the_power_is_told(scene, with_pipe, inside, told):
    """A hose before the tee: with 20 mm over half, without starving the pump; with 12 mm it does, which is told of it.

    Flow times head lost there, over that of the pump.
    """
    loop = solve_loop(with_pipe(scene, 1, size=None, inside=inside))
    found = [caution for caution in loop.cautions if "of the power of loop pump goes into it" in caution.what]
    assert len(found) == told
    hose, duty = loop.pipes[1], loop.pumps["loop pump"]
    for caution in found:
        assert caution.where == 'pipe "loop pump" to "tee"'
        assert share(caution.what) == pytest.approx(hose.flow * hose.loss / (duty.flow * duty.head), rel=ROUNDED)


def test_no_pipe_is_told_where_the_pump_rests(scene):
    cautions = solve_loop(scene, State(speeds={"loop pump": 0.0})).cautions
    assert not any("goes into it" in caution.what for caution in cautions)


def two_loops(build, scene, first, second, *more):
    """Two pumps with an intake and an outlet each and no pipe in common but `more`; ways out of some diameters [m]."""
    way = build.pipe
    weak = replace(build.strong, name="B", curve=((0.0, 3.0), (4 / 3600, 2.2), (8 / 3600, 0.3)))
    own = (way("i1 A"), way("A T"), way("T o1", first), way("i2 B"), way("B U"), way("U o2", second))
    return solve_loop(build.parts((build.strong, weak), (*own, *more)).put_into(scene))


def spent(loop, *pumps):
    """Flow times head that pumps give, and that each pipe takes [m⁴/s]."""
    given = sum(loop.pumps[name].flow * loop.pumps[name].head for name in pumps)
    return given, {f'pipe "{pipe.start}" to "{pipe.end}"': pipe.flow * pipe.loss for pipe in loop.pipes}


def test_a_starved_pump_is_told_the_dearest_pipe_of_its_own_loop(scene, build):
    """The hose of 18 mm behind the strong pump takes more than the one of 8 mm that leaves the weak one a trickle."""
    loop = two_loops(build, scene, 0.018, 0.008)
    given, taken = spent(loop, "B")
    assert max(taken, key=taken.__getitem__) == 'pipe "T" to "o1"'
    why = the_one(loop, "pump B", "a trickle").why
    assert 'of the power goes into pipe "U" to "o2"' in why
    assert share(why) == pytest.approx(taken['pipe "U" to "o2"'] / given, rel=ROUNDED)
    told = the_one(loop, 'pipe "T" to "o1"', "of the power of A goes into it").what
    assert share(told) == pytest.approx(taken['pipe "T" to "o1"'] / spent(loop, "A")[0], rel=ROUNDED)


def test_a_pipe_that_takes_most_of_its_own_loops_power_is_told(scene, build):
    """A hose of 17 mm: over half of what the weak pump gives, and less than half of what both do."""
    loop = two_loops(build, scene, 0.04, 0.017)
    (own, taken), (both, _) = spent(loop, "B"), spent(loop, "A", "B")
    hose = taken['pipe "U" to "o2"']
    assert both / 2 > hose > own / 2
    told = the_one(loop, 'pipe "U" to "o2"', "of the power of B goes into it").what
    assert share(told) == pytest.approx(hose / own, rel=ROUNDED)


@pytest.mark.parametrize(("valves", "told"), [({}, False), ({"ball valve": 0.0}, True)])
def test_pumps_whose_pipes_are_joined_share_their_power(scene, build, valves, told):
    """The same hose with a pipe between the two ways out: one loop, unless the valve in that pipe is shut."""
    between = build.pipe("T U", 0.003, 5.0, {"ball valve": 1}, valves)
    loop = two_loops(build, scene, 0.04, 0.017, between)
    assert any("goes into it" in caution.what for caution in loop.cautions) == told


def test_what_takes_most_from_a_starved_outlet(scene, with_pipe):
    """A globe valve, over all that is lost in its pipe and opening."""
    loop = solve_loop(with_pipe(scene, 2, size="1/2 in sch 40", fittings={"globe valve": 1}))
    why, pipe = the_one(loop, "outlet left high", "all outlets were equally fast").why, loop.pipes[2]
    lost = pipe.loss + sum(loop.outlets["left high"].losses.values())
    assert share(why) == pytest.approx(pipe.fittings["globe valve"] / lost, rel=ROUNDED)


@pytest.mark.parametrize("speed", [1.0, 0.1, 0.003])
def test_a_jet_that_stays_smooth(scene, speed):
    """Told where 4 Q/(π d ν) is less than 1000, a bound of A. J. McNaughton & C. G. Sinclair (1966), from memory."""
    loop = solve_loop(scene, State(speeds={"loop pump": speed}))
    nu = kinematic_viscosity(scene.water.temperature, scene.water.salinity)
    slow = [
        f"outlet {outlet.name}"
        for outlet in scene.outlets
        if 4 * loop.rates[outlet.name] / (pi * outlet.aperture.diameter * nu) < 1000
    ]
    told = [caution for caution in loop.cautions if "stays smooth" in caution.what]
    assert [caution.where for caution in told] == slow
    assert all(re.search(r", Reynolds number \d+$", caution.what) for caution in told)
    assert bool(slow) == (speed < 0.05)


@pytest.mark.parametrize(
    ("speeds", "when", "at_most"),
    [
        ({"flood": 1.0, "ebb": 0.003}, ", phase ebb", ""),
        ({"flood": 1.0, "ebb": 0.002, "slack": 0.003}, ", phases ebb, slack", "at most "),
        ({"ebb": 0.002, "slack": 0.003}, "", "at most "),
        ({"flood": 1.0, "rest": 0.0}, None, ""),
    ],
)
def test_the_phases_in_which_a_jet_stays_smooth_are_named(scene, speeds, when, at_most):
    """At 0.2 and 0.3 % of full speed, as above; the flow that is told is that of the fastest of them, 0.3 %."""
    phases = tuple(Phase(name, 600.0, {"loop pump": speed}, {}) for name, speed in speeds.items())
    cycled = replace(scene, phases=phases)
    loops = {phase.name: solve_phase(cycled, phase) for phase in phases}
    told = {each.where: each.what for each in phase_cautions(cycled, loops) if "stays smooth" in each.what}
    fastest = solve_loop(scene, State(speeds={"loop pump": 0.003})).rates
    for outlet in scene.outlets if when is not None else ():
        flow = shown(fastest[outlet.name], "flow", scene.show)
        assert told.pop(f"outlet {outlet.name}{when}").startswith(f"{at_most}{flow} leave it so slowly")
    assert not told


def test_the_jets_of_a_bar_are_those_of_its_holes(scene):
    """Q/A d/ν, with the hole for d, however thin the slot that stands for them."""
    bar = replace(scene.outlets[0], aperture=Slot(0.4, 0.5e-3), bar=Bar(0.4, 0.02, 20, 4e-3))
    assert jet_reynolds(bar, 2e-4, 1e-6) == pytest.approx(2e-4 / 2e-4 * 4e-3 / 1e-6, rel=1e-12)


def test_a_check_valve_is_told_only_where_it_is_shut(scene):
    """Two pumps side by side, each behind one: of the one at rest it is shut, of the other it is not."""
    second = replace(scene.pumps[0], name="second")
    checked = {"check valve": 1}
    pipes = (
        scene.pipes[0],
        replace(scene.pipes[1], fittings=checked),
        *scene.pipes[2:],
        replace(scene.pipes[0], end="second"),
        replace(scene.pipes[1], start="second", fittings=checked),
    )
    both = replace(scene, pumps=(*scene.pumps, second), pipes=pipes, junctions=())
    loop = solve_loop(both, State(speeds={"second": 0.0}))
    assert [caution.where for caution in loop.cautions if caution.what == "its check valve is shut"] == [
        'pipe "second" to "tee"'
    ]


@pytest.mark.parametrize(
    ("suctions", "deliveries", "narrow"),
    [(("2", "1"), ("2", "1"), False), (("1", "1 1/4"), ("2", "1"), True), (("2", "1"), ("1", "1 1/2"), False)],
)
def test_the_widest_pipe_on_either_side_counts(scene, suctions, deliveries, narrow):
    """Two pipes before the pump and two behind it, of inches that are named."""
    before, behind = scene.pipes[:2]
    pipes = [replace(before, size=f"{inches} in sch 40") for inches in suctions]
    pipes += [replace(behind, size=f"{inches} in sch 40") for inches in deliveries]
    several = replace(scene, pipes=(*pipes, *scene.pipes[2:]), junctions=())
    told = [caution.what for caution in solve_loop(several).cautions]
    assert ("its suction pipe is narrower than its delivery pipe" in told) == narrow
