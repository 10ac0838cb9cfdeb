"""Floor plans of tanks: polygons and discs, and the upright walls that stand on their edges."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Wall:
    """An upright flat wall of the tank, seen in the floor plan."""

    name: str
    start: Point  # [m]; the water is to the left on the way from start to end
    end: Point

    @property
    def normal(self) -> Point:
        """Unit vector into the water."""


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
