"""Where jets are followed from: the middle of an outlet, or of each of the parts side by side that a long slot has.

What stands before one part, or moves across it, does nothing to the others.
"""

from dataclasses import dataclass
from math import inf

import numpy as np

from flowviz.grid.grid import Patch

PART = 2.0  # length of a part of a slot, over the edge of the cells that its jet was marched on: such stones they tell


@dataclass(frozen=True, slots=True)
class Strand:
    """What leaves an outlet, or a part of a slot."""

    outlet: Patch
    middle: float  # of the part, from that of the slot along it [m]
    low: float  # from there to the middle of the part before it ...
    high: float  # ... and of that behind it [m]; infinite where there is none

    @property
    def row(self) -> np.ndarray:
        """Unit vector along the slot (3,); 0 of a round outlet."""
        return np.zeros(3) if self.outlet.round else np.array(self.outlet.sides[int(np.argmax(self.outlet.extent))])

    @property
    def start(self) -> np.ndarray:
        """Where its axis leaves (3,) [m]."""
        return np.array(self.outlet.centre) + self.middle * self.row

    @property
    def reach(self) -> float:
        """How far along the slot it gives anything [m], beside how far a jet is followed off its sides."""
        return min(max(self.low, self.high), length(self.outlet) / 2)

    def across(self, ways: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Where the length of the slot lies where the jet goes so many ways (n, 3) [-], and its strip there (n, 3).

        That is how far its axis is from the slot's middle [m], and the shares of it that go over to the parts beside it
        in each metre towards them [1/m]: lengths of the slot are the shorter, the more the way leans along it.
        """
        rows = self.row - (ways @ self.row)[:, None] * ways
        upright = np.maximum(np.linalg.norm(rows, axis=-1, keepdims=True), 1e-9)
        strips = np.hstack((self.middle * upright, 1 / (self.low * upright), 1 / (self.high * upright)))
        return rows / upright, strips


def strands(outlet: Patch, cell: float) -> list[Strand]:
    """What leaves an outlet, in as many parts as it is long.

    cell    edge of the cells that its jet was marched on [m]
    """
    count = max(1, round(length(outlet) / (PART * cell)))
    each = length(outlet) / count
    return [
        Strand(outlet, (n + 0.5 - count / 2) * each, each if n > 0 else inf, each if n < count - 1 else inf)
        for n in range(count)
    ]


def length(outlet: Patch) -> float:
    """Of a slot; 0 of a round outlet [m]."""
    return 0.0 if outlet.round else max(outlet.extent)


def height(outlet: Patch) -> float:
    """Of a slot, across its length; of a round outlet the bore [m]."""
    return min(outlet.extent)
