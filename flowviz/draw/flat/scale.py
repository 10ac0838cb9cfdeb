"""How large a flat picture is, and which way it looks."""

from collections.abc import Iterator
from math import atan2, degrees, floor, log10

from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.transforms import Bbox, offset_copy

from flowviz.draw.sheets.labels import Label
from flowviz.draw.sheets.lettering import short, style
from flowviz.draw.sheets.theme import INK, QUIET, SMALL
from flowviz.scene.model import Tank
from flowviz.units import System, display_unit, shown

SHARE = 0.25  # of the picture's width, that the scale bar may take at most
BELOW = 14.0  # of the floor [pt]
ASIDE = 0.66  # place of its middle, of the picture's width: walls are named in the middle, ends at the ends
NAMED_AT = (1 / 2, 1 / 3, 2 / 3, 1 / 6, 5 / 6)  # shares of a wall's length where its name may stand, best first
NARROW = 2.0  # tank in a picture, in which two names and the scale bar do not go below it side by side [in]
ENDS = {0: ("front", "back"), 1: ("left", "right")}  # of upright sections square to x and y


def draw_scale_bar(axes: Axes, width: float, system: System) -> Bbox:
    """A bar of a round length below a picture of this width [m]; the room that it takes, all told [px]."""
    length = round_length(SHARE * width, system)
    middle = ASIDE * width
    ends = (middle - length / 2, middle + length / 2)
    below = offset_copy(axes.transData, axes.figure, y=-BELOW, units="points")
    look = {"color": INK, "linewidth": 1.5, "marker": "|", "clip_on": False, "zorder": 9}
    bar = axes.add_line(Line2D(ends, (0, 0), transform=below, **look))
    words = shown(length, "length", system)
    under = offset_copy(axes.transData, axes.figure, y=-BELOW - 4, units="points")
    text = axes.text(middle, 0, words, transform=under, **style(words, SMALL, INK, ha="center", va="top", zorder=9))
    return Bbox.union([artist.get_window_extent() for artist in (bar, text)])


def round_length(longest: float, system: System) -> float:
    """The largest length [m] that is no longer and has a round figure in the unit it is shown in."""
    _, per_si = display_unit("length", system)
    power = 10.0 ** floor(log10(longest * per_si))
    return max(figure * power for figure in (1, 2, 5) if figure * power <= longest * per_si) / per_si


def draw_ends(axes: Axes, width: float, axis: int) -> list[Bbox]:
    """The names of the two ends of an upright section of this width [m]; of a narrow one outside; their room [px]."""
    below = offset_copy(axes.transData, axes.figure, y=-BELOW, units="points")
    (left, _), (right, _) = axes.transData.transform(((0.0, 0.0), (width, 0.0)))
    sides = ("left", "right") if right - left >= NARROW * axes.figure.dpi else ("right", "left")
    return [
        axes.text(
            at, 0, words, transform=below, **style(words, SMALL, QUIET, ha=side, va="center", zorder=9)
        ).get_window_extent()
        for at, words, side in zip((0.0, width), ENDS[axis], sides, strict=True)
    ]


def wall_names(tank: Tank) -> Iterator[Label]:
    """The names of the walls along them, outside, in a picture from above."""
    for wall in tank.plan.walls:
        (x, y), (to_x, to_y), (inward_x, inward_y) = wall.start, wall.end, wall.normal
        turn = (degrees(atan2(to_y - y, to_x - x)) + 90) % 180 - 90
        middle, *further = [(x + share * (to_x - x), y + share * (to_y - y)) for share in NAMED_AT]
        yield Label(
            short(wall.name),
            middle,
            ink=QUIET,
            paper="none",
            edge="none",
            turn=turn,
            nearest=4.0,
            lean=(-inward_x, -inward_y),
            along=tuple(further),
        )
