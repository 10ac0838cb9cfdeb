"""Where everything in the diagram of a loop stands [in]."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure

from flowviz.draw.loop.bends import Joint, Place, joints, levels
from flowviz.draw.loop.order import neighbours, ordered
from flowviz.draw.loop.ranks import Climb, Vertex, rows_and_climbs
from flowviz.draw.loop.spacing import spaced
from flowviz.draw.loop.words import Note, folded, notes, pipe_notes
from flowviz.draw.sheets.lettering import drawable
from flowviz.draw.sheets.paragraphs import LEADING, Text, width_of
from flowviz.draw.sheets.theme import SMALL
from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Scene

PAD = 0.07  # of a box round its words
BETWEEN = 0.16  # boxes of a row
PASSING = 0.3  # width of a pipe that passes a row
ARROW_ROOM, VALVE_ROOM = 0.17, 0.19  # below what is written beside a pipe: for the way of its water, and each valve
CHANNEL, TRACK = 0.14, 0.1  # least height between rows, and what each level of bends adds
LINE = SMALL * LEADING / 72  # height of a line of words

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Box:
    """Words in their place, x to the right and y up from the lower left corner of the diagram."""

    note: Note
    middle: float
    bottom: float
    width: float
    height: float

    @property
    def top(self) -> float:
        """Upper edge."""
        return self.bottom + self.height


@dataclass(frozen=True, slots=True)
class Chart:
    """A diagram before it is drawn."""

    width: float
    height: float
    places: Mapping[str, Box]  # openings, pumps, junctions
    pipes: tuple[Box, ...]  # what is written beside each pipe, in the scene's order
    ways: tuple[tuple[Point, ...], ...]  # corners of each pipe from below to above, in the scene's order
    rising: tuple[bool, ...]  # whether its water climbs in the diagram, in the scene's order
    floors: tuple[float, ...]  # below each row of places, from the lowest: only upright pipes cross these heights


@dataclass(frozen=True, slots=True)
class Storeys:
    """How high the rows lie."""

    bottoms: Mapping[int, float]
    heights: Mapping[int, float]
    bends: Mapping[int, Mapping[Place, int]]  # levels between a row and the next

    def middle(self, row: int) -> float:
        """Of a row."""
        return self.bottoms[row] + self.heights[row] / 2

    def level(self, row: int, place: Place) -> float:
        """On which the pipes at a place turn aside over a row."""
        return self.bottoms[row] + self.heights[row] + CHANNEL / 2 + TRACK * (self.bends[row][place] + 0.5)


def chart(scene: Scene, loop: Loop, figure: Figure, widest: float = math.inf) -> Chart:
    """The diagram of a loop; the figure serves to measure letters.

    widest  row whose notes stand in long lines; wider ones have them in more and shorter ones [in]
    """
    rows, climbs = rows_and_climbs(scene, loop)
    labels: dict[Vertex, Note] = dict(zip((climb.label for climb in climbs), pipe_notes(scene, loop), strict=True))
    words = _broken({**notes(scene, loop), **labels}, rows, widest, figure)
    labels = {label: words[label] for label in labels}
    widths = {vertex: room(words[vertex], figure) if vertex in words else PASSING for vertex in rows}
    near = neighbours(rows, climbs)
    middles = spaced(ordered(rows, climbs), rows, near, widths)
    parts = [tuple(joints(climb, rows, middles, widths)) for climb in climbs]
    storeys = _storeys(rows, words, labels, [joint for each in parts for joint in each])
    boxes = {
        vertex: _box(note, middles[vertex], widths[vertex], rows[vertex], storeys) for vertex, note in words.items()
    }
    return Chart(
        max(middles[vertex] + widths[vertex] / 2 for vertex in rows),
        max(box.top for box in boxes.values()),
        {vertex: box for vertex, box in boxes.items() if vertex not in labels},
        tuple(boxes[climb.label] for climb in climbs),
        tuple(_way(climb, each, rows, storeys) for climb, each in zip(climbs, parts, strict=True)),
        tuple(not climb.suction for climb in climbs),
        tuple(max(bottom - CHANNEL / 2, 0.0) for row, bottom in storeys.bottoms.items() if row % 2 == 0),
    )


def _broken(
    words: Mapping[Vertex, Note], rows: Mapping[Vertex, int], widest: float, figure: Figure
) -> Mapping[Vertex, Note]:
    """The notes, folded in those rows that would be wider than the widest."""
    wide = dict.fromkeys(rows.values(), 0.0)
    for vertex, row in rows.items():
        wide[row] += room(words[vertex], figure) if vertex in words else PASSING
    return {vertex: folded(note) if wide[rows[vertex]] > widest else note for vertex, note in words.items()}


def room(note: Note, figure: Figure) -> float:
    """Width that a note takes with the gap to the next [in]."""
    bold = [Text(drawable(words), SMALL, weight="bold") for words in (note.name, note.alarm) if words]
    texts = (*bold, *(Text(drawable(words), SMALL) for words in note.lines))
    return max(width_of(text.words, text, figure) for text in texts) + 2 * PAD + BETWEEN


def tall(note: Note) -> float:
    """Height of a note in its box [in]."""
    return (1 + len(note.lines) + bool(note.alarm)) * LINE + 2 * PAD


def _storeys(
    rows: Mapping[Vertex, int], words: Mapping[Vertex, Note], labels: Mapping[Vertex, Note], parts: Sequence[Joint]
) -> Storeys:
    """The rows stacked, each as high as its highest box and with room for the bends above it."""
    heights = dict.fromkeys(sorted(set(rows.values())), 0.0)
    for vertex, note in words.items():
        below = ARROW_ROOM + VALVE_ROOM * len(note.valves) if vertex in labels else 0.0
        heights[rows[vertex]] = max(heights[rows[vertex]], tall(note) + below)
    bends = {row: levels(part for part in parts if part.row == row) for row in heights}
    bottoms, bottom = {}, 0.0
    for row, height in heights.items():
        bottoms[row] = bottom
        bottom += height + CHANNEL + TRACK * len(bends[row])
    return Storeys(bottoms, heights, bends)


def _box(note: Note, middle: float, width: float, row: int, storeys: Storeys) -> Box:
    """A place's box stands in the middle of its row, a pipe's at the top of its own."""
    spare = storeys.heights[row] - tall(note)
    return Box(note, middle, storeys.bottoms[row] + (spare if row % 2 else spare / 2), width - BETWEEN, tall(note))


def _way(climb: Climb, parts: Sequence[Joint], rows: Mapping[Vertex, int], storeys: Storeys) -> tuple[Point, ...]:
    """The corners of a pipe."""
    way: list[Point] = []
    for part, vertex in zip(parts, climb.vertices, strict=False):
        corners = [(part.below, storeys.middle(part.row))]
        if part.place in storeys.bends[part.row]:
            level = storeys.level(part.row, part.place)
            corners += [(part.below, level), (part.above, level)]
        corners.append((part.above, storeys.middle(part.row + 1)))
        way += corners if rows[vertex] == part.row else corners[::-1]
    return tuple(way)
