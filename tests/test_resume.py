"""flowviz run --resume: what is said after an interruption, what is gone on from, and what is left in the end."""

from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

import flowviz.study
from flowviz.cli.commands import commands
from flowviz.draw.tank import rendering
from flowviz.errors import ConvergenceError
from flowviz.store import checkpoint

FIRST = str(Path(__file__).parent.parent / "scenes" / "first.toml")
WHOLE = flowviz.study.run
POPEN = rendering.subprocess.Popen
STATE = {"one": np.ones(3)}


@pytest.fixture
def call(tmp_path):
    """Call a run into the same folder with further words."""
    words = ("run", FIRST, "-o", str(tmp_path / "out"))
    return lambda *more: CliRunner().invoke(commands, (*words, *more), prog_name="flowviz")


@pytest.fixture
def chain(monkeypatch):
    """Have another function stand for the whole chain, with every state kept."""
    monkeypatch.setattr(checkpoint, "MINUTE", 0.0)
    return lambda stands_for_it: monkeypatch.setattr(flowviz.study, "run", stands_for_it)


def stopped(scene, settings, progress, keeper):
    keeper.offer(lambda: STATE)
    raise KeyboardInterrupt


def test_an_interrupted_run_says_how_to_go_on_and_leaves_one_file(call, chain, tmp_path):
    chain(stopped)
    outcome = call("--detail", "fine")
    assert outcome.exit_code == 130
    assert "--resume" in outcome.stderr
    assert outcome.stderr.count("\n") == 1
    assert [path.suffix for path in tmp_path.iterdir()] == [".npz"]


def test_a_resumed_run_gets_the_state_and_removes_it_when_done(call, chain, tmp_path):
    chain(stopped)
    call("--detail", "fine")
    got = []

    def resumed(scene, settings, progress, keeper):
        got.append(keeper.last())
        return WHOLE(scene, flowviz.study.Settings("sketch"))

    chain(resumed)
    outcome = call("--detail", "fine", "--resume")
    assert outcome.exit_code == 0
    assert got[0]["one"].tolist() == [1, 1, 1]
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


@pytest.mark.parametrize(("detail", "starts"), [("sketch", 1), ("coarse", 1), ("fine", 0)])
def test_no_renderer_idles_for_the_minutes_of_a_fine_run(call, chain, monkeypatch, detail, starts):
    """While a quick level is solved its libraries are loaded."""
    started = []

    def begin(*command, **more):
        started.append(command)
        return POPEN(*command, **more)

    monkeypatch.setattr(rendering.subprocess, "Popen", begin)
    chain(stopped)
    assert call("--detail", detail).exit_code == 130
    assert len(started) == starts


def test_a_run_that_failed_leaves_nothing_to_go_on_from(call, chain, tmp_path):
    def failed(scene, settings, progress, keeper):
        keeper.offer(lambda: STATE)
        raise ConvergenceError("flow", "it blew up", "Use smaller cells")

    chain(failed)
    assert call("--detail", "fine").exit_code == 3
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--detail", "fine"), "no earlier run of this folder left anything"),
        (("--detail", "fine", "--marches", "2"), "2 marches leave nothing"),
        (("--detail", "coarse"), "a coarse run is short"),
        ((), "a sketch run is short"),
    ],
)
def test_what_cannot_be_resumed_is_one_line_and_status_2(call, words, told):
    outcome = call("--resume", *words)
    assert outcome.exit_code == 2
    assert told in outcome.stderr
    assert outcome.stderr.count("\n") == 1
