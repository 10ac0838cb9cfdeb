"""The places of one opening on a plan, and the measures against how far it has moved."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.transforms import Bbox

from flowviz.comparison.course import Course, Curve
from flowviz.draw.flat.openings import room_taken
from flowviz.draw.flat.plan import draw_standing
from flowviz.draw.flat.scale import wall_names
from flowviz.draw.flat.solid import draw_floor_plan
from flowviz.draw.layouts.stack import LINE
from flowviz.draw.sheets.key import draw_key
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import drawable, short, style
from flowviz.draw.sheets.paragraphs import Text, column, write
from flowviz.draw.sheets.sheet import EDGE, PAGE, PAGE_HEIGHT, add_axes, add_picture
from flowviz.draw.sheets.sheet import MARGIN as MARGIN_ROUND
from flowviz.draw.sheets.theme import INK, PAPER, QUIET, SMALL, TEXT, TITLE, blank
from flowviz.draw.sheets.view import View
from flowviz.draw.sheets.wording import BARS
from flowviz.scene.model import Vector
from flowviz.units import display_unit, shown

LEFT, FOOT, HEAD = 0.55, 0.3, 0.55  # room beside, below and above a curve's axes for figures and names [in]
TALL, ACROSS, DOWN = 1.7, 3, 3  # height of the axes where there is room [in], and how many a page has at most
PLAN = 2.2  # height of the tank from above [in]
KEY, AXIS = 0.35, 0.25  # height of the key, and of what the lowest axes are labelled with [in]
DOT = 6.0  # half of a place's mark on the plan, that no label should hide [px]
APART = 45.0  # between places that are all named [px]
WAY = {"color": INK, "linewidth": 1.2, "markersize": 7, "markerfacecolor": PAPER, "zorder": 6.5}  # look of the places
SAID, LINES = 4, 4  # sentences over the curves, and lines of the title
LEFT_OUT = 8  # lines below that name what has no curve
LEAST, MARGIN = 10.0, 0.06  # span of a share's axis [%], and what is left free at its ends


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


def course_view(course: Course) -> View:
    """The places on a plan, and the measures that can be better or worse as curves with their intervals.

    Those with a surely worse place come first; where the page has no room for more, the others are named below.
    """
    drawn, left_out = with_room([each for each in course.curves if each.wanted is not None and max(each.values) > 0])
    figure = blank(1, 1)
    above = column(words_above(course), LINE, figure)
    below = column([Text(each, SMALL, most=LEFT_OUT) for each in words_below(left_out)], LINE, figure)
    size = course.studies[0].scene.tank.plan.size
    inches = min((LINE - 2 * MARGIN_ROUND) / size[0], PLAN / size[1])
    wide, tall = (inches * side + 2 * MARGIN_ROUND for side in size)
    base = EDGE + below.height + KEY + AXIS
    columns = 2 if len(drawn) <= 4 else ACROSS
    rows = ceil(len(drawn) / columns)
    free = PAGE_HEIGHT - base - tall - above.height - EDGE
    room = Room(columns, rows, base, min(TALL, free / max(rows, 1) - HEAD - FOOT))
    curves = base + rows * (HEAD + room.tall + FOOT)
    figure.set_size_inches(PAGE, curves + tall + above.height + EDGE)
    write(figure, above, EDGE, curves + tall + above.height)
    write(figure, below, EDGE, EDGE + below.height)
    draw_places(add_picture(figure, EDGE + (LINE - wide) / 2, curves, size, inches), course)
    for number, curve in enumerate(drawn):
        draw_curve(room.axes(number, figure), curve, course, lowest=number + columns >= len(drawn))
    draw_key(add_axes(figure, EDGE, EDGE + below.height, LINE, KEY), ENTRIES)
    return View(figure, course.title, f"{course.title}. {' '.join(course.reasons)}")


def with_room(curves: Sequence[Curve]) -> tuple[list[Curve], list[Curve]]:
    """The curves that a page has room for, in their order, and the others; those that tell places apart go first."""
    first = sorted(curves, key=lambda each: not each.decided)[: ACROSS * DOWN]
    return [each for each in curves if each in first], [each for each in curves if each not in first]


def words_above(course: Course) -> tuple[Text, ...]:
    """The title, what was looked at, and where each measure that tells places apart is best."""
    way = shown(course.moved[-1], "length", course.studies[0].scene.show, 3)
    places = f"{short(course.opening, 60)} in {len(course.moved)} places, up to {way} from where it is"
    looked_at = Text(f"{short(course.studies[0].scene.title, 80)}: {places}; {BARS}", TEXT, QUIET)
    decided = sum(each.decided for each in course.curves)
    told = course.reasons[1 : 1 + min(SAID, decided)]
    return Text(course.title, TITLE, INK, "bold", LINES), looked_at, *(Text(each, TEXT) for each in told)


def words_below(left_out: Sequence[Curve]) -> Iterator[str]:
    """The measures that have no curve."""
    for decided, start in ((True, "Not drawn for want of room"), (False, "Not drawn, as too close to call anywhere")):
        names = [f"{short(each.subject)}, {each.label}" for each in left_out if each.decided == decided]
        if names:
            yield f"{start}: {'; '.join(names)}."


def draw_places(axes: Axes, course: Course) -> None:
    """The tank from above, and in it the places by how far they are from the first."""
    scene = course.studies[0].scene
    draw_floor_plan(axes, scene.tank)
    standing = list(draw_standing(axes, scene, {}))
    spots = [at[:2] for at in course.places]
    axes.plot(*zip(*spots, strict=True), "o-", **WAY, clip_on=False)
    pixels = axes.transData.transform(spots)
    labels = list(way_labels(course, float(np.linalg.norm(pixels[-1] - pixels[0]))))
    dots = [Bbox(np.array((at, at))).padded(DOT) for at in pixels]
    place(axes, [*labels, *standing, *wall_names(scene.tank)], axes.get_window_extent(), [*room_taken(axes), *dots])


def way_labels(course: Course, length: float) -> Iterator[Label]:
    """What names the places of a way that is so long on the plan [px]: its ends alone where the others have no room,
    and all at once where it goes straight up or down.
    """
    ways = [shown(way, "length", course.studies[0].scene.show, 3) for way in course.moved]
    if length < DOT:
        up = course.places[-1][2] > course.places[0][2]
        yield place_label(f"{ways[0]} to {ways[-1]}, straight {'up' if up else 'down'}", course.places[0])
        return
    every = range(len(ways)) if length >= APART * (len(ways) - 1) else (0, len(ways) - 1)
    for number in every:
        yield place_label(ways[number], course.places[number])


def place_label(words: str, at: Vector) -> Label:
    """One of them."""
    return Label(words, at[:2], weight="bold", nearest=6.0)


def draw_curve(axes: Axes, curve: Curve, course: Course, lowest: bool) -> None:
    """One measure: full where it is best, grey where that is too close to call, hollow where it is worse.

    lowest   whether no other stands below, so that it tells what lies along all of them
    """
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
    name = drawable(f"{short(curve.subject)}\n{curve.label}, {own}")
    axes.annotate(
        name,
        (0, 1),
        xycoords="axes fraction",
        xytext=(0, 5),
        textcoords="offset points",
        **style(name, SMALL, INK, weight="bold"),
    )
    if lowest:
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
