"""The measures of several studies as small charts on one page: where each is best, and what is too close to call."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from flowviz.comparison.curves import Curve
from flowviz.draw.layouts.stack import LINE
from flowviz.draw.sheets.key import Entry, draw_key
from flowviz.draw.sheets.lettering import drawable, short, style
from flowviz.draw.sheets.paragraphs import Text, column, write
from flowviz.draw.sheets.sheet import EDGE, PAGE, PAGE_HEIGHT, add_axes
from flowviz.draw.sheets.theme import INK, PAPER, SMALL, blank
from flowviz.units import System, display_unit

LEFT, FOOT, HEAD = 0.55, 0.3, 0.55  # room beside, below and above a chart's axes for figures and names [in]
TALL, ACROSS, DOWN = 1.7, 3, 3  # height of the axes where there is room [in], and how many a page has at most
KEY, AXIS = 0.35, 0.25  # height of the key, and of what the lowest axes are labelled with [in]
LEFT_OUT = 8  # lines below that name what has no chart
LEAST, MARGIN = 10.0, 0.06  # span of a share's axis [%], and what is left free at its ends


@dataclass(frozen=True, slots=True)
class Along:
    """What the studies stand along."""

    at: Sequence[float]  # where each stands
    label: str
    way: bool  # whether there is anything between them


@dataclass(frozen=True, slots=True)
class Picture:
    """What stands between the words and the charts."""

    height: float  # [in]
    draw: Callable[[Figure, float], None]  # into a page, from so far above its foot [in]


@dataclass(frozen=True, slots=True)
class Room:
    """Where the curves stand on their page."""

    columns: int
    rows: int
    bottom: float  # of the lowest row [in]
    tall: float  # of each axes [in]

    @property
    def wide(self) -> float:
        """Of each axes [in]."""
        return LINE / self.columns - LEFT

    def axes(self, number: int, figure: Figure) -> Axes:
        """Those of a curve by its number, the first on the upper left."""
        down, across = divmod(number, self.columns)
        foot = self.bottom + (self.rows - 1 - down) * (HEAD + self.tall + FOOT) + FOOT
        return add_axes(figure, EDGE + across * (LEFT + self.wide) + LEFT, foot, self.wide, self.tall)


def curves_page(
    curves: Sequence[Curve], above: Sequence[Text], along: Along, system: System, picture: Picture | None = None
) -> Figure:
    """Words, a picture, and the measures that can be better or worse as charts with their intervals.

    Those with a surely worse study come first; where the page has no room for more, the others are named below.
    """
    drawn, left_out = with_room([each for each in curves if each.wanted is not None and max(each.values) > 0])
    figure, shown_high = blank(1, 1), picture.height if picture else 0.0
    head = column(above, LINE, figure)
    below = column([Text(each, SMALL, most=LEFT_OUT) for each in words_below(left_out)], LINE, figure)
    base = EDGE + below.height + KEY + AXIS
    columns = 2 if len(drawn) <= 4 else ACROSS
    rows = ceil(len(drawn) / columns)
    free = PAGE_HEIGHT - base - shown_high - head.height - EDGE
    room = Room(columns, rows, base, min(TALL, free / max(rows, 1) - HEAD - FOOT))
    charts = base + rows * (HEAD + room.tall + FOOT)
    figure.set_size_inches(PAGE, charts + shown_high + head.height + EDGE)
    write(figure, head, EDGE, charts + shown_high + head.height)
    write(figure, below, EDGE, EDGE + below.height)
    if picture:
        picture.draw(figure, charts)
    for number, curve in enumerate(drawn):
        draw_curve(room.axes(number, figure), curve, along, system, lowest=number + columns >= len(drawn))
    draw_key(add_axes(figure, EDGE, EDGE + below.height, LINE, KEY), entries("-" if along.way else "none"))
    return figure


def with_room(curves: Sequence[Curve]) -> tuple[list[Curve], list[Curve]]:
    """The curves that a page has room for, in their order, and the others; those that tell places apart go first."""
    first = sorted(curves, key=lambda each: not each.decided)[: ACROSS * DOWN]
    return [each for each in curves if each in first], [each for each in curves if each not in first]


def words_below(left_out: Sequence[Curve]) -> Iterator[str]:
    """The measures that have no curve."""
    for decided, start in ((True, "Not drawn for want of room"), (False, "Not drawn, as too close to call anywhere")):
        names = [f"{short(each.subject)}, {each.label}" for each in left_out if each.decided == decided]
        if names:
            yield f"{start}: {'; '.join(names)}."


def draw_curve(axes: Axes, curve: Curve, along: Along, system: System, lowest: bool) -> None:
    """One measure: full where it is best, grey where that is too close to call, hollow where it is worse.

    lowest   whether no other stands below, so that it tells what lies along all of them
    """
    own, own_per_si = display_unit(curve.quantity, system)
    y, widths = ([value * own_per_si for value in values] for values in (curve.values, curve.half_widths))
    axes.plot(along.at, y, color=INK, linewidth=1.0 if along.way else 0.0, zorder=2)
    for number, (at, value, width) in enumerate(zip(along.at, y, widths, strict=True)):
        fill = CLOSE if number in curve.close or not curve.decided else INK if number == curve.best else PAPER
        look = {"markersize": 7, "markerfacecolor": fill, "color": INK, "elinewidth": 1.4, "capsize": 3}
        ends = [width, width] if curve.quantity != "share" else [min(width, value), min(width, 100.0 - value)]
        axes.errorbar(at, value, yerr=np.maximum(ends, 0.0)[:, None], fmt="o", zorder=3, **look)
    if curve.quantity == "share":
        axes.set_ylim(*limits(y, widths))
    if not along.way:
        axes.set_xticks(along.at)
        axes.set_xlim(min(along.at) - 0.5, max(along.at) + 0.5)
    name_curve(axes, f"{short(curve.subject)}\n{curve.label}, {own}")
    if lowest:
        axes.set_xlabel(along.label, fontsize=SMALL, color=INK)
    axes.tick_params(length=3, labelsize=SMALL, labelcolor=INK, color=INK)
    axes.grid(color="#d8dcdf", linewidth=0.8)
    for side in ("right", "top"):
        axes.spines[side].set_visible(False)


def name_curve(axes: Axes, words: str) -> None:
    """Over its upper left corner."""
    name, over = drawable(words), {"xycoords": "axes fraction", "textcoords": "offset points"}
    axes.annotate(name, (0, 1), xytext=(0, 5), **over, **style(name, SMALL, INK, weight="bold"))


def limits(values: list[float], widths: list[float]) -> tuple[float, float]:
    """Of a share's axis [%]: no finer than a tenth of the whole, so that noise does not look like a curve."""
    low = max(min(value - width for value, width in zip(values, widths, strict=True)), 0.0)
    high = min(max(value + width for value, width in zip(values, widths, strict=True)), 100.0)
    low = min(low, max(high - LEAST, 0.0))
    high = max(high, low + LEAST)
    return low - MARGIN * (high - low), high + MARGIN * (high - low)


CLOSE = "#9aa3aa"  # of what is too close to the best to call
FILLS = {"best": INK, "too close to call": CLOSE, "worse": PAPER}


def entries(line: str) -> list[Entry]:
    """What the dots mean, on a line of a style."""
    look = {"linestyle": line, "marker": "o", "markersize": 7, "color": INK}
    return [(Line2D([], [], markerfacecolor=fill, **look), words) for words, fill in FILLS.items()]
