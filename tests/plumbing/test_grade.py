"""Where the head goes: the accounts close, and the costliest part is the one that a larger size relieves."""

from dataclasses import replace
from itertools import groupby, pairwise

import pytest

from flowviz.plumbing.grade import grade_lines, losses, one_size_larger
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import State


def ring(scene):
    """The two outlets joined by another pipe from tee to tee, so that water comes both ways."""
    pipes = (
        *scene.pipes[:2],
        replace(scene.pipes[1], start="tee", end="far"),
        replace(scene.pipes[1], start="tee", end="far", size="1 in sch 40"),
        replace(scene.pipes[2], start="tee"),
        replace(scene.pipes[3], start="far"),
    )
    return replace(scene, pipes=pipes, junctions=())


@pytest.mark.parametrize("layout", [lambda scene: scene, ring], ids=["tree", "ring"])
def test_all_that_the_pump_gives_is_accounted_for(scene, layout):
    """Shares of the pumps' power sum to 1, rounding only."""
    assert sum(loss.share for loss in losses(solve_loop(layout(scene)))) == pytest.approx(1.0, abs=1e-9)


@pytest.mark.parametrize("layout", [lambda scene: scene, ring], ids=["tree", "ring"])
def test_grade_lines_close(scene, layout):
    """From the tank's surface through the loop and back to it: the head comes out at 0, rounding only."""
    scene = layout(scene)
    lines = grade_lines(scene, solve_loop(scene))
    assert [line.outlet for line in lines] == ["left high", "behind the arch"]
    for line in lines:
        assert line.intake == "left low"
        assert line.stations[-1].head == pytest.approx(0.0, abs=1e-9)
        assert line.stations[0].head == 0.0


def test_grade_line_has_the_length_of_its_pipes(scene):
    line = grade_lines(scene, solve_loop(scene))[1]
    assert line.stations[-1].distance == pytest.approx(1.4 + 1.0 + 2.6)


def test_a_grade_line_names_what_is_passed_and_whose_it_is(scene):
    """The mouth of the intake, its pipe, the pump, two pipes and the mouth of the outlet, as the scene lists them."""
    line = grade_lines(scene, solve_loop(scene))[0]
    places = groupby(line.stations, key=lambda station: station.where)
    assert [(place, [station.name for station in found]) for place, found in places] == [
        ("the tank", ["the tank"]),
        ('intake "left low"', ["strainer", "entrance", "change of section"]),
        ('pipe "left low" to "loop pump"', ["friction", "elbow 90", "union ball valve"]),
        ('pump "loop pump"', ["loop pump"]),
        ('pipe "loop pump" to "tee"', ["friction", "union ball valve", "elbow 90", "tee tee"]),
        ('pipe "tee" to "left high"', ["friction", "elbow 90", "union ball valve", "tee tee"]),
        ('outlet "left high"', ["change of section", "exit"]),
    ]


def test_an_outlet_that_is_shut_has_no_grade_line(scene):
    loop = solve_loop(scene, State(valves={2: {"union ball valve": 0.0}}))
    assert [line.outlet for line in grade_lines(scene, loop)] == ["behind the arch"]


def test_a_grade_line_goes_back_through_a_pump_at_rest(scene, build):
    """The second outlet hangs on the suction of a pump that stands still: its water comes by that pump's delivery."""
    pipes = tuple(build.pipe(way) for way in ("i A", "A D", "D o1", "o2 B", "B D"))
    backwards = build.parts((build.strong, replace(build.strong, name="B", speed=0.0)), pipes).put_into(scene)
    line = grade_lines(backwards, solve_loop(backwards))[1]
    assert line.pipes == (0, 1, 4, 3)
    assert [each.where for each in line.stations].count('pump "B"') == 1
    assert line.stations[-1].head == pytest.approx(0.0, abs=1e-9)


def test_a_pipe_drawn_against_the_water_is_reckoned_as_one_drawn_with_it(scene, with_pipe):
    """The fuller of two pipes from tee to tee, on the way to the second outlet; the solver stops at 1e-9."""
    drawn = ring(scene)
    turned = with_pipe(drawn, 2, start="far", end="tee")
    ways = [grade_lines(layout, solve_loop(layout))[1].pipes for layout in (drawn, turned)]
    assert ways == [(0, 1, 2, 5)] * 2
    saved = [sorted(one.saved for one in one_size_larger(layout)) for layout in (drawn, turned)]
    assert saved[0] == pytest.approx(saved[1], rel=1e-6)


def test_only_the_pump_and_a_tee_lift_the_grade_line(scene):
    line = grade_lines(scene, solve_loop(scene))[0]
    lifted = [b.name for a, b in pairwise(line.stations) if b.head > a.head]
    assert lifted == ["loop pump"]


def test_losses_come_in_the_order_of_what_they_cost(scene):
    shares = [loss.share for loss in losses(solve_loop(scene))]
    assert shares == sorted(shares, reverse=True)


def test_a_strangled_pipe_is_the_one_to_widen(scene):
    """The delivery pipe in 1 in costs most; one size larger gains most there, by far."""
    narrow = replace(scene, pipes=(scene.pipes[0], replace(scene.pipes[1], size="1 in sch 40"), *scene.pipes[2:]))
    loop = solve_loop(narrow)
    worst = losses(loop)[0]
    taken = {"friction": loop.pipes[1].friction, **loop.pipes[1].fittings}
    assert worst.where == 'pipe "loop pump" to "tee"'
    assert worst.head == max(taken.values()) == taken[worst.part]
    best, second, *_ = one_size_larger(narrow)
    assert (best.pipe, best.larger) == ('pipe "loop pump" to "tee"', "1 1/4 in sch 40")
    assert best.gained > 5 * second.gained > 0


def test_the_gain_is_what_the_larger_pipe_gives(scene):
    """Each pipe against the loop solved with the larger one written into it: all flow, the weakest outlet's, and the
    head that is no longer lost in that pipe.
    """
    before = solve_loop(scene)
    weakest = min(before.rates.keys() & {"left high", "behind the arch"}, key=before.rates.get)
    found = one_size_larger(scene)
    assert len(found) == len(scene.pipes)
    for one in found:
        number = next(i for i, pipe in enumerate(scene.pipes) if one.pipe == f'pipe "{pipe.start}" to "{pipe.end}"')
        pipes = list(scene.pipes)
        pipes[number] = replace(pipes[number], size=one.larger)
        after = solve_loop(replace(scene, pipes=tuple(pipes)))
        assert one.gained == pytest.approx(after.total - before.total, abs=1e-12)
        assert one.weakest == pytest.approx(after.rates[weakest] - before.rates[weakest], abs=1e-12)
        assert one.saved == pytest.approx(before.pipes[number].loss - after.pipes[number].loss, abs=1e-12)


@pytest.mark.parametrize("first", [True, False])
def test_the_grade_line_follows_the_fuller_pipe(scene, first):
    """A second intake, by a pipe of 1 in to the pump, listed before or behind the first of 2 in."""
    second = replace(scene.intakes[0], name="left thin")
    thin = replace(scene.pipes[0], start="left thin", size="1 in sch 40")
    pipes = (thin, *scene.pipes) if first else (*scene.pipes, thin)
    both = replace(scene, intakes=(*scene.intakes, second), pipes=pipes)
    assert {line.intake for line in grade_lines(both, solve_loop(both))} == {"left low"}


def test_a_hose_without_a_trade_size_has_no_larger_one(scene):
    hose = replace(scene, pipes=tuple(replace(pipe, size=None, inside=0.05) for pipe in scene.pipes))
    assert one_size_larger(hose) == ()
