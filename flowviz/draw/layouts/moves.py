"""What was moved from one layout to the next, marked in pictures of either."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import dist

from matplotlib.axes import Axes
from matplotlib.patches import FancyArrowPatch

from flowviz.comparison.places import one_ground
from flowviz.draw.sheets.labels import Label
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.theme import INK, PAPER
from flowviz.scene.model import Scene, Vector

LEAST = 1e-3  # less is not marked [m]
RING = 26.0  # diameter of the ring round what was moved [pt]
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Move:
    """An opening that stands elsewhere, or in one of two layouts only."""

    name: str
    start: Vector | None  # [m]; None: it is new
    end: Vector | None  # None: it is left out


def moves(before: Scene, after: Scene) -> tuple[Move, ...]:
    """Every opening that was moved, added or left out; none of tanks of unlike plan, where nothing stands elsewhere."""
    if not one_ground((before, after)):
        return ()
    old, new = ({opening.name: opening.centre for opening in scene.openings} for scene in (before, after))
    every = (Move(name, old.get(name), new.get(name)) for name in old | new)
    return tuple(each for each in every if None in (each.start, each.end) or dist(each.start, each.end) >= LEAST)


def mark_moves(axes: Axes, found: list[tuple[Move, Point | None, Point | None]]) -> Iterator[Label]:
    """Rings round where things are now, an arrow from where they were, and words beside them.

    found   each move with its start and end in the data of the axes
    """
    for move, start, end in found:
        if start and end:
            arrow(axes, start, end)
            yield Label("was here", start, nearest=RING / 2)
        yield Label(f"{short(move.name)}: {word(move)}", end or start, weight="bold", nearest=RING / 2 + 2)
        ring(axes, end or start)


def word(move: Move) -> str:
    """What was done to it."""
    if move.start is None:
        return "new"
    return "left out" if move.end is None else "moved here"


def ring(axes: Axes, at: Point) -> None:
    """A ring that stands out on any ground."""
    for colour, width in ((PAPER, 4.5), (INK, 2.0)):
        axes.plot(
            *at, "o", markersize=RING, markerfacecolor="none", markeredgecolor=colour, markeredgewidth=width, zorder=7
        )


def arrow(axes: Axes, start: Point, end: Point) -> None:
    """From where something was to where it is."""
    for colour, width in ((PAPER, 4.5), (INK, 1.8)):
        look = {"arrowstyle": "->", "mutation_scale": 16, "color": colour, "linewidth": width, "linestyle": "--"}
        way = FancyArrowPatch(start, end, shrinkA=6, shrinkB=RING / 2 + 2, zorder=6.5, clip_on=False, **look)
        axes.add_patch(way)
