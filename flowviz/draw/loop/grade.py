"""Grade lines: total head along the way from an intake to an outlet, over the height of the way."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from math import radians, sin

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.transforms import Bbox, offset_copy

from flowviz.draw.loop.page import ruled
from flowviz.draw.loop.profile import Drop, Profile, suctions
from flowviz.draw.loop.spacing import apart
from flowviz.draw.loop.words import costliest, head_words, part_words
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import drawable, short, style
from flowviz.draw.sheets.paragraphs import Text, width_of
from flowviz.draw.sheets.theme import INK, PAPER, QUIET, SMALL, blank
from flowviz.draw.sheets.wording import badges
from flowviz.plumbing.grade import Station
from flowviz.plumbing.loop import Loop
from flowviz.plumbing.pipes import pipe_name
from flowviz.scene.model import Scene
from flowviz.units import System, display_unit

GROUND = "#e4e6e8"  # below the height of the way
WORTH = 0.03  # share of the lift from which a part is named on the line
ROOM = 0.12  # of the range of heads, left free above and below
NAME_GAP = 0.19  # between the names of places [in]
LONGEST, TURN = 20, 40  # letters of a place's name over the chart, and how it is turned [°]
MARK = 6.0  # half the size of what is spared around a corner of the line [pt]


def draw_grade(
    axes: Axes,
    scene: Scene,
    loop: Loop,
    main: Profile,
    others: Iterable[Profile],
    most: int,
    further: Iterable[Label] = (),
) -> None:
    """One way with its parts named, so many at most and the costliest first, and the others as broken lines."""
    unit, scale = display_unit("head", scene.show)
    ways = (main, *others)
    ruled(axes, f"length of the way [{unit}]", f"above the water surface [{unit}]")
    axes.set_xlim(0, scale * 1.02 * max(way.distances[-1] for way in ways))
    axes.set_ylim(*(scale * end for end in _range(ways)))
    draw_height(axes, main, scale)
    for way in others:
        draw_line(axes, way.line.stations, scale, 0.9, (0, (4, 2)))
    draw_line(axes, main.line.stations, scale, 2.0, "-")
    name_places(axes, main, scale)
    labels = [*costliest_label(axes, scene, loop, main, scale), *further]
    labels += [badge(way, badges(scene), scale) for way in ways]
    labels += [part_label(drop, scene, scale) for drop in named(main, most)]
    place(axes, labels, axes.get_window_extent(), corners(axes, main, scale))


def named(way: Profile, most: int) -> Sequence[Drop]:
    """The parts of a way that are named on its line, the costliest first."""
    worth = (drop for drop in way.drops if drop.head >= WORTH * way.lift)
    return sorted(worth, key=lambda drop: -drop.head)[:most]


def draw_line(axes: Axes, stations: Sequence[Station], scale: float, width: float, dashes: object) -> None:
    """The total head along a way."""
    points = [(scale * station.distance, scale * station.head) for station in stations]
    look = {"linewidth": width, "linestyle": dashes, "solid_capstyle": "butt", "solid_joinstyle": "miter"}
    axes.add_line(Line2D(*zip(*points, strict=True), color=INK, zorder=5, **look))


def draw_height(axes: Axes, way: Profile, scale: float) -> None:
    """How high the way itself lies, as ground."""
    across, up = ([scale * value for value in values] for values in (way.distances, way.heights))
    axes.fill_between(across, up, axes.get_ylim()[0], facecolor=GROUND, linewidth=0, zorder=1)
    axes.add_line(Line2D(across, up, color=QUIET, linewidth=1.2, zorder=2))
    axes.axhline(0, color=QUIET, linewidth=0.9, linestyle=(0, (1, 2)), zorder=2)


def costliest_label(axes: Axes, scene: Scene, loop: Loop, way: Profile, scale: float) -> Iterator[Label]:
    """The costliest pipe drawn heavier, where it lies on this way, and what it takes, white on black."""
    number = costliest(loop)
    if number not in way.line.pipes:
        return
    pairs = list(pairwise(way.line.stations))
    own = [pair for pair in pairs if pair[1].where == pipe_name(loop.pipes[number])]
    stations = [own[0][0], *(after for _, after in own)]
    draw_line(axes, stations, scale, 5.0, "-")
    middle = stations[len(stations) // 2]
    words = f"costs most: {head_words(abs(loop.pipes[number].loss), scene.show)}"
    at = scale * middle.distance, scale * middle.head
    yield Label(words, at, ink=PAPER, paper=INK, weight="bold", nearest=12.0, lean=(0.7, 0.7))


def suction_labels(axes: Axes, scene: Scene, loop: Loop, way: Profile) -> Iterator[Label]:
    """The lowest pressure before the pump, and the one at the pump, marked and told."""
    found, (_, scale) = suctions(way, loop), display_unit("head", scene.show)
    if not found:
        return
    lowest, last = min(found, key=lambda each: each.pressure), found[-1]
    told = {"lowest pressure, at the pump": last}
    if lowest is not last:
        told = {"at the pump": last, "lowest pressure before the pump": lowest}
    for words, each in told.items():
        at = scale * each.distance, scale * each.head
        axes.plot(*at, "v", markersize=8, markerfacecolor=PAPER, markeredgecolor=INK, zorder=7, clip_on=False)
        words = f"{words}:\n{pressure_words(each.pressure, scene.show)}"
        yield Label(words, at, nearest=12.0, lean=(0.0, -1.0))


def pressure_words(pressure: float, show: System) -> str:
    """A pressure as a height of water, against that of the air."""
    return f"{head_words(abs(pressure), show)} {'above' if pressure >= 0 else 'BELOW'} air pressure"


def part_label(drop: Drop, scene: Scene, scale: float) -> Label:
    """What a part takes."""
    words = f"{part_words(drop.part, scene)}: {head_words(drop.head, scene.show)}"
    return Label(words, (scale * drop.distance, scale * drop.middle), nearest=4.0, lean=(0.7, 0.7))


def badge(way: Profile, letters: Mapping[str, str], scale: float) -> Label:
    """The letter of the outlet at the end of its way."""
    end = way.line.stations[-1]
    at = scale * end.distance, scale * end.head
    return Label(letters[way.line.outlet], at, box="circle,pad=0.25", weight="bold", nearest=4.0, lean=(0.0, -1.0))


def names_height(ways: Iterable[Profile]) -> float:
    """Room that the names of the places take over a chart [in]."""
    figure = blank(1, 1)
    words = {drawable(short(name, LONGEST)) for way in ways for name in way.places}
    widest = max(width_of(name, Text(name, SMALL), figure) for name in words)
    return widest * sin(radians(TURN)) + 0.3


def name_places(axes: Axes, way: Profile, scale: float) -> None:
    """The places on the way over the chart, each with a line down to where it is."""
    inches = axes.get_window_extent().width / axes.figure.dpi
    per_unit = inches / (axes.get_xlim()[1] - axes.get_xlim()[0])
    at = [scale * distance for distance in way.distances]
    spread = apart([per_unit * x for x in at], NAME_GAP)
    top = axes.get_ylim()[1]
    above = offset_copy(axes.get_xaxis_transform(), axes.figure, y=10, units="points")
    for name, x, moved in zip(way.places, at, spread, strict=True):
        axes.axvline(x, color=QUIET, linewidth=0.6, linestyle=(0, (1, 2)), zorder=1)
        look = {"arrowstyle": "-", "color": QUIET, "linewidth": 0.6, "shrinkA": 0, "shrinkB": 0}
        words = drawable(short(name, LONGEST))
        turned = {"rotation": TURN, "rotation_mode": "anchor", "ha": "left", "va": "bottom"}
        axes.annotate("", (x, top), (moved / per_unit, 1.0), textcoords=above, arrowprops=look, annotation_clip=False)
        axes.text(moved / per_unit, 1.0, words, transform=above, **style(words, SMALL, INK, **turned))


def corners(axes: Axes, way: Profile, scale: float) -> list[Bbox]:
    """Boxes along a grade line that labels are to spare, in pixels."""
    points = [(scale * station.distance, scale * station.head) for station in way.line.stations]
    dots = axes.transData.transform(points)
    half = MARK * axes.figure.dpi / 72
    return [Bbox((np.minimum(*pair) - half, np.maximum(*pair) + half)) for pair in pairwise(dots)]


def _range(ways: Sequence[Profile]) -> tuple[float, float]:
    """Of all heads and heights [m], with room for labels."""
    values = [station.head for way in ways for station in way.line.stations]
    values += [height for way in ways[:1] for height in way.heights]
    room = ROOM * (max(values) - min(values))
    return min(values) - room, max(values) + 2 * room
