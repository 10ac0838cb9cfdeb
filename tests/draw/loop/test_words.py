"""What is written over and beside the pictures of a loop: trickles, hogs, standing water, names of any length."""

from dataclasses import replace
from pathlib import Path

import pytest

from flowviz.draw.loop.pictures import loop_views
from flowviz.draw.loop.titles import loop_title
from flowviz.draw.loop.words import head_words, notes, pipe_notes, power_share, valve_kinds
from flowviz.plumbing.circuits import even_shares
from flowviz.plumbing.dossier import dossier
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene
from flowviz.units import percent, shown

SCENES = Path(__file__).parents[3] / "scenes"


@pytest.fixture(scope="module")
def scene():
    return read_scene(SCENES / "peninsula.toml")


def with_last_pipe(scene, **changes):
    return replace(scene, pipes=(*scene.pipes[:-1], replace(scene.pipes[-1], **changes)))


def narrowed(scene, *ends):
    """The pipes to some outlets narrowed to 12 mm."""
    return replace(scene, pipes=tuple(replace(p, size=None, inside=0.012) if p.end in ends else p for p in scene.pipes))


def test_an_even_loop_is_told_so(scene):
    """Shares are speeds over the mean speed: flow over what the opening's share of all area would get."""
    loop = solve_loop(scene)
    area = {outlet.name: outlet.aperture.area for outlet in scene.outlets}
    shares = even_shares(scene, loop)
    for name, share in shares.items():
        even = loop.total * area[name] / sum(area.values())
        assert share == pytest.approx(loop.rates[name] / even, rel=1e-12)  # rounding
    assert loop_title(scene, loop).startswith("No outlet gets a trickle")


def test_a_trickle_is_marked_and_told(scene):
    scene = narrowed(scene, "left low")
    loop = solve_loop(scene)
    assert "“left low” gets a trickle" in loop_title(scene, loop)
    assert notes(scene, loop)["left low"].alarm.startswith("TRICKLE")
    assert not notes(scene, loop)["floor riser"].alarm


def test_several_trickles_are_counted_and_the_hog_is_marked(scene):
    scene = narrowed(scene, "left high front", "left high back", "floor riser")
    loop = solve_loop(scene)
    assert loop_title(scene, loop).startswith("3 of 4 outlets get a trickle")
    assert notes(scene, loop)["left low"].alarm.startswith("HOG")


def test_the_costliest_pipe_is_marked_and_no_other(scene):
    loop = solve_loop(scene)
    marked = [number for number, note in enumerate(pipe_notes(scene, loop)) if "COSTS MOST" in note.alarm]
    shares = [power_share(loop, number) for number in range(len(scene.pipes))]
    assert marked == [shares.index(max(shares))]


def test_a_pump_that_its_pipes_leave_a_trickle_is_no_good_news(scene):
    """Each pipe of 8 mm bore: all outlets get their share of next to nothing."""
    scene = replace(scene, pipes=tuple(replace(pipe, size=None, inside=0.008) for pipe in scene.pipes))
    loop = solve_loop(scene)
    (duty,) = loop.pumps.values()
    left = f"{shown(duty.flow, 'flow', 'metric')}, {percent(duty.flow / duty.open_flow)} of its open flow"
    assert loop_title(scene, loop) == f"The loop leaves “loop pump” a trickle: {left}"


def test_a_shut_outlet_is_told(scene):
    scene = with_last_pipe(scene, valves={"union ball valve": 0.0})
    loop = solve_loop(scene)
    assert loop_title(scene, loop) == "“left low” gives no water"
    assert notes(scene, loop)["left low"].alarm == "NO WATER"
    assert "union ball valve 0 % open" in pipe_notes(scene, loop)[-1].lines


def test_valves_of_a_pipe_are_known_by_what_they_do(scene):
    fittings = {"elbow 90": 2, "check valve": 1, "union ball valve": 1}
    assert valve_kinds(replace(scene.pipes[0], fittings=fittings)) == ("check", "valve")
    assert valve_kinds(replace(scene.pipes[0], fittings={"elbow 90": 2})) == ()


def test_a_loop_at_rest_is_drawn_and_told(scene):
    scene = replace(scene, pumps=tuple(replace(pump, speed=0.0) for pump in scene.pumps))
    views = dict(loop_views(scene, dossier(scene)))
    assert list(views) == ["loop"]  # there is no way of the water to draw
    assert views["loop"].title == "No water moves: no pump turns"


def test_names_of_any_length_and_script_are_drawn(scene):
    """Long names, signs that no font here may hold, and what would be a formula: warnings are errors."""

    def name(words):
        return f"{words} \N{HIRAGANA LETTER A}\U0010fffd $x_1$ <b>&amp; {'very ' * 12}long"

    renamed = {
        kind: tuple(replace(part, name=name(part.name)) for part in getattr(scene, kind))
        for kind in ("outlets", "intakes", "pumps")
    }
    pipes = tuple(replace(pipe, start=name(pipe.start), end=name(pipe.end)) for pipe in scene.pipes)
    scene = replace(scene, **renamed, pipes=pipes, junctions=(), title=name(scene.title))
    for _, view in loop_views(scene, dossier(scene)):
        view.figure.canvas.draw()


@pytest.mark.parametrize(("name", "told"), [("alternating", True), ("peninsula", False)])
def test_the_pictures_of_a_loop_with_phases_say_that_they_show_none_of_them(name, told):
    """As the tables of plumb do: in each phase of the shipped tide one of the two outlets is shut."""
    scene = read_scene(SCENES / f"{name}.toml")
    for _, view in loop_views(scene, dossier(scene)):
        words = " ".join(text.get_text() for text in view.figure.texts)
        assert ("everything running, not a phase" in " ".join(words.split())) is told


def test_a_pipe_takes_the_same_head_wherever_it_is_told(scene):
    """In feet, of which a millimetre is 0.003."""
    told = replace(scene, show="us")
    loop = solve_loop(told)
    for note, pipe in zip(pipe_notes(told, loop), loop.pipes, strict=True):
        assert f"takes {head_words(abs(pipe.loss), 'us')}" in note.lines[0]
