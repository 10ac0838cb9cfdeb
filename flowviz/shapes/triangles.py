"""Surfaces of simple solids as triangles for drawing, seen anticlockwise from outside."""

from math import pi

import numpy as np

Vector = tuple[float, float, float]
Triangles = tuple[np.ndarray, np.ndarray]  # corners (n, 3) [m] and triangles (m, 3) of their numbers
AROUND = 48  # corners of a circle
UP = 24  # rings of a sphere from pole to pole, even


def box_triangles(centre: Vector, size: Vector) -> Triangles:
    """A block."""
    signs = np.array([(x, y, z) for x in (-1, 1) for y in (-1, 1) for z in (-1, 1)])
    quads = np.array([(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)])
    return np.array(centre) + signs * np.array(size) / 2, _halved(quads)


def prism_triangles(centre: Vector, diameter: float, height: float) -> Triangles:
    """An upright cylinder."""
    circle = _circle() * (diameter / 2)
    low = np.column_stack((circle, np.full(AROUND, -height / 2)))
    poles = np.array([(0, 0, -height / 2), (0, 0, height / 2)])
    corners = np.concatenate((low, low * (1, 1, -1), poles))
    return np.array(centre) + corners, _rings(2)


def round_triangles(start: Vector, end: Vector, radii: Vector) -> Triangles:
    """An ellipsoid swept from start to end: the lower half stands about the lower of the two."""
    low, high = sorted((np.array(start, float), np.array(end, float)), key=lambda point: point[2])
    axis = high - low
    lie = _frame(axis)
    latitudes = -pi / 2 + pi * np.array([*range(1, UP // 2 + 1), *range(UP // 2, UP)]) / UP
    half = len(latitudes) // 2
    rings = [np.column_stack((_circle() * np.cos(a), np.full(AROUND, np.sin(a)))) for a in latitudes]
    unit = np.concatenate((*rings, [(0, 0, -1), (0, 0, 1)]))
    shift = np.zeros(len(unit))
    shift[half * AROUND : 2 * half * AROUND] = 1
    shift[-1] = 1
    return low + (unit @ lie) * np.array(radii) + shift[:, None] * axis, _rings(2 * half)


def _circle() -> np.ndarray:
    """Corners of a unit circle (AROUND, 2), counter-clockwise."""
    angles = 2 * pi * np.arange(AROUND) / AROUND
    return np.column_stack((np.cos(angles), np.sin(angles)))


def _frame(axis: np.ndarray) -> np.ndarray:
    """Rows: a right-handed frame of unit vectors, the third along the axis; the tank's own where it has no length."""
    length = np.linalg.norm(axis)
    third = axis / length if length else np.array([0.0, 0.0, 1.0])
    helper = np.eye(3)[np.argmin(np.abs(third))]
    first = np.cross(helper, third) / np.linalg.norm(np.cross(helper, third))
    return np.array([first, np.cross(third, first), third]) if length else np.eye(3)


def _rings(count: int) -> np.ndarray:
    """Triangles between rings of AROUND corners that are stacked upwards, closed by a lower and an upper pole."""
    here = np.arange(AROUND)
    following = np.roll(here, -1)
    sides = [
        np.column_stack((here, following, following + AROUND, here + AROUND)) + ring * AROUND
        for ring in range(count - 1)
    ]
    south, north = count * AROUND, count * AROUND + 1
    top = (count - 1) * AROUND
    caps = (
        np.column_stack((following, here, np.full(AROUND, south))),
        np.column_stack((here + top, following + top, np.full(AROUND, north))),
    )
    return np.concatenate((_halved(np.concatenate(sides)), *caps))


def _halved(quads: np.ndarray) -> np.ndarray:
    """Each quadrilateral (n, 4) cut into two triangles (2 n, 3)."""
    return np.concatenate((quads[:, [0, 1, 2]], quads[:, [0, 2, 3]]))
