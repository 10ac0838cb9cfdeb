"""How close openings sit to each other."""

from collections.abc import Sequence
from math import dist, inf

from flowviz.scene.model import Intake, Outlet
from flowviz.scene.panels import SLACK, frame

PARALLEL = 0.999  # cosine between the normals of openings in one plane [-]


def gap(first: Outlet | Intake, second: Outlet | Intake) -> float:
    """Glass between two openings, or the holes drilled for them [m]; below zero where they cover each other.

    Infinite where they do not sit in one plane.
    """
    apart = dist(first.centre, second.centre)
    if apart < SLACK:
        return -inf
    offset = [b - a for a, b in zip(first.centre, second.centre, strict=True)]
    facing = _along(first.normal, second.normal)
    if abs(facing) < PARALLEL or abs(_along(offset, first.normal)) > SLACK:
        return inf
    if first.aperture.round and second.aperture.round:
        return apart - (_width(first) + _width(second)) / 2
    reach = zip(frame(first.normal), first.aperture.extent, second.aperture.extent, strict=True)
    return max(abs(_along(offset, axis)) - (own + other) / 2 for axis, own, other in reach)


def _width(opening: Outlet | Intake) -> float:
    """Of a round opening or the hole drilled for it [m]."""
    return max(opening.aperture.extent[0], opening.hole or 0.0)


def _along(vector: Sequence[float], axis: Sequence[float]) -> float:
    return sum(a * b for a, b in zip(vector, axis, strict=True))
