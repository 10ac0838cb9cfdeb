"""The places of one opening on a plan, and the measures against how far it has moved."""

from math import ceil

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.transforms import Bbox

from flowviz.comparison.course import Course, Curve
from flowviz.draw.flat.openings import room_taken
from flowviz.draw.flat.plan import draw_standing
from flowviz.draw.flat.scale import wall_names
from flowviz.draw.flat.solid import draw_floor_plan
from flowviz.draw.sheets.key import draw_key
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import drawable, short, style
from flowviz.draw.sheets.paragraphs import Text, column, write
from flowviz.draw.sheets.sheet import EDGE, PAGE, add_axes, add_picture
from flowviz.draw.sheets.sheet import MARGIN as MARGIN_ROUND
from flowviz.draw.sheets.theme import INK, PAPER, SMALL, TEXT, blank
from flowviz.draw.sheets.view import View, head
from flowviz.draw.sheets.wording import BARS
from flowviz.units import display_unit, shown

COLUMNS = 2
LEFT, FOOT, HEAD = 0.65, 0.55, 0.4  # room beside, below and above a curve's axes for figures and names [in]
WIDE, TALL = (PAGE - 2 * EDGE) / COLUMNS - LEFT, 1.7  # of the axes [in]
PLAN = 2.2  # height of the tank from above [in]
KEY = 0.35  # height of the key [in]
DOT = 6.0  # half of a place's mark on the plan, that no label should hide [px]
WAY = {"color": INK, "linewidth": 1.2, "markersize": 7, "markerfacecolor": PAPER, "zorder": 6.5}  # look of the places
SAID = 4  # sentences over the curves
SUBJECT = 18  # letters of a name over a curve, so that it does not reach the next one
LEAST, MARGIN = 10.0, 0.06  # span of a share's axis [%], and what is left free at its ends


def course_view(course: Course) -> View:
    """The places on a plan, and every measure that can be better or worse as a curve with its intervals."""
    drawn = [curve for curve in course.curves if curve.wanted is not None and max(curve.values) > 0]
    columns, rows = COLUMNS, ceil(len(drawn) / COLUMNS)
    figure = blank(1, 1)
    line = columns * (LEFT + WIDE)
    way = shown(course.moved[-1], "length", course.studies[0].scene.show, 3)
    places = f"{short(course.opening, 60)} in {len(course.moved)} places, up to {way} from where it is"
    below = f"{short(course.studies[0].scene.title, 80)}: {places}; {BARS}"
    texts = (*head(course.title, below), *(Text(each, TEXT) for each in course.reasons[1 : 1 + SAID]))
    above = column(texts, line, figure)
    size = course.studies[0].scene.tank.plan.size
    inches = min((line - 2 * MARGIN_ROUND) / size[0], PLAN / size[1])
    wide, tall = (inches * side + 2 * MARGIN_ROUND for side in size)
    curves = EDGE + KEY + rows * (HEAD + TALL + FOOT)
    figure.set_size_inches(line + 2 * EDGE, curves + tall + above.height + EDGE)
    write(figure, above, EDGE, curves + tall + above.height)
    draw_places(add_picture(figure, EDGE + (line - wide) / 2, curves, size, inches), course)
    for number, curve in enumerate(drawn):
        down, across = divmod(number, columns)
        bottom = EDGE + KEY + (rows - 1 - down) * (HEAD + TALL + FOOT) + FOOT
        axes = add_axes(figure, EDGE + across * (LEFT + WIDE) + LEFT, bottom, WIDE, TALL)
        draw_curve(axes, curve, course)
    draw_key(add_axes(figure, EDGE, EDGE, line, KEY), ENTRIES)
    return View(figure, course.title, f"{course.title}. {' '.join(course.reasons)}")


def draw_places(axes: Axes, course: Course) -> None:
    """The tank from above, and in it each place by how far it is from the first."""
    scene = course.studies[0].scene
    draw_floor_plan(axes, scene.tank)
    standing = list(draw_standing(axes, scene, {}))
    spots = [at[:2] for at in course.places]
    axes.plot(*zip(*spots, strict=True), "o-", **WAY, clip_on=False)
    ways = [shown(way, "length", scene.show, 3) for way in course.moved]
    labels = [Label(way, spot, weight="bold", nearest=6.0) for way, spot in zip(ways, spots, strict=True)]
    dots = [Bbox(np.array((at, at))).padded(DOT) for at in axes.transData.transform(spots)]
    place(axes, [*labels, *standing, *wall_names(scene.tank)], axes.get_window_extent(), [*room_taken(axes), *dots])


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
