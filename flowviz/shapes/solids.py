"""Where solid is: signed distance to boxes, cylinders, ellipsoids, capsules and closed meshes."""

from typing import Protocol

import numpy as np

Vector = tuple[float, float, float]


class Solid(Protocol):
    """A body standing in the tank."""

    @property
    def bounds(self) -> tuple[Vector, Vector]:
        """Lowest and highest corner of the box that holds it [m]."""

    @property
    def volume(self) -> float:
        """[m³]"""

    def distance(self, points: np.ndarray) -> np.ndarray:
        """Signed distance of points (n, 3) [m] to its surface: (n,) [m], negative inside."""

    def lattice_distance(self, x: np.ndarray, y: np.ndarray, z: np.ndarray) -> np.ndarray:
        """Signed distance on the lattice of three rising coordinate rows [m]: (len x, len y, len z) float32 [m].

        Exact in sign everywhere; in size at least as far as two lattice steps from the surface, and never smaller beyond.
        """

    def triangles(self) -> tuple[np.ndarray, np.ndarray]:
        """Its surface for drawing: corners (n, 3) [m] and triangles (m, 3) of their numbers."""
