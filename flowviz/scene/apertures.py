"""The shapes that an opening may have; each answers for itself.

A place in an opening's plane is told by how far across and up it lies from the middle [m]: across is horizontal (on the
floor along x), up is square to it.
"""

from dataclasses import dataclass
from math import asin, hypot, pi, sqrt
from typing import ClassVar, Protocol

import numpy as np

CORNERS = 24  # of the polygon that stands for a round outline


class Aperture(Protocol):
    """The shape of an opening, alike on both sides of its middle, across and up."""

    @property
    def called(self) -> str: ...  # in a sentence, with its article

    @property
    def round(self) -> bool: ...  # whether what is known of circles holds for it

    @property
    def area(self) -> float:
        """[m²]"""

    @property
    def extent(self) -> tuple[float, float]:
        """Across and up, where it is widest [m]."""

    def share_below(self, height: float) -> float:
        """Share of its area that lies lower than a height over its middle, in halves of its own from -1 to 1 [-]."""

    def holds(self, across: np.ndarray, up: np.ndarray) -> np.ndarray:
        """Whether places (n,) [m] lie in it: (n,) bool."""

    def nearest(self, across: float, up: float) -> tuple[float, float]:
        """The place in it that is nearest to a place in its plane [m]."""

    def outline(self) -> np.ndarray:
        """Corners of its edge, one after another: (n, 2) across and up [m]."""


@dataclass(frozen=True, slots=True)
class Bore:
    """A round opening."""

    diameter: float  # [m]
    called: ClassVar[str] = "a bore"
    round: ClassVar[bool] = True

    @property
    def area(self) -> float:
        """[m²]"""
        return pi / 4 * self.diameter**2

    @property
    def extent(self) -> tuple[float, float]:
        """Across and up [m]."""
        return self.diameter, self.diameter

    def share_below(self, height: float) -> float:
        """Share of the disc below a height over its middle, in radii [-]."""
        return 0.5 + (asin(height) + height * sqrt(1 - height**2)) / pi

    def holds(self, across: np.ndarray, up: np.ndarray) -> np.ndarray:
        """Whether places (n,) [m] lie in it: (n,) bool."""
        return np.hypot(across, up) <= self.diameter / 2

    def nearest(self, across: float, up: float) -> tuple[float, float]:
        """On the way to the middle [m]."""
        far = hypot(across, up)
        share = min(1.0, self.diameter / 2 / far) if far else 1.0
        return share * across, share * up

    def outline(self) -> np.ndarray:
        """Points on its edge (CORNERS, 2) [m]."""
        turn = np.linspace(0, 2 * np.pi, CORNERS, endpoint=False)
        return self.diameter / 2 * np.column_stack((np.cos(turn), np.sin(turn)))


@dataclass(frozen=True, slots=True)
class Slot:
    """A rectangular opening."""

    across: float  # [m]
    up: float  # [m]
    called: ClassVar[str] = "a slot"
    round: ClassVar[bool] = False

    @property
    def area(self) -> float:
        """[m²]"""
        return self.across * self.up

    @property
    def extent(self) -> tuple[float, float]:
        """Across and up [m]."""
        return self.across, self.up

    def share_below(self, height: float) -> float:
        """Share of it below a height over its middle, in halves of its own [-]."""
        return (1 + height) / 2

    def holds(self, across: np.ndarray, up: np.ndarray) -> np.ndarray:
        """Whether places (n,) [m] lie in it: (n,) bool."""
        return (np.abs(across) <= self.across / 2) & (np.abs(up) <= self.up / 2)

    def nearest(self, across: float, up: float) -> tuple[float, float]:
        """As far along each side as it goes [m]."""
        half, height = self.across / 2, self.up / 2
        return min(max(across, -half), half), min(max(up, -height), height)

    def outline(self) -> np.ndarray:
        """Its corners (4, 2) [m]."""
        return np.array(((-1, -1), (1, -1), (1, 1), (-1, 1))) / 2 * self.extent


def widths(aperture: Aperture) -> tuple[float, ...]:
    """What an opening's size is told by [m]: one width of a round one, else across and up."""
    return aperture.extent[:1] if aperture.round else aperture.extent
