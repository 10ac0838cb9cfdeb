"""Loops in which water cannot come or go are refused in one line each; what a valve does."""

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from flowviz.errors import InputError
from flowviz.plumbing.catalogue import fitting
from flowviz.plumbing.network import unchecked_network
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import State
from flowviz.plumbing.valves import closing_loss
from flowviz.plumbing.ways import cut_off_pumps

VALVE = "union ball valve"


def refused(scene, text, state=None):
    with pytest.raises(InputError, match=re.escape(text)) as told:
        solve_loop(scene, state or State())
    assert "\n" not in str(told.value)


def test_pump_turned_round(scene, with_pipe):
    """From and to of both its pipes swapped: the water would have to come in through the outlets, and may."""
    turned = with_pipe(with_pipe(scene, 0, start="loop pump", end="left low"), 1, start="tee", end="loop pump")
    assert min(solve_loop(turned).rates.values()) < 0  # works, and is told as a caution
    assert any(caution.what == "it draws water instead of giving it" for caution in solve_loop(turned).cautions)


def test_check_valve_against_the_only_way_in(scene, with_pipe):
    """The suction pipe in three parts, the middle one drawn towards the intake with a check valve in it."""
    first = scene.pipes[0]
    parts = (
        replace(first, end="a"),
        replace(first, start="b", end="a", fittings={"check valve": 1}),
        replace(first, start="b"),
    )
    refused(
        replace(scene, pipes=(*parts, *scene.pipes[1:])),
        'pump "loop pump", way in: a check valve in pipe "b" to "a" stands against the only way. Turn it',
    )
    solve_loop(with_pipe(scene, 0, fittings={"check valve": 1}))


def test_check_valves_that_stand_against_each_other(scene):
    """The first lets water in from the intake, the second only back to it: both are named, for either may be turned."""
    first = replace(scene.pipes[0], fittings={"check valve": 1})
    parts = (replace(first, end="a"), replace(first, start="b", end="a"), replace(scene.pipes[0], start="b"))
    refused(
        replace(scene, pipes=(*parts, *scene.pipes[1:])),
        'way in: a check valve in pipe "left low" to "a", pipe "b" to "a" stands against the only way. Turn it',
    )


def test_pumps_that_draw_on_nothing_but_each_other(scene, build):
    """No valve stands in the way, and no intake is there."""
    pipes = tuple(build.pipe(way) for way in ("S A", "S B", "A o1", "B o2"))
    pumps = (build.strong, replace(build.strong, name="B"))
    refused(
        build.parts(pumps, pipes).put_into(scene),
        'pump "A", way in: no water can get through. Check from and to of the pipes between it and the tank',
    )


def test_check_valve_against_the_only_way_out(scene):
    """The pipe behind the pump is drawn towards a junction, from where a second one comes back with its valve
    turned.
    """
    pipes = list(scene.pipes)
    pipes[1] = replace(pipes[1], end="corner")
    pipes.insert(2, replace(pipes[1], start="tee", end="corner", fittings={"check valve": 1}))
    refused(
        replace(scene, pipes=tuple(pipes), junctions=()),
        'pump "loop pump", way out: a check valve in pipe "tee" to "corner" stands against the only way. Turn it',
    )


@pytest.mark.parametrize("name", ["loop pump suction", "loop pump delivery", "the tank"])
def test_a_place_named_as_a_node_of_the_network(scene, with_pipe, name):
    """It would be one with that node, and the pipe between the two would be passed by."""
    elbow = replace(scene.pipes[0], start=name)
    named = replace(scene, pipes=(replace(scene.pipes[0], end=name), elbow, *scene.pipes[1:]))
    refused(named, f"{name}: names a place, and is what flowviz itself calls another. Give it another name")
    refused(
        replace(scene, outlets=(replace(scene.outlets[0], name=name), scene.outlets[1])),
        f"{name}: names a place",
    )


def test_shut_valve_before_the_pump(scene):
    refused(
        scene,
        'pump "loop pump", way in: the only way is shut by pipe "left low" to "loop pump". Open it',
        State(valves={0: {VALVE: 0.0}}),
    )


def test_shut_valve_behind_the_pump_in_a_pipe_drawn_against_the_water(scene):
    corner = replace(scene.pipes[1], end="corner"), replace(scene.pipes[1], start="tee", end="corner")
    refused(
        replace(scene, pipes=(scene.pipes[0], *corner, *scene.pipes[2:]), junctions=()),
        'pump "loop pump", way out: the only way is shut by pipe "tee" to "corner". Open it',
        State(valves={2: {VALVE: 0.0}}),
    )


@pytest.mark.parametrize("blocked", [{"left low"}, {"left high", "behind the arch"}])
def test_a_pump_without_a_way_in_or_out_is_cut_off(scene, blocked):
    assert cut_off_pumps(unchecked_network(scene, State()).network) == ()
    assert cut_off_pumps(unchecked_network(scene, State(blocked=blocked)).network) == ('pump "loop pump"',)


def test_branch_closed_at_both_ends(scene):
    pipes = list(scene.pipes)
    pipes[2] = replace(pipes[2], end="corner")
    pipes.append(replace(pipes[2], start="corner", end="left high"))
    state = State(valves={2: {VALVE: 0.0}, 4: {VALVE: 0.0}})
    refused(replace(scene, pipes=tuple(pipes)), 'corner: is closed off on all sides by pipe "tee" to "corner"', state)


def test_outlet_that_no_pump_reaches(scene):
    """A pipe on its way drawn against the water, with a check valve in it."""
    pipes = list(scene.pipes)
    pipes[2] = replace(pipes[2], start="corner", end="tee", fittings={"check valve": 1})
    pipes.append(replace(scene.pipes[2], start="corner"))
    refused(replace(scene, pipes=tuple(pipes)), 'opening "left high": no pump reaches it')


