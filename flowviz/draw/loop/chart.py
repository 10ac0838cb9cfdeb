"""Where everything in the diagram of a loop stands [in]."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure

from flowviz.draw.loop.bends import Joint, Place, joints, levels
from flowviz.draw.loop.crowd import Line, worded
from flowviz.draw.loop.order import neighbours, ordered
from flowviz.draw.loop.ranks import Climb, Vertex, rows_and_climbs
from flowviz.draw.loop.room import tall, vertex_widths, wide
from flowviz.draw.loop.spacing import spaced
from flowviz.draw.loop.words import Note
from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Scene

ARROW_ROOM, VALVE_ROOM = 0.19, 0.22  # below what is written beside a pipe: for the way of its water, and each valve
CHANNEL, TRACK = 0.14, 0.1  # least height between rows, and what each level of bends adds

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
    listed: tuple[Line, ...]  # what is told of what has a tag alone


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


def chart(scene: Scene, loop: Loop, figure: Figure, widest: float = math.inf, crowded: float = math.inf) -> Chart:
    """The diagram of a loop; the figure serves to measure letters.

    widest   row whose notes stand in long lines; wider ones have them in more and shorter ones [in]
    crowded  row that holds notes; wider ones have tags in their place, and the notes stand in a list [in]
    """
    rows, climbs = rows_and_climbs(scene, loop)
    words, listed = worded(scene, loop, rows, climbs, (widest, crowded), figure)
    widths, near = vertex_widths(words, rows, figure), neighbours(rows, climbs)
    middles = spaced(ordered(rows, climbs), rows, near, widths)
    parts = [tuple(joints(climb, rows, middles, widths)) for climb in climbs]
    sizes = {vertex: (wide(note, figure), tall(note, figure)) for vertex, note in words.items()}
    storeys = _storeys(_heights(rows, climbs, words, sizes), [joint for each in parts for joint in each])
    boxes = {each: _box(note, middles[each], sizes[each], rows[each], storeys) for each, note in words.items()}
    labels = [climb.label for climb in climbs]
    return Chart(
        max(middles[vertex] + widths[vertex] / 2 for vertex in rows),
        max(box.top for box in boxes.values()),
        {vertex: box for vertex, box in boxes.items() if vertex not in labels},
        tuple(boxes[label] for label in labels),
        tuple(_way(climb, each, rows, storeys) for climb, each in zip(climbs, parts, strict=True)),
        tuple(not climb.suction for climb in climbs),
        tuple(max(bottom - CHANNEL / 2, 0.0) for row, bottom in storeys.bottoms.items() if row % 2 == 0),
        listed,
    )


def _heights(
    rows: Mapping[Vertex, int],
    climbs: Sequence[Climb],
    words: Mapping[Vertex, Note],
    sizes: Mapping[Vertex, tuple[float, float]],
) -> Mapping[int, float]:
    """Of the rows: as high as the highest box in each, below those of pipes with room for arrow and valves."""
    below = {climb.label: ARROW_ROOM + VALVE_ROOM * len(words[climb.label].valves) for climb in climbs}
    heights = dict.fromkeys(sorted(set(rows.values())), 0.0)
    for vertex, (_, height) in sizes.items():
        heights[rows[vertex]] = max(heights[rows[vertex]], height + below.get(vertex, 0.0))
    return heights


def _storeys(heights: Mapping[int, float], parts: Sequence[Joint]) -> Storeys:
    """The rows stacked, each with room for the bends above it."""
    bends = {row: levels(part for part in parts if part.row == row) for row in heights}
    bottoms, bottom = {}, 0.0
    for row, height in heights.items():
        bottoms[row] = bottom
        bottom += height + CHANNEL + TRACK * len(bends[row])
    return Storeys(bottoms, heights, bends)


def _box(note: Note, middle: float, size: tuple[float, float], row: int, storeys: Storeys) -> Box:
    """A place's box stands in the middle of its row, a pipe's at the top of its own."""
    width, height = size
    spare = storeys.heights[row] - height
    return Box(note, middle, storeys.bottoms[row] + (spare if row % 2 else spare / 2), width, height)


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
