"""Where in its row each vertex of the diagram stands: near what it is joined to, and clear of its neighbours."""

from collections.abc import Mapping, Sequence

import numpy as np
from scipy.optimize import isotonic_regression

from flowviz.draw.loop.order import Neighbours, Rows
from flowviz.draw.loop.ranks import Vertex

ROUNDS = 4
ROUNDED = 6  # digits of a place: what stands above each other but for rounding needs no bend


def spaced(order: Rows, rows: Mapping[Vertex, int], near: Neighbours, widths: Mapping[Vertex, float]) -> dict:
    """Middles of all vertices, in the unit of the widths that they need, gaps included; the leftmost edge is at 0."""
    middles: dict[Vertex, float] = {}
    for row in order.values():
        middles |= dict(zip(row, _shoulder_to_shoulder([widths[vertex] for vertex in row]), strict=True))
    upwards = sorted(order)
    for sweep in (upwards[::-1], upwards) * ROUNDS + (upwards[::-1],):
        done: set[int] = set()
        for row in sweep:
            wanted = [_wanted(vertex, rows, near, middles, done) for vertex in order[row]]
            middles |= dict(zip(order[row], _settled(wanted, [widths[each] for each in order[row]]), strict=True))
            done.add(row)
    left = min(middle - widths[vertex] / 2 for vertex, middle in middles.items())
    return {vertex: round(middle - left, ROUNDED) for vertex, middle in middles.items()}


def _shoulder_to_shoulder(widths: list[float]) -> np.ndarray:
    """Middles of neighbours that touch, the first edge at 0."""
    return np.cumsum(widths) - np.array(widths) / 2


def _wanted(
    vertex: Vertex, rows: Mapping[Vertex, int], near: Neighbours, middles: Mapping[Vertex, float], done: set[int]
) -> float:
    """The middle of what a vertex is joined to in the rows that stand already."""
    held = [middles[other] for other in near[vertex] if rows[other] in done]
    return sum(held) / len(held) if held else middles[vertex]


def _settled(wanted: list[float], widths: list[float]) -> np.ndarray:
    """The middles nearest to what is wanted, by least squares, of neighbours that do not overlap."""
    least = _shoulder_to_shoulder(widths)
    return isotonic_regression(np.array(wanted) - least).x + least


def apart(wanted: Sequence[float], gap: float) -> list[float]:
    """The places nearest to what is wanted that lie a gap apart at least, in the order of the wanted ones."""
    order = np.argsort(wanted, kind="stable")
    settled = _settled([wanted[place] for place in order], [gap] * len(wanted))
    return settled[np.argsort(order)].tolist()
