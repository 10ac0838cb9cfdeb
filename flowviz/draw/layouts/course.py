"""The places of one opening on a plan, and the measures against how far it has moved."""

from collections.abc import Iterator

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.transforms import Bbox

from flowviz.comparison.course import Course
from flowviz.draw.flat.openings import room_taken
from flowviz.draw.flat.plan import draw_standing
from flowviz.draw.flat.scale import wall_names
from flowviz.draw.flat.solid import draw_floor_plan
from flowviz.draw.layouts.curves import Along, Picture, curves_page
from flowviz.draw.layouts.stack import LINE
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.paragraphs import Text
from flowviz.draw.sheets.sheet import EDGE, MARGIN, add_picture
from flowviz.draw.sheets.theme import INK, PAPER, QUIET, TEXT, TITLE
from flowviz.draw.sheets.view import View
from flowviz.draw.sheets.wording import BARS
from flowviz.scene.model import Vector
from flowviz.units import display_unit, shown

PLAN = 2.2  # height of the tank from above [in]
DOT = 6.0  # half of a place's mark on the plan, that no label should hide [px]
APART = 45.0  # between places that are all named [px]
WAY = {"color": INK, "linewidth": 1.2, "markersize": 7, "markerfacecolor": PAPER, "zorder": 6.5}  # look of the places
SAID, LINES = 4, 4  # sentences over the charts, and lines of the title


def course_view(course: Course) -> View:
    """The places on a plan, and the measures along the way."""
    system = course.studies[0].scene.show
    unit, per_si = display_unit("length", system)
    along = Along([way * per_si for way in course.moved], f"moved, {unit}", way=True)
    figure = curves_page(course.curves, words_above(course), along, system, plan(course))
    return View(figure, course.title, f"{course.title}. {' '.join(course.reasons)}")


def plan(course: Course) -> Picture:
    """The tank from above, and in it the places."""
    size = course.studies[0].scene.tank.plan.size
    inches = min((LINE - 2 * MARGIN) / size[0], PLAN / size[1])
    wide, tall = (inches * side + 2 * MARGIN for side in size)

    def draw(figure: Figure, foot: float) -> None:
        draw_places(add_picture(figure, EDGE + (LINE - wide) / 2, foot, size, inches), course)

    return Picture(tall, draw)


def words_above(course: Course) -> tuple[Text, ...]:
    """The title, what was looked at, and where each measure that tells places apart is best."""
    way = shown(course.moved[-1], "length", course.studies[0].scene.show, 3)
    places = f"{short(course.opening, 60)} in {len(course.moved)} places, up to {way} from where it is"
    looked_at = Text(f"{short(course.studies[0].scene.title, 80)}: {places}; {BARS}", TEXT, QUIET)
    decided = sum(each.decided for each in course.curves)
    told = course.reasons[1 : 1 + min(SAID, decided)]
    return Text(course.title, TITLE, INK, "bold", LINES), looked_at, *(Text(each, TEXT) for each in told)


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
