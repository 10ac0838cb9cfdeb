"""On which level between two rows of the diagram the pipes turn aside, so that none lies on another."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from flowviz.draw.loop.ranks import Climb, Vertex

PORT = 0.3  # of a pump's width, from its middle to where its pipes join it

Place = tuple[Vertex, float]  # a vertex and how far to the right pipes are joined to it


@dataclass(frozen=True, slots=True)
class Joint:
    """A pipe between two neighbouring rows."""

    row: int  # the lower one
    below: float  # how far to the right it leaves the lower row
    above: float  # and comes to the upper one
    place: Place  # pipes that are joined there turn aside together


def joints(
    climb: Climb, rows: Mapping[Vertex, int], middles: Mapping[Vertex, float], widths: Mapping[Vertex, float]
) -> Iterator[Joint]:
    """The parts of a pipe from row to row."""
    for pair in pairwise(climb.vertices):
        below, above = sorted(pair, key=rows.__getitem__)
        at = {vertex: middles[vertex] for vertex in pair}
        if climb.from_pump and below == climb.vertices[0]:
            at[below] += (-PORT if climb.suction else PORT) * widths[below]
        place = below if rows[below] % 2 == 0 else above
        yield Joint(rows[below], at[below], at[above], (place, at[place]))


def levels(joints: Iterable[Joint]) -> Mapping[Place, int]:
    """Of the joints between two rows: the level on which those at each place turn aside, numbered from below.

    Where one pipe comes down to its level over another that goes up to its own, the first one's level is the higher.
    """
    below: dict[Place, set[float]] = {}
    above: dict[Place, set[float]] = {}
    for joint in joints:
        below.setdefault(joint.place, set()).add(joint.below)
        above.setdefault(joint.place, set()).add(joint.above)
    left = [place for place in below if below[place] != above[place]]
    found: dict[Place, int] = {}
    while left:
        free = (one for one in left if not any(above[other] & below[one] for other in left if other != one))
        found[next(free, left[0])] = len(found)
        left = [place for place in left if place not in found]
    return found
