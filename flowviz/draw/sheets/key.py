"""What the marks of a flat picture mean."""

from collections.abc import Sequence

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.legend_handler import HandlerTuple
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from flowviz.draw.sheets.theme import (
    BEYOND,
    BLUE,
    BODIES,
    INK,
    MARKS,
    PAPER,
    POCKET,
    ROCK,
    ROCK_EDGE,
    SAND,
    SAND_EDGE,
    SCREEN,
    SMALL,
    SPEEDS,
)
from flowviz.scene.model import Scene

Entry = tuple[Artist | tuple[Artist, ...], str]

COLUMN = 1.55  # width of a column of the key [in]


def draw_key(axes: Axes, entries: Sequence[Entry]) -> None:
    """Marks and their meaning, in as many columns as there is room for."""
    marks, words = zip(*entries, strict=True)
    axes.axis("off")
    room = axes.get_window_extent().width / axes.figure.dpi
    axes.legend(
        marks,
        words,
        handler_map={tuple: HandlerTuple(ndivide=None)},
        loc="center left",
        bbox_to_anchor=(0, 0.5),
        borderaxespad=0,
        ncols=max(1, int(room / COLUMN)),
        fontsize=SMALL,
        labelcolor=INK,
        frameon=False,
    )


def hatched(*words: str) -> list[Entry]:
    """The marks of dead and of too-strong water, and what they mean here."""
    return [
        (Patch(facecolor=BODIES[kind]["colour"], edgecolor=mark.colour, hatch=mark.hatch, linewidth=0), meaning)
        for (kind, mark), meaning in zip(MARKS.items(), words, strict=True)
    ]


def dot(marker: str, colour: str) -> Line2D:
    """A badge without its letter."""
    return Line2D([], [], linestyle="", marker=marker, markersize=7, markerfacecolor=colour, markeredgecolor=INK)


def screens(scene: Scene, words: str = "strainer") -> list[Entry]:
    """The mark of strainers, where an intake has one, and what it means here."""
    strained = any(intake.strainer for intake in scene.intakes)
    return [(Patch(facecolor=SCREEN, edgecolor=INK), words)] if strained else []


OPENINGS: tuple[Entry, ...] = ((dot("o", INK), "outlet"), (dot("s", INK), "intake"))
CURRENT: Entry = (Line2D([], [], color=INK, linewidth=1, marker=">", markersize=4), "mean current")
BELOW: Entry = (
    Patch(facecolor=BLUE, edgecolor=POCKET.colour, hatch=POCKET.hatch, linestyle=POCKET.line, linewidth=1.4),
    "dead pocket at some depth",
)
ROCKS: Entry = (Patch(facecolor=ROCK, edgecolor=ROCK_EDGE), "rock")
ROCK_BELOW: Entry = (Patch(facecolor="none", edgecolor=ROCK_EDGE, linewidth=1.8), "rock, seen through")
BED: Entry = (Patch(facecolor=SAND, edgecolor=SAND_EDGE), "sand")
UNWANTED: Entry = (
    tuple(Patch(facecolor=SPEEDS(0.5), edgecolor=each.colour, hatch=each.hatch, linewidth=0) for each in BEYOND),
    "too weak, strong for them",
)
FRAME: Entry = (Patch(facecolor=PAPER, edgecolor=INK, linewidth=1.4), "corals")
