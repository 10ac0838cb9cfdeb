"""Closed loops of one scene, each of which is judged by itself."""

from dataclasses import replace

import pytest

from flowviz.plumbing.choice import present
from flowviz.plumbing.circuits import circuit_of, even_shares, given_by, outlets_words
from flowviz.plumbing.dossier import dossier
from flowviz.plumbing.grade import one_size_larger
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.strainers import KEPT_FLOW, LOOP_FLOW, fouling_curve, swap, to_spare
from flowviz.scene.model import Animal


def twice(scene, head=0.2):
    """A scene with its loop once more, whose pump has a share of the head; joined to the first by nothing."""

    def named(name):
        return f"other {name}"

    def again(each, *names):
        return replace(each, **{name: named(getattr(each, name)) for name in names})

    joined = (replace(each, in_line=tuple(map(named, each.in_line))) for each in scene.junctions)
    weak = replace(scene.pumps[0], curve=tuple((flow, head * lift) for flow, lift in scene.pumps[0].curve))
    return replace(
        scene,
        pumps=(*scene.pumps, again(weak, "name")),
        pipes=(*scene.pipes, *(again(pipe, "start", "end") for pipe in scene.pipes)),
        outlets=(*scene.outlets, *(again(each, "name") for each in scene.outlets)),
        intakes=(*scene.intakes, *(again(each, "name") for each in scene.intakes)),
        junctions=(
            *scene.junctions,
            *(again(each, "name") for each in joined),
        ),
    )


@pytest.fixture
def both(scene):
    return twice(scene)


def test_what_is_joined_by_pipes_is_one_circuit(scene, both):
    (whole,) = solve_loop(scene).circuits
    assert outlets_words(solve_loop(scene)) == "all outlets"
    loop = solve_loop(both)
    first, second = loop.circuits
    assert first == whole
    assert second.pumps == tuple(f"other {name}" for name in first.pumps)
    assert second.openings == tuple(f"other {name}" for name in first.openings)
    assert second.pipes == tuple(len(scene.pipes) + number for number in first.pipes)
    assert circuit_of("other loop pump", loop) == second
    assert given_by(second, loop) == pytest.approx(loop.pumps["other loop pump"].flow)


def test_outlets_are_held_against_those_of_their_own_circuit(scene, both):
    """So that a weak pump beside a strong one leaves none of its outlets a trickle."""
    alone, shares, loop = even_shares(scene, solve_loop(scene)), even_shares(both, solve_loop(both)), solve_loop(both)
    assert loop.rates["other behind the arch"] < 0.7 * loop.rates["behind the arch"]
    for name, share in alone.items():
        assert shares[name] == pytest.approx(share)
        assert shares[f"other {name}"] == pytest.approx(share, rel=0.1)
    assert not any("were equally fast" in each.what for each in loop.cautions)
    assert outlets_words(loop) == "the outlets of its loop"


def test_a_strainer_is_judged_by_its_own_pump_and_outlets(scene, both):
    """As in a scene that has nothing else, but for an animal so strong that the flow alone breaks."""
    strong = (Animal(name="strong", length=0.1, width=0.05, speed=100.0),)
    weak = replace(twice(scene), animals=strong)
    intake = next(each.name for each in weak.intakes if each.name.startswith("other"))
    curve = fouling_curve(weak, intake)
    clean = given_by(circuit_of(intake, solve_loop(weak)), solve_loop(weak))
    assert curve[0].total == pytest.approx(clean)
    assert curve[-1].total < curve[0].total
    assert to_spare(weak, curve[-1], clean)[LOOP_FLOW] == pytest.approx(curve[-1].total / clean - KEPT_FLOW)
    first = intake.removeprefix("other ")
    assert swap(weak, first).fouled == pytest.approx(swap(replace(scene, animals=strong), first).fouled, abs=1e-6)


def test_an_intake_alone_in_its_circuit_needs_no_larger_strainer_where_another_is_blocked(both):
    for care in dossier(both).strainers.values():
        assert care.sizes_alone == care.sizes


def test_with_one_circuits_intake_blocked_the_other_goes_on(both):
    loop = solve_loop(both)
    for blocked in dossier(both).blocked:
        (stopped,) = blocked.stopped
        (left,) = (name for name in loop.pumps if name != stopped)
        assert blocked.loop.pumps[left].flow == pytest.approx(loop.pumps[left].flow)
        assert blocked.loop.total == pytest.approx(loop.pumps[left].flow)


def test_a_larger_pipe_helps_the_weakest_outlet_of_its_own_circuit(scene, both):
    alone = {each.pipe: each.weakest for each in one_size_larger(scene)}
    assert alone
    found = {each.pipe: each.weakest for each in one_size_larger(both)}
    assert {pipe: found[pipe] for pipe in alone} == pytest.approx(alone)


def test_what_a_pump_keeps_when_half_clogged_is_of_its_own_circuit(scene, both):
    alone, beside = (present(each, "loop pump") for each in (scene, both))
    assert alone.kept_throttled < 0.99
    assert (beside.kept_fouled, beside.kept_throttled) == pytest.approx((alone.kept_fouled, alone.kept_throttled))


@pytest.mark.parametrize(("rise", "told"), [(1.0, False), (30.0, True)])
def test_a_pump_that_cannot_fill_its_highest_pipe_is_told(scene, rise, told):
    """A pipe over a crest behind it, against its head at no flow."""
    pipe = next(each for each in scene.pipes if each.end in {outlet.name for outlet in scene.outlets})
    up, down = replace(pipe, end="crest", rise=rise), replace(pipe, start="crest", rise=pipe.rise - rise)
    pipes = tuple(part for each in scene.pipes for part in ((up, down) if each is pipe else (each,)))
    junctions = tuple(
        replace(each, in_line=tuple("crest" if end == pipe.end else end for end in each.in_line))
        for each in scene.junctions
    )
    loop = solve_loop(replace(scene, pipes=pipes, junctions=junctions))
    assert any("it lifts water by" in each.what and "crest lies" in each.what for each in loop.cautions) == told
