"""What is shown while something takes longer than a moment, on stderr."""

import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from rich.console import Console, RenderableType
from rich.progress import BarColumn, Progress, TextColumn

from flowviz.progress import Listener, Stage

QUIET = 1.0  # before anything is shown [s]
SOON = 1.0  # into a stage before its time left is guessed [s]


@contextmanager
def progress_bar() -> Iterator[Listener]:
    """A listener that shows what is being done, where someone can see it."""
    console, clock = Console(stderr=True), Clock()
    columns = TextColumn("{task.description}"), BarColumn(20), TextColumn("{task.fields[more]}")
    with Late(*columns, console=console, transient=True, disable=not console.is_terminal) as bar:
        task = bar.add_task("", total=None, more="")

        def show(stage: Stage) -> None:
            more = "  ".join(figures(stage, clock.left(stage, time.monotonic())))
            total = None if stage.share is None else 1.0
            bar.update(task, description=stage.doing, total=total, completed=stage.share or 0.0, more=more)

        yield show


class Late(Progress):
    """A bar that keeps quiet at first."""

    def get_renderables(self) -> Iterable[RenderableType]:
        """What is to be drawn now."""
        self._began = getattr(self, "_began", time.monotonic())
        if time.monotonic() - self._began > QUIET:
            yield from super().get_renderables()


class Clock:
    """Guesses how long a stage still takes by how long it has taken so far."""

    def __init__(self) -> None:
        self._doing, self._began, self._share = "", 0.0, 0.0

    def left(self, stage: Stage, now: float) -> float | None:
        """Time that it still takes [s], or None while that cannot be told.

        now    by any clock [s]
        """
        if stage.share is None or stage.doing != self._doing:
            self._doing, self._began, self._share = stage.doing, now, stage.share or 0.0
            return None
        taken, done = now - self._began, stage.share - self._share
        return taken * (1 - stage.share) / done if taken > SOON and done > 0 else None


def figures(stage: Stage, left: float | None) -> Iterator[str]:
    """What is known of a stage, in words; left is the time that it still takes [s]."""
    if stage.simulated is not None:
        yield f"{stage.simulated:.1f} s of flow"
    if stage.cells is not None:
        yield f"{stage.cells:,} cells".replace(",", " ")
    if left is not None:
        yield f"{duration(left)} left"


def duration(seconds: float) -> str:
    """A time as one says it."""
    if seconds < 100:
        return f"{max(1, round(seconds))} s"
    return f"{round(seconds / 60)} min" if seconds < 100 * 60 else f"{seconds / 3600:.1f} h"
