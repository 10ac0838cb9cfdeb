"""The measures against the place of one opening."""

from math import ceil

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from flowviz.comparison.course import Course, Curve
from flowviz.draw.sheets.key import draw_key
from flowviz.draw.sheets.lettering import drawable, short, style
from flowviz.draw.sheets.paragraphs import Text, column, write
from flowviz.draw.sheets.sheet import EDGE, PAGE, add_axes
from flowviz.draw.sheets.theme import INK, PAPER, SMALL, TEXT, blank
from flowviz.draw.sheets.view import View, head
from flowviz.units import display_unit, shown

COLUMNS = 2
LEFT, FOOT, HEAD = 0.65, 0.55, 0.4  # room beside, below and above a curve's axes for figures and names [in]
WIDE, TALL = (PAGE - 2 * EDGE) / COLUMNS - LEFT, 1.7  # of the axes [in]
KEY = 0.35  # height of the key [in]
SAID = 4  # sentences over the curves
SUBJECT = 18  # letters of a name over a curve, so that it does not reach the next one
LEAST, MARGIN = 10.0, 0.06  # span of a share's axis [%], and what is left free at its ends


def course_view(course: Course) -> View:
    """Every measure that can be better or worse, as a curve with its intervals."""
    drawn = [curve for curve in course.curves if curve.wanted is not None and max(curve.values) > 0]
    columns, rows = COLUMNS, ceil(len(drawn) / COLUMNS)
    figure = blank(1, 1)
    line = columns * (LEFT + WIDE)
    way = shown(course.moved[-1], "length", course.studies[0].scene.show, 3)
    places = f"{short(course.opening, 60)} in {len(course.moved)} places, up to {way} from where it is"
    below = f"{short(course.studies[0].scene.title, 80)}: {places}"
    texts = (*head(course.title, below), *(Text(each, TEXT) for each in course.reasons[1 : 1 + SAID]))
    above = column(texts, line, figure)
    curves = rows * (HEAD + TALL + FOOT)
    figure.set_size_inches(line + 2 * EDGE, EDGE + KEY + curves + above.height + EDGE)
    write(figure, above, EDGE, EDGE + KEY + curves + above.height)
    for number, curve in enumerate(drawn):
        down, across = divmod(number, columns)
        bottom = EDGE + KEY + (rows - 1 - down) * (HEAD + TALL + FOOT) + FOOT
        axes = add_axes(figure, EDGE + across * (LEFT + WIDE) + LEFT, bottom, WIDE, TALL)
        draw_curve(axes, curve, course)
    draw_key(add_axes(figure, EDGE, EDGE, line, KEY), ENTRIES)
    return View(figure, course.title, f"{course.title}. {' '.join(course.reasons)}")


def draw_curve(axes: Axes, curve: Curve, course: Course) -> None:
    """One measure: full where it is best, grey where that is too close to call, hollow where it is worse."""
    system = course.studies[0].scene.show
    unit, per_si = display_unit("length", system)
    own, own_per_si = display_unit(curve.quantity, system)
    x = [way * per_si for way in course.moved]
    y, widths = ([value * own_per_si for value in values] for values in (curve.values, curve.half_widths))
    axes.plot(x, y, color=INK, linewidth=1.0, zorder=2)
    for number, (at, value, width) in enumerate(zip(x, y, widths, strict=True)):
        fill = CLOSE if number in curve.close or not curve.decided else INK if number == curve.best else PAPER
        look = {"markersize": 7, "markerfacecolor": fill, "color": INK, "elinewidth": 1.4, "capsize": 3}
        ends = [width, width] if curve.quantity != "share" else [min(width, value), min(width, 100.0 - value)]
        axes.errorbar(at, value, yerr=np.maximum(ends, 0.0)[:, None], fmt="o", zorder=3, **look)
    if curve.quantity == "share":
        axes.set_ylim(*limits(y, widths))
    name = drawable(f"{short(curve.subject, SUBJECT)}: {curve.label}, {own}")
    axes.annotate(
        name,
        (0, 1),
        xycoords="axes fraction",
        xytext=(0, 5),
        textcoords="offset points",
        **style(name, SMALL, INK, weight="bold"),
    )
    axes.set_xlabel(f"moved, {unit}", fontsize=SMALL, color=INK)
    axes.tick_params(length=3, labelsize=SMALL, labelcolor=INK, color=INK)
    axes.grid(color="#d8dcdf", linewidth=0.8)
    for side in ("right", "top"):
        axes.spines[side].set_visible(False)


def limits(values: list[float], widths: list[float]) -> tuple[float, float]:
    """Of a share's axis [%]: no finer than a tenth of the whole, so that noise does not look like a curve."""
    low = max(min(value - width for value, width in zip(values, widths, strict=True)), 0.0)
    high = min(max(value + width for value, width in zip(values, widths, strict=True)), 100.0)
    low = min(low, max(high - LEAST, 0.0))
    high = max(high, low + LEAST)
    return low - MARGIN * (high - low), high + MARGIN * (high - low)


CLOSE = "#9aa3aa"  # of what is too close to the best to call
ENTRIES = tuple(
    (Line2D([], [], linestyle="-", marker="o", markersize=7, markerfacecolor=fill, color=INK), words)
    for fill, words in ((INK, "best"), (CLOSE, "too close to call"), (PAPER, "worse"))
)