def test_outlet_shut_on_purpose(scene):
    """All water leaves by the other one."""
    loop = solve_loop(scene, State(valves={2: {VALVE: 0.0}}))
    assert loop.rates["left high"] == 0.0
    assert loop.rates["behind the arch"] == pytest.approx(-loop.rates["left low"])
    assert any(caution.what == "no water comes out of it" for caution in loop.cautions)


def test_check_valve_that_shuts_lets_nothing_through(scene):
    """A second pump of a tenth of the head, behind a check valve, against the first: its valve shuts, and that is
    told.
    """
    small = replace(scene.pumps[0], name="small", curve=((0.0, 0.3), (1e-3, 0.1)))
    pipes = (
        *scene.pipes,
        replace(scene.pipes[0], start="left low", end="small"),
        replace(scene.pipes[1], start="small", end="tee", fittings={"check valve": 1}),
    )
    loop = solve_loop(replace(scene, pumps=(*scene.pumps, small), pipes=pipes, junctions=()))
    assert loop.pumps["small"].flow == pytest.approx(0.0, abs=1e-12)
    assert loop.pipes[5].flow == 0.0
    assert any(caution.what == "its check valve is shut" for caution in loop.cautions)


@pytest.mark.parametrize("opening", [-0.1, 1.1, 2.0])
def test_opening_beyond_the_whole(scene, opening):
    refused(
        scene,
        f'"{VALVE}" is open by {opening:g}. Write a share from 0 (shut) to 1',
        State(valves={0: {VALVE: opening}}),
    )


def test_a_shut_branch_loses_nothing(scene):
    """A second pipe beside the first to one outlet, with its valve shut."""
    both = replace(scene, pipes=(*scene.pipes, replace(scene.pipes[2])), junctions=())
    shut = solve_loop(both, State(valves={4: {VALVE: 0.0}}))
    assert (shut.pipes[4].flow, shut.pipes[4].loss) == (0.0, 0.0)
    assert shut.rates == pytest.approx(solve_loop(replace(scene, junctions=())).rates, rel=1e-9)


def test_a_valve_that_is_not_there(scene):
    refused(
        scene,
        'has no "gate valve" to open or shut. Write one of elbow 90, union',
        State(valves={0: {"gate valve": 1.0}}),
    )


def test_an_elbow_is_no_valve(scene):
    refused(scene, '"elbow 90" cannot be opened or shut', State(valves={0: {"elbow 90": 0.5}}))


def test_partly_open_valves_lose_what_is_printed(published):
    """tests/published/weisbach_valves.csv, to three digits; half shut, handbooks have 2.1 and 4.5 to 5.6 for a gate."""
    for row in published("weisbach_valves.csv"):
        opening = float(row["open"]) if row["open"] else 1 - float(row["turned"]) / 90
        added = closing_loss(fitting(row["valve"], "pipe"), opening, 0.052, "pipe")
        assert added == pytest.approx(float(row["printed"]), rel=5e-3), row


def test_a_linear_valve_half_open_loses_four_times_as_much():
    """K ∝ 1/opening², 6.46 when open in a 2 in pipe: three times that beyond it."""
    assert closing_loss(fitting("globe valve", "pipe"), 0.5, 0.052, "pipe") == pytest.approx(3 * 6.46, rel=5e-3)


@pytest.mark.parametrize(
    ("opening", "added"),
    [(0.9375, 0.035), (0.4375, (2.06 * 5.52) ** 0.5), (0.0625, 4 * 97.8)],
)
def test_between_the_rows_of_a_valve_s_table(opening, added):
    """A gate valve halfway between its rows: half of 0.07 beside the open end, the geometric mean of 2.06 and 5.52 in
    the middle, four times 97.8 beside the shut end; sums done here.
    """
    assert closing_loss(fitting("gate valve", "pipe"), opening, 0.052, "pipe") == pytest.approx(added, rel=1e-9)


def test_a_ball_valve_is_shut_from_82_degrees_on():
    """Weisbach's cock (from memory)."""
    losses = [closing_loss(fitting("ball valve", "pipe"), 1 - turned / 90, 0.052, "pipe") for turned in (81.9, 82, 90)]
    assert losses[0] < float("inf")
    assert losses[1:] == [float("inf"), float("inf")]


@pytest.mark.parametrize("name", ["gate valve", "ball valve", "union ball valve", "butterfly valve", "globe valve"])
def test_a_valve_loses_more_the_more_it_is_shut(name):
    losses = [closing_loss(fitting(name, "pipe"), 1 - i / 200, 0.052, "pipe") for i in range(201)]
    assert all(before < after for before, after in pairwise(losses) if after != float("inf"))
    assert losses[-1] == float("inf")


def test_throttling_one_outlet_gives_to_the_other(scene):
    before, after = solve_loop(scene).rates, solve_loop(scene, State(valves={2: {VALVE: 0.5}})).rates
    assert after["left high"] < before["left high"]
    assert after["behind the arch"] > before["behind the arch"]


def test_reducer_costs_by_the_way_the_water_takes(scene, with_pipe):
    """Sudden narrowing from 2 in to 1 1/4 in on the velocity in the small pipe; a sum done here."""
    ratio = (0.034544 / 0.0519938) ** 2
    loop = solve_loop(with_pipe(scene, 2, fittings={"reducer from 2 in sch 40": 1}))
    pipe = loop.pipes[2]
    assert pipe.fittings["reducer from 2 in sch 40"] == pytest.approx(
        0.5 * (1 - ratio) * pipe.speed**2 / (2 * 9.80665), rel=1e-6
    )
