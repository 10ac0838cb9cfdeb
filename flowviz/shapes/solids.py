"""Where solid is: signed distance to boxes, cylinders, ellipsoids and capsules, and to what is made by turning them."""

from dataclasses import dataclass
from math import cos, pi, prod, sin
from typing import ClassVar, Protocol

import numpy as np

from flowviz.shapes.kernels import ellipsoid_distance
from flowviz.shapes.triangles import box_triangles, prism_triangles, round_triangles

Vector = tuple[float, float, float]
Bounds = tuple[Vector, Vector]
Triangles = tuple[np.ndarray, np.ndarray]  # corners (n, 3) [m] and triangles (m, 3) of their numbers


class Solid(Protocol):
    """A body standing in the tank."""

    @property
    def convex(self) -> bool: ...  # whether every straight line runs through it in one piece

    @property
    def bounds(self) -> Bounds:
        """Lowest and highest corner of the box that holds it [m]."""

    @property
    def volume(self) -> float:
        """[m³]"""

    def distance(self, points: np.ndarray) -> np.ndarray:
        """Signed distance of points (n, 3) [m] to its surface: (n,) [m], negative inside."""

    def lattice_distance(self, x: np.ndarray, y: np.ndarray, z: np.ndarray) -> np.ndarray:
        """Signed distance on the lattice of three rising coordinate rows [m]: (len x, len y, len z) float32 [m].

        Exact in sign everywhere; in size at least as far as two lattice steps from the surface, never smaller beyond.
        """

    def triangles(self) -> Triangles:
        """Its surface for drawing: corners (n, 3) [m] and triangles (m, 3) of their numbers."""


@dataclass(frozen=True, slots=True)
class Box:
    """A block with its edges along the axes."""

    centre: Vector  # [m]
    size: Vector  # [m]
    convex: ClassVar[bool] = True

    @property
    def bounds(self) -> Bounds:
        """Lowest and highest corner [m]."""
        return _around(self.centre, self.size)

    @property
    def volume(self) -> float:
        """[m³]"""
        return prod(self.size)

    def distance(self, points: np.ndarray) -> np.ndarray:
        """Signed distance of points (n, 3) [m], exact: (n,) [m]."""
        beyond = np.abs(points - np.array(self.centre)) - np.array(self.size) / 2
        return np.linalg.norm(np.maximum(beyond, 0), axis=1) + np.minimum(beyond.max(axis=1), 0)

    def lattice_distance(self, x: np.ndarray, y: np.ndarray, z: np.ndarray) -> np.ndarray:
        """Signed distance on a lattice, exact: (len x, len y, len z) float32 [m]."""
        return on_lattice(self, x, y, z)

    def triangles(self) -> Triangles:
        """Its surface for drawing."""
        return box_triangles(self.centre, self.size)


@dataclass(frozen=True, slots=True)
class Cylinder:
    """An upright round column."""

    centre: Vector  # [m]
    diameter: float  # [m]
    height: float  # [m]
    convex: ClassVar[bool] = True

    @property
    def bounds(self) -> Bounds:
        """Lowest and highest corner of the box that holds it [m]."""
        return _around(self.centre, (self.diameter, self.diameter, self.height))

    @property
    def volume(self) -> float:
        """[m³]"""
        return pi / 4 * self.diameter**2 * self.height

    def distance(self, points: np.ndarray) -> np.ndarray:
        """Signed distance of points (n, 3) [m], exact: (n,) [m]."""
        x, y, z = (points - np.array(self.centre)).T
        outward = np.hypot(x, y) - self.diameter / 2
        upward = np.abs(z) - self.height / 2
        return np.hypot(np.maximum(outward, 0), np.maximum(upward, 0)) + np.minimum(np.maximum(outward, upward), 0)

    def lattice_distance(self, x: np.ndarray, y: np.ndarray, z: np.ndarray) -> np.ndarray:
        """Signed distance on a lattice, exact: (len x, len y, len z) float32 [m]."""
        return on_lattice(self, x, y, z)

    def triangles(self) -> Triangles:
        """Its surface for drawing."""
        return prism_triangles(self.centre, self.diameter, self.height)


@dataclass(frozen=True, slots=True)
class Ellipsoid:
    """A rounded boulder with its axes along the tank's."""

    centre: Vector  # [m]
    size: Vector  # whole axes [m]
    convex: ClassVar[bool] = True

    @property
    def bounds(self) -> Bounds:
        """Lowest and highest corner of the box that holds it [m]."""
        return _around(self.centre, self.size)

    @property
    def volume(self) -> float:
        """[m³]"""
        return pi / 6 * prod(self.size)

    def distance(self, points: np.ndarray) -> np.ndarray:
        """Signed distance of points (n, 3) [m], exact to rounding: (n,) [m]."""
        distance = np.empty(len(points))
        ellipsoid_distance(np.ascontiguousarray(points - np.array(self.centre)), np.array(self.size) / 2, distance)
        return distance

    def lattice_distance(self, x: np.ndarray, y: np.ndarray, z: np.ndarray) -> np.ndarray:
        """Signed distance on a lattice, exact: (len x, len y, len z) float32 [m]."""
        return on_lattice(self, x, y, z)

    def triangles(self) -> Triangles:
        """Its surface for drawing."""
        return round_triangles(self.centre, self.centre, tuple(edge / 2 for edge in self.size))


