"""Which row of the diagram each place of a loop stands in: pumps below, the tank's openings on top.

A pipe climbs from its lower to its upper place whichever way its water runs. Places stand in the even rows; in the odd
rows between them stands what is written beside each pipe, below the pipe's upper end.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from flowviz.plumbing.loop import Loop, PipeFlow
from flowviz.scene.model import Scene

Vertex = str | tuple[int, int]  # a place by its name, or a pipe's number and a row that it passes


@dataclass(frozen=True, slots=True)
class Climb:
    """A pipe in the diagram, from below to above."""

    pipe: int  # number
    vertices: tuple[Vertex, ...]  # in neighbouring rows, from its lower place to its upper one
    label: Vertex  # the one that bears what is written beside it
    suction: bool  # its water runs down
    from_pump: bool  # its lower place is a pump


def rows_and_climbs(scene: Scene, loop: Loop) -> tuple[Mapping[Vertex, int], tuple[Climb, ...]]:
    """The row of every vertex, and the pipes."""
    openings = {opening.name for opening in scene.openings}
    pairs = tuple(_lower_and_upper(pipe, openings, _behind(scene, loop)) for pipe in loop.pipes)
    layers = _layers([pump.name for pump in scene.pumps], pairs, openings)
    pumps = {pump.name for pump in scene.pumps}
    climbs = tuple(
        _climb(number, _upright(pair, layers), layers, pipe, pumps)
        for number, (pair, pipe) in enumerate(zip(pairs, loop.pipes, strict=True))
    )
    rows: dict[Vertex, int] = {name: 2 * layer for name, layer in layers.items()}
    rows |= {vertex: vertex[1] for climb in climbs for vertex in climb.vertices if isinstance(vertex, tuple)}
    return rows, climbs


def _behind(scene: Scene, loop: Loop) -> set[str]:
    """Places that water gets to from a pump, the pumps among them."""
    openings = {opening.name for opening in scene.openings}
    found = {pump.name for pump in scene.pumps}
    edge = set(found)
    while edge:
        ahead = {pipe.goes_to for pipe in loop.pipes if pipe.comes_from in edge}
        edge = ahead - found - openings
        found |= edge
    return found


def _lower_and_upper(pipe: PipeFlow, openings: set[str], behind: set[str]) -> tuple[str, str]:
    """A pipe's ends: what lies nearer to the pump, along the water or against it, below; openings always above."""
    start, end = pipe.comes_from, pipe.goes_to
    if start in openings or end in openings:
        return (end, start) if start in openings else (start, end)
    return (start, end) if start in behind else (end, start)


def _layers(pumps: Sequence[str], pairs: Sequence[tuple[str, str]], openings: set[str]) -> Mapping[str, int]:
    """How many pipes the longest way up from a pump has to each place; all openings are on top."""
    above: dict[str, list[str]] = {name: [] for name in (*pumps, *(end for pair in pairs for end in pair))}
    for lower, upper in pairs:
        if upper not in openings and lower not in openings:
            above[lower].append(upper)
    layers: dict[str, int] = {}
    for name in reversed(list(_finished(above))):
        layers[name] = layers.get(name, 0)
        for upper in above[name]:
            layers[upper] = max(layers.get(upper, 0), layers[name] + 1)
    top = max((layer for name, layer in layers.items() if name not in openings), default=-1) + 1
    return {name: layer for name, layer in layers.items() if name not in openings} | dict.fromkeys(openings, top)


def _finished(above: Mapping[str, list[str]]) -> Iterator[str]:
    """Places, each after all that lie above it; a way that comes back to where it was is cut from above."""
    state: dict[str, bool] = {}  # False: being walked, True: done
    for root in above:
        stack = [(root, iter(tuple(above[root])))] if root not in state else []
        state.setdefault(root, False)
        while stack:
            name, rest = stack[-1]
            upper = next(rest, None)
            if upper is None:
                state[name] = True
                stack.pop()
                yield name
            elif upper not in state:
                state[upper] = False
                stack.append((upper, iter(tuple(above[upper]))))
            elif not state[upper]:
                above[name].remove(upper)


def _upright(pair: tuple[str, str], layers: Mapping[str, int]) -> tuple[str, str]:
    """A pipe's ends once more: where a way came back to where it was, what was to lie above may lie below."""
    lower, upper = pair
    return (lower, upper) if layers[lower] <= layers[upper] else (upper, lower)


def _climb(number: int, ends: tuple[str, str], layers: Mapping[str, int], pipe: PipeFlow, pumps: set[str]) -> Climb:
    """The vertices of a pipe; one between places of a height hangs below them."""
    lower, upper = ends
    between = range(2 * layers[lower] + 1, 2 * layers[upper])
    passed = tuple((number, row) for row in between) or ((number, 2 * layers[lower] - 1),)
    suction = pipe.comes_from == upper
    return Climb(number, (lower, *passed, upper), passed[-1], suction, lower in pumps)
