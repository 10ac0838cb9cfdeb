"""What breaks of a layout's plumbing let out, and when more or less of it matters."""

from collections.abc import Iterator

from flowviz.plumbing.leaks import Leak, leaks
from flowviz.scene.model import Scene

TENTH = 0.1  # of what is let out, for rock and sand count as water in it and are about as much of a tank (a judgement)
BUCKET = 0.01  # [m³]: one more or less is wiped up (a judgement)


def worst_break(scene: Scene) -> float:
    """What the break that lets out most lets out [m³]; none where nothing opens into the tank.

    Pumps that run on make it no worse: they draw the tank down to the lowest intake, whose own break does so too.
    """
    return max((leak.lost for leak in leaks(scene).as_built), default=0.0)


def worth_telling(let_out: float) -> float:
    """By how much more or less a break must let out for a client to prepare otherwise [m³]."""
    return max(BUCKET, TENTH * let_out)


def worse_than_any(before: Scene, after: Scene) -> Iterator[Leak]:
    """The breaks of after that let out more than any of before, by an amount that matters; the worst first."""
    worst = worst_break(before)
    for leak in sorted(leaks(after).as_built, key=lambda leak: -leak.lost):
        if leak.lost - worst > worth_telling(leak.lost):
            yield leak