@dataclass(frozen=True, slots=True)
class Capsule:
    """A round rod with hemispheres on both ends: all that lies within half a diameter of a line."""

    start: Vector  # of the line [m]
    end: Vector
    diameter: float  # [m]
    convex: ClassVar[bool] = True

    @property
    def bounds(self) -> Bounds:
        """Lowest and highest corner of the box that holds it [m]."""
        radius = self.diameter / 2
        low = tuple(min(pair) - radius for pair in zip(self.start, self.end, strict=True))
        high = tuple(max(pair) + radius for pair in zip(self.start, self.end, strict=True))
        return (low, high)

    @property
    def volume(self) -> float:
        """[m³]"""
        length = float(np.linalg.norm(np.subtract(self.end, self.start)))
        return pi / 4 * self.diameter**2 * length + pi / 6 * self.diameter**3

    def distance(self, points: np.ndarray) -> np.ndarray:
        """Signed distance of points (n, 3) [m], exact: (n,) [m]."""
        along = np.subtract(self.end, self.start)
        offset = points - np.array(self.start)
        share = np.clip(offset @ along / max(along @ along, np.finfo(float).tiny), 0, 1)
        return np.linalg.norm(offset - share[:, None] * along, axis=1) - self.diameter / 2

    def lattice_distance(self, x: np.ndarray, y: np.ndarray, z: np.ndarray) -> np.ndarray:
        """Signed distance on a lattice, exact: (len x, len y, len z) float32 [m]."""
        return on_lattice(self, x, y, z)

    def triangles(self) -> Triangles:
        """Its surface for drawing."""
        return round_triangles(self.start, self.end, (self.diameter / 2,) * 3)


@dataclass(frozen=True, slots=True)
class Turned:
    """A solid turned about an upright axis."""

    solid: Solid
    angle: float  # counter-clockwise seen from above [rad]
    about: Vector  # a point of the axis [m]

    @property
    def convex(self) -> bool:
        """Whether every straight line runs through it in one piece."""
        return self.solid.convex

    @property
    def bounds(self) -> Bounds:
        """Lowest and highest corner of a box that holds it [m]."""
        low, high = self.solid.bounds
        corners = np.array([(x, y, z) for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])])
        there = turn_points(corners, self.angle, self.about)
        return (tuple(there.min(axis=0).tolist()), tuple(there.max(axis=0).tolist()))

    @property
    def volume(self) -> float:
        """[m³]"""
        return self.solid.volume

    def distance(self, points: np.ndarray) -> np.ndarray:
        """Signed distance of points (n, 3) [m]: (n,) [m]."""
        return self.solid.distance(turn_points(points, -self.angle, self.about))

    def lattice_distance(self, x: np.ndarray, y: np.ndarray, z: np.ndarray) -> np.ndarray:
        """Signed distance on a lattice: (len x, len y, len z) float32 [m]."""
        return on_lattice(self, x, y, z)

    def triangles(self) -> Triangles:
        """Its surface for drawing."""
        corners, triangles = self.solid.triangles()
        return turn_points(corners, self.angle, self.about), triangles


def turned(solid: Solid, angle: float, about: Vector) -> Solid:
    """The solid turned counter-clockwise seen from above [rad] about the upright axis through a point [m]."""
    return Turned(solid, angle, about) if angle else solid


def turn_points(points: np.ndarray, angle: float, about: Vector) -> np.ndarray:
    """Points (n, 3) [m] turned counter-clockwise seen from above [rad] about the upright axis through a point [m]."""
    across, along = (points - np.array(about))[:, :2].T
    there = np.array(points, dtype=float)
    there[:, 0] = about[0] + cos(angle) * across - sin(angle) * along
    there[:, 1] = about[1] + sin(angle) * across + cos(angle) * along
    return there


def on_lattice(solid: Solid, x: np.ndarray, y: np.ndarray, z: np.ndarray) -> np.ndarray:
    """Signed distance on the lattice of three coordinate rows [m]: (len x, len y, len z) float32 [m]."""
    points = np.empty((len(x), len(y), len(z), 3))
    points[..., 0] = x[:, None, None]
    points[..., 1] = y[:, None]
    points[..., 2] = z
    distance = solid.distance(points.reshape(-1, 3))
    return distance.reshape(points.shape[:3]).astype(np.float32)


def _around(centre: Vector, size: Vector) -> Bounds:
    """Lowest and highest corner of the box of a size about a centre [m]."""
    low = tuple(middle - edge / 2 for middle, edge in zip(centre, size, strict=True))
    high = tuple(middle + edge / 2 for middle, edge in zip(centre, size, strict=True))
    return (low, high)
