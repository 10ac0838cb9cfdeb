"""What the progress bar says of a long computation."""

import io

import pytest
from rich.console import Console
from rich.progress import TextColumn

from flowviz.cli import waiting
from flowviz.cli.waiting import Clock, Late, duration, figures
from flowviz.progress import Stage


def test_time_left_is_what_was_taken_so_far_over_what_was_done_so_far():
    """From 20 % to 40 % in 10 s leaves 60 % to do, so 30 s; a new stage starts anew."""
    clock = Clock()
    assert clock.left(Stage("marching", 0.2), 100.0) is None
    assert clock.left(Stage("marching", 0.2), 105.0) is None
    assert clock.left(Stage("marching", 0.4), 110.0) == pytest.approx(30.0, rel=1e-12)  # rounding
    assert clock.left(Stage("measuring"), 111.0) is None
    assert clock.left(Stage("marching", 0.5), 112.0) is None


@pytest.mark.parametrize(
    ("seconds", "said"), [(0.2, "1 s"), (99.4, "99 s"), (100, "2 min"), (3600, "60 min"), (9000, "2.5 h")]
)
def test_durations_are_said_as_one_does(seconds, said):
    assert duration(seconds) == said


def test_a_march_tells_its_time_its_cells_and_the_time_left():
    stage = Stage("marching", 0.3, 12.345, 138000)
    assert list(figures(stage, 200.0)) == ["12.3 s of flow", "138 000 cells", "3 min left"]
    assert list(figures(Stage("drawing"), None)) == []


@pytest.mark.parametrize(("quiet", "shown"), [(1000.0, False), (-1.0, True)])
def test_nothing_is_shown_before_a_second_has_gone(monkeypatch, quiet, shown):
    monkeypatch.setattr(waiting, "QUIET", quiet)
    screen = io.StringIO()
    with Late(TextColumn("{task.description}"), console=Console(file=screen, force_terminal=True)) as bar:
        bar.add_task("marching")
    assert ("marching" in screen.getvalue()) is shown
