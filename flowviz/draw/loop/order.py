"""Who stands beside whom in a row of the diagram: an order in which few pipes cross."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from flowviz.draw.loop.ranks import Climb, Vertex

ROUNDS = 6  # of sorting, up and down
Rows = Mapping[int, Sequence[Vertex]]
Neighbours = Mapping[Vertex, Sequence[Vertex]]


def ordered(rows: Mapping[Vertex, int], climbs: Sequence[Climb]) -> Rows:
    """The vertices of each row from left to right."""
    near = neighbours(rows, climbs)
    best = first = _walked(rows, near)
    for turn in range(ROUNDS):
        first = _sorted(first, rows, near, downward=turn % 2 == 0)
        best = min(best, first, key=lambda order: crossings(order, rows, near))
    return best


def neighbours(rows: Mapping[Vertex, int], climbs: Sequence[Climb]) -> Neighbours:
    """What each vertex is joined to, in the rows above and below, suction pipes first."""
    near: dict[Vertex, list[Vertex]] = {vertex: [] for vertex in rows}
    for climb in sorted(climbs, key=lambda climb: not climb.suction):
        for one, other in pairwise(climb.vertices):
            near[one].append(other)
            near[other].append(one)
    return near


def crossings(order: Rows, rows: Mapping[Vertex, int], near: Neighbours) -> int:
    """How many pairs of pipes cross between neighbouring rows."""
    at = {vertex: place for row in order.values() for place, vertex in enumerate(row)}
    count = 0
    for row in order.values():
        ends = [at[upper] for vertex in row for upper in sorted(_above(vertex, rows, near), key=at.__getitem__)]
        count += sum(later < end for place, end in enumerate(ends) for later in ends[place + 1 :])
    return count


def _above(vertex: Vertex, rows: Mapping[Vertex, int], near: Neighbours) -> Iterable[Vertex]:
    return (other for other in near[vertex] if rows[other] > rows[vertex])


def _walked(rows: Mapping[Vertex, int], near: Neighbours) -> Rows:
    """The order in which a walk from the lowest places upwards comes by, so that a tree does not cross itself."""
    order: dict[int, list[Vertex]] = {row: [] for row in sorted(set(rows.values()))}
    seen: set[Vertex] = set()
    for root in sorted(rows, key=rows.__getitem__):
        stack = [root]
        while stack:
            vertex = stack.pop()
            if vertex not in seen:
                seen.add(vertex)
                order[rows[vertex]].append(vertex)
                stack.extend(reversed(near[vertex]))
    return order


def _sorted(order: Rows, rows: Mapping[Vertex, int], near: Neighbours, downward: bool) -> Rows:
    """Each row by the middle of what it hangs on in the row before it."""
    done: dict[int, Sequence[Vertex]] = {}
    share: dict[Vertex, float] = {}
    for row in sorted(order, reverse=downward):
        own = {vertex: place / len(order[row]) for place, vertex in enumerate(order[row])}
        for vertex in order[row]:
            held = [share[other] for other in near[vertex] if other in share and rows[other] != row]
            own[vertex] = sum(held) / len(held) if held else own[vertex]
        done[row] = sorted(order[row], key=own.__getitem__)
        share |= {vertex: (place + 0.5) / len(done[row]) for place, vertex in enumerate(done[row])}
    return dict(sorted(done.items()))
