"""Computed against measured speeds, with what is unsure of both.

Both axes go by the square root, as the scale of speed does: the slow points have room, and a factor of two is still
between straight lines.
"""

from collections.abc import Mapping, Sequence
from math import isnan

import numpy as np
from matplotlib.axes import Axes
from matplotlib.transforms import Bbox

from flowviz.assess.measured import Agreement, PointFigures
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import short, style
from flowviz.draw.sheets.paragraphs import Text, column, write
from flowviz.draw.sheets.sheet import EDGE, GAP, PAGE, add_axes
from flowviz.draw.sheets.theme import GLASS, INK, QUIET, SMALL, TEXT, blank
from flowviz.draw.sheets.view import View, head
from flowviz.draw.sheets.wording import rough
from flowviz.study import Study
from flowviz.units import display_unit

SIDE, MARGIN = 5.6, 0.75  # of the plot, and what stands at its left and below it [in]
ROOM = 1.15  # of the fastest speed, that the axes go to
BAND = "#dfe6ea"  # within a factor of two
POINT = 20.0  # half the room that a point takes [px]
ASIDE = (0.8, -0.6)  # the way that names stand off: to the right and down, away from the band
NEARLY = 0.1  # of the measured mean: an error below that is not worth a direction


def measured_view(study: Study) -> View:
    """The plot of the points that lie in the water."""
    agreement, scene = study.measures.agreement, study.scene
    title = measured_title(agreement)
    figure = blank(PAGE, PAGE)
    above = column(head(title, f"{short(scene.title, 80)}: computed and measured speeds"), PAGE - 2 * EDGE, figure)
    below = column(explanation(study), PAGE - 2 * EDGE, figure)
    foot = EDGE + below.height
    whole = foot + MARGIN + SIDE + GAP + above.height + EDGE
    figure.set_size_inches(PAGE, whole)
    write(figure, above, EDGE, whole - EDGE)
    write(figure, below, EDGE, foot)
    left = (PAGE - SIDE) / 2
    draw_points(add_axes(figure, left, foot + MARGIN, SIDE, SIDE), study)
    return View(figure, title, f"{title}. {' '.join(told(agreement, study))}")


def measured_title(agreement: Agreement) -> str:
    """How well the two agree."""
    known = in_water(agreement)
    if not known:
        return "No measured point lies in the water"
    good = round(agreement.factor_two_fraction * len(known))
    off = (2 - agreement.fractional_bias) / (2 + agreement.fractional_bias) - 1  # of the measured mean
    way = "too slow" if off < 0 else "too fast"
    mean = "right on average" if abs(off) < NEARLY else f"{100 * abs(off):.0f} % {way} on average"
    return f"{good} of {len(known)} measured points within a factor of two; computed {mean}"


def in_water(agreement: Agreement) -> Mapping[str, PointFigures]:
    """The points that were computed."""
    return {name: point for name, point in agreement.points.items() if not isnan(point.computed_speed)}


def told(agreement: Agreement, study: Study) -> list[str]:
    """Each point, for those who cannot see it."""
    system = study.scene.show
    return [
        f"{short(name)}: measured {rough(point.measured_speed, 'speed', system)}, "
        f"computed {rough(point.computed_speed, 'speed', system, beside=point.measured_speed)}."
        for name, point in in_water(agreement).items()
    ]


def explanation(study: Study) -> list[Text]:
    """How to read the plot."""
    agreement = study.measures.agreement
    explained = f"{100 * agreement.explained_fraction:.0f} % of the points"
    words = (
        "A point on the line agrees; the band holds what is within a factor of two. Bars are 95 % intervals: across, "
        "of the measuring, as the scene tells it; upright, of the averaging alone, which leaves out the error of the "
        f"model. Together they may explain the difference of {explained}."
    )
    return [Text(words, SMALL, QUIET)] if in_water(agreement) else []


def draw_points(axes: Axes, study: Study) -> None:
    """Points, their intervals, the line of agreement and the band."""
    unit, per_si = display_unit("speed", study.scene.show)
    agreement = study.measures.agreement
    known = in_water(agreement)
    table = np.array(
        [
            (p.measured_speed, p.measured_doubt, p.computed_speed, np.nan_to_num(p.computed_doubt))
            for p in known.values()
        ]
    )
    measured, across, computed, upright = table.reshape(-1, 4).T * per_si
    top = ROOM * max((measured + across).max(initial=0.1), (computed + upright).max(initial=0.1))
    draw_band(axes, top)
    # lists: matplotlib asks whether the first half-width is finite, which an array of one element may not be asked
    bars = [
        (np.minimum(half, middle).tolist(), half.tolist()) for middle, half in ((computed, upright), (measured, across))
    ]
    axes.errorbar(measured, computed, *bars, "o", color=INK, markersize=5, capsize=3, linewidth=1)
    by_root = {"functions": (by_square_root, np.square)}
    axes.set_xscale("function", **by_root)
    axes.set_yscale("function", **by_root)
    figured = [
        number for number in (0, 1, 2, 5, 10, 20, 50, 100, 200) if number < top and (number == 0 or number > top / 40)
    ]
    axes.set(xlim=(0, top), ylim=(0, top), xticks=figured, yticks=figured)
    for side, words in ((axes.set_xlabel, f"measured, {unit}"), (axes.set_ylabel, f"computed, {unit}")):
        side(words, **style(words, TEXT, INK))
    axes.tick_params(labelsize=SMALL, labelcolor=INK, color=INK)
    names = zip(known, measured, computed, strict=True)
    labels = [label(name, (x, y), agreement) for name, x, y in names]
    place(axes, labels, axes.get_window_extent(), marks(axes, labels))


def by_square_root(values: np.ndarray) -> np.ndarray:
    """Where speeds come to lie on an axis."""
    return np.sqrt(np.maximum(values, 0.0))


def marks(axes: Axes, labels: Sequence[Label]) -> list[Bbox]:
    """The room that points take, in pixels."""
    middles = axes.transData.transform([label.at for label in labels]) if labels else []
    return [Bbox.from_extents(x - POINT, y - POINT, x + POINT, y + POINT) for x, y in middles]


def label(name: str, at: tuple[float, float], agreement: Agreement) -> Label:
    """The name of a point; the worst one's in bold."""
    worst = name == agreement.worst
    return Label(
        f"{short(name)}{' (worst)' * worst}", at, weight="bold" if worst else "normal", nearest=12.0, lean=ASIDE
    )


def draw_band(axes: Axes, top: float) -> None:
    """The line of agreement, and what is within a factor of two of it."""
    ends = np.array((0.0, top))
    axes.fill_between(ends, ends / 2, ends * 2, color=BAND, linewidth=0, zorder=0)
    axes.plot(ends, ends, color=GLASS, linewidth=1.2, zorder=1)
    axes.text(top, top / 2, " half as fast", **style("half as fast", SMALL, QUIET, ha="left", va="center"))
    axes.text(top / 2, top, "twice as fast ", **style("twice as fast", SMALL, QUIET, ha="right", va="top"))
