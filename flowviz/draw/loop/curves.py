"""Charts of head against flow: curves with their names beside them, and the points where pumps work."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.transforms import Bbox

from flowviz.draw.loop.page import grouped, ruled
from flowviz.draw.sheets.labels import Label
from flowviz.draw.sheets.theme import INK, PAPER
from flowviz.plumbing.choice import Point
from flowviz.units import System, display_unit

MARK = 9.0  # half the size of what is spared around a point of a curve [pt]


@dataclass(frozen=True, slots=True)
class Scale:
    """The units of a chart: what one SI unit comes to on its axes."""

    flow: float
    head: float

    def at(self, point: Point) -> tuple[float, float]:
        """A point on the axes."""
        return self.flow * point[0], self.head * point[1]


@dataclass(frozen=True, slots=True)
class Reach:
    """How far a chart goes; its heads begin at 0."""

    least: float  # flow [m³/s]; negative where a pump runs backwards
    most: float  # flow [m³/s]
    highest: float  # head [m]


def chart_of(axes: Axes, show: System, reach: Reach) -> Scale:
    """Axes made ready for curves of head against flow."""
    (flow, per_flow), (head, per_head) = display_unit("flow", show), display_unit("head", show)
    ruled(axes, f"flow [{flow}]", f"head [{head}]")
    axes.set_xlim(per_flow * reach.least, per_flow * reach.most)
    axes.set_ylim(0, per_head * reach.highest)
    axes.xaxis.set_major_formatter(grouped("flow", show))
    return Scale(per_flow, per_head)


def draw_curve(axes: Axes, scale: Scale, points: Sequence[Point], width: float, dashes: object = "-") -> None:
    """A curve of two points at least."""
    ends = zip(*map(scale.at, points), strict=True)
    axes.add_line(Line2D(*ends, color=INK, linewidth=width, linestyle=dashes, zorder=4))


def draw_duty(axes: Axes, scale: Scale, point: Point, size: float, fill: str = INK) -> None:
    """A point where a pump works."""
    look = {"markersize": size, "markerfacecolor": fill, "markeredgecolor": INK, "markeredgewidth": 1.2}
    axes.plot(*scale.at(point), "o", clip_on=False, zorder=6, **look)


def curve_label(scale: Scale, points: Sequence[Point], share: float, words: str, lean: tuple[float, float]) -> Label:
    """The name of a curve, beside the point at a share of its way."""
    at = scale.at(points[round(share * (len(points) - 1))])
    return Label(words, at, edge="none", paper=PAPER, nearest=4.0, lean=lean)


def draw_asked(
    axes: Axes, scale: Scale, points: Sequence[Point], words: str, width: float, dashes: object = "-"
) -> Iterator[Label]:
    """What a loop asks for, as far as the chart goes; its name stands under an unbroken line, over a broken one."""
    if len(points) > 1:
        draw_curve(axes, scale, points, width, dashes)
        share, lean = (0.6, (0.5, -0.9)) if dashes == "-" else (0.92, (-0.7, 0.7))
        yield curve_label(scale, points, share, words, lean)


def marks(axes: Axes) -> list[Bbox]:
    """Boxes along all curves that labels are to spare, in pixels."""
    half = MARK * axes.figure.dpi / 72
    dots = (axes.transData.transform(line.get_xydata()) for line in axes.lines)
    return [Bbox((dot - half, dot + half)) for each in dots for dot in _close(each, 2 * half)]


def _close(dots: np.ndarray, step: float) -> Iterator[np.ndarray]:
    """Points along a polyline, no farther apart than a step."""
    yield from dots[:1]
    for one, other in pairwise(dots):
        count = 1 + int(np.linalg.norm(other - one) / step)
        yield from np.linspace(one, other, count + 1)[1:]


def within(points: Sequence[Point], reach: Reach) -> list[Point]:
    """The part of a rising curve that lies in a chart, up to its edge; it may be empty."""
    kept: list[Point] = []
    for point in points:
        if point[0] < reach.least:
            continue
        if point[0] > reach.most or point[1] > reach.highest:
            return [*kept, _cut(kept[-1], point, reach)] if kept else []
        kept.append(point)
    return kept


def _cut(inside: Point, outside: Point, reach: Reach) -> Point:
    """Where the straight from a point in the chart to one out of it leaves it."""
    steps = zip(inside, outside, (reach.most, reach.highest), strict=True)
    share = min((edge - a) / (b - a) for a, b, edge in steps if b > edge)
    return tuple(a + share * (b - a) for a, b in zip(inside, outside, strict=True))
