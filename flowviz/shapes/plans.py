"""Floor plans of tanks: polygons and discs, and the upright walls that stand on their edges."""

from dataclasses import dataclass
from math import cos, hypot, pi, sin
from typing import Protocol

import numpy as np

Point = tuple[float, float]
DISC_CORNERS = 96  # of the polygon a disc is drawn as


@dataclass(frozen=True, slots=True)
class Wall:
    """An upright flat wall of the tank, seen in the floor plan."""

    name: str
    start: Point  # [m]; the water is to the left on the way from start to end
    end: Point

    @property
    def length(self) -> float:
        """[m]"""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    @property
    def normal(self) -> Point:
        """Unit vector into the water."""
        return ((self.start[1] - self.end[1]) / self.length, (self.end[0] - self.start[0]) / self.length)


class FloorPlan(Protocol):
    """The floor of the tank seen from above, in its lower left corner at x = 0 and y = 0."""

    @property
    def walls(self) -> tuple[Wall, ...]: ...  # a disc has none: its one panel is called "wall"

    @property
    def panel_names(self) -> tuple[str, ...]: ...  # of the upright panels

    @property
    def size(self) -> Point: ...  # along x and y [m]

    @property
    def area(self) -> float: ...  # [m²]

    def distance(self, points: np.ndarray) -> np.ndarray:
        """Signed distance of points (n, 2) [m] to the walls: (n,) [m], negative in the water."""

    def outline(self) -> np.ndarray:
        """Corners for drawing (n, 2) [m], counter-clockwise; a disc gives a fine polygon."""


@dataclass(frozen=True, slots=True)
class Polygon:
    """A floor with straight edges that do not cross each other.

    Corners may be given either way round and are kept counter-clockwise.
    """

    corners: tuple[Point, ...]  # [m]
    names: tuple[str, ...]  # of the walls; the first goes from the first corner to the second

    def __post_init__(self) -> None:
        if _twice_area(self.corners) < 0:
            object.__setattr__(self, "corners", (self.corners[0], *self.corners[:0:-1]))
            object.__setattr__(self, "names", tuple(reversed(self.names)))

    @property
    def walls(self) -> tuple[Wall, ...]:
        """One for each edge."""
        ends = (*self.corners[1:], self.corners[0])
        return tuple(Wall(*wall) for wall in zip(self.names, self.corners, ends, strict=True))

    @property
    def panel_names(self) -> tuple[str, ...]:
        """Names of the upright panels."""
        return self.names

    @property
    def size(self) -> Point:
        """Farthest corner along x and along y [m]."""
        return (max(x for x, _ in self.corners), max(y for _, y in self.corners))

    @property
    def area(self) -> float:
        """[m²]"""
        return _twice_area(self.corners) / 2

    def distance(self, points: np.ndarray) -> np.ndarray:
        """Signed distance of points (n, 2) [m] to the walls: (n,) [m], negative in the water."""
        nearest = np.full(len(points), np.inf)
        inside = np.zeros(len(points), bool)
        for wall in self.walls:
            nearest = np.minimum(nearest, _distance_to_edge(points, wall.start, wall.end))
            inside ^= _left_of_crossing(points, wall.start, wall.end)
        return np.where(inside, -nearest, nearest)

    def outline(self) -> np.ndarray:
        """Corners (n, 2) [m], counter-clockwise."""
        return np.array(self.corners)


@dataclass(frozen=True, slots=True)
class Disc:
    """The round floor of a cylinder, touching the axes x = 0 and y = 0."""

    diameter: float  # [m]

    @property
    def walls(self) -> tuple[Wall, ...]:
        """None is flat."""
        return ()

    @property
    def panel_names(self) -> tuple[str, ...]:
        """The one panel."""
        return ("wall",)

    @property
    def size(self) -> Point:
        """Along x and y [m]."""
        return (self.diameter, self.diameter)

    @property
    def area(self) -> float:
        """[m²]"""
        return pi / 4 * self.diameter**2

    def distance(self, points: np.ndarray) -> np.ndarray:
        """Signed distance of points (n, 2) [m] to the wall: (n,) [m], negative in the water."""
        radius = self.diameter / 2
        return np.hypot(points[:, 0] - radius, points[:, 1] - radius) - radius

    def outline(self) -> np.ndarray:
        """Corners (n, 2) [m] of a fine polygon, counter-clockwise."""
        radius = self.diameter / 2
        angles = (2 * pi * corner / DISC_CORNERS for corner in range(DISC_CORNERS))
        return np.array([(radius + radius * cos(angle), radius + radius * sin(angle)) for angle in angles])


def rectangle(length: float, width: float) -> Polygon:
    """The common floor: front along y = 0, left along x = 0."""
    return Polygon(((0, 0), (length, 0), (length, width), (0, width)), ("front", "right", "back", "left"))


def crossing(corners: tuple[Point, ...]) -> tuple[int, int] | None:
    """Numbers of the first two edges that cross or touch although they are not neighbours, or None.

    Edge 0 goes from the first corner to the second.
    """
    edges = list(zip(corners, (*corners[1:], corners[0]), strict=True))
    for first in range(len(edges)):
        for second in range(first + 1, len(edges)):
            neighbours = second - first in (1, len(edges) - 1)
            if not neighbours and _meet(*edges[first], *edges[second]):
                return (first, second)
    return None


def _twice_area(corners: tuple[Point, ...]) -> float:
    """Positive where the corners run counter-clockwise [m²]."""
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, (*corners[1:], corners[0]), strict=True))


def _side(a: Point, b: Point, p: Point) -> float:
    """Positive where p lies left of the way from a to b [m²]."""
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])


def _within(a: Point, b: Point, p: Point) -> bool:
    """Whether p, known to lie on the line through a and b, lies between them."""
    return min(a[0], b[0]) <= p[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= p[1] <= max(a[1], b[1])


def _meet(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether edges ab and cd have a point in common."""
    sides = (_side(a, b, c), _side(a, b, d), _side(c, d, a), _side(c, d, b))
    if sides[0] * sides[1] < 0 and sides[2] * sides[3] < 0:
        return True
    ends = ((a, b, c), (a, b, d), (c, d, a), (c, d, b))
    return any(side == 0 and _within(*end) for side, end in zip(sides, ends, strict=True))


def _distance_to_edge(points: np.ndarray, start: Point, end: Point) -> np.ndarray:
    """Distance of points (n, 2) to the edge (n,) [m]."""
    along = np.subtract(end, start)
    offset = points - np.array(start)
    share = np.clip(offset @ along / (along @ along), 0, 1)
    return np.hypot(*(offset - share[:, None] * along).T)


def _left_of_crossing(points: np.ndarray, start: Point, end: Point) -> np.ndarray:
    """Whether the half line from each point towards +x crosses the edge (n,) bool."""
    x, y = points.T
    spans = (start[1] > y) != (end[1] > y)
    side = (end[0] - start[0]) * (y - start[1]) - (end[1] - start[1]) * (x - start[0])
    return spans & ((side > 0) == (end[1] > start[1]))
