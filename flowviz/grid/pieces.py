"""Cells cut where larger ones end, and which of the pieces in a larger cell hang together."""

from dataclasses import dataclass
from math import prod

import numpy as np

from flowviz.grid.grid import Grid
from flowviz.grid.kernels import find_homes

ROUND = 9  # decimals to which places are compared [cells]


@dataclass(frozen=True, slots=True, eq=False)
class Cut:
    """The cells along one axis, cut where larger ones end."""

    cell: np.ndarray  # (pieces,) which cell each is of
    larger: np.ndarray  # (pieces,) which larger cell it lies in
    width: np.ndarray  # (pieces,) [cells]

    @property
    def count(self) -> int:
        """How many larger cells there are."""
        return int(self.larger[-1]) + 1

    @property
    def ends(self) -> np.ndarray:
        """The first piece of each larger cell, and the number of pieces (count + 1,)."""
        return np.searchsorted(self.larger, np.arange(self.count + 1))

    def middles(self) -> np.ndarray:
        """The piece that the middle of each cell lies in (cells,)."""
        ends = np.cumsum(self.width)
        return np.searchsorted(ends, np.arange(int(self.cell[-1]) + 1) + 0.5)

    def lengths(self) -> np.ndarray:
        """How much of each cell lies in each of the larger ones (count, cells) [cells]."""
        lengths = np.zeros((self.count, int(self.cell[-1]) + 1))
        lengths[self.larger, self.cell] = self.width
        return lengths

    def shares(self) -> np.ndarray:
        """What share of each larger cell each piece is (count, pieces) [-]."""
        own = (self.larger == np.arange(self.count)[:, None]) * self.width
        return own / own.sum(axis=1, keepdims=True)


def cut(n: int, count: int) -> Cut:
    """So many cells, cut by that many larger ones."""
    ends = np.union1d(np.arange(n + 1), np.round(np.arange(count + 1) * n / count, ROUND))
    middles = (ends[1:] + ends[:-1]) / 2
    return Cut(middles.astype(int), (middles * count / n).astype(int), np.diff(ends))


def homes(grid: Grid, cuts: list[Cut], taken: np.ndarray) -> np.ndarray:
    """Which pieces belong to the largest body of water within their larger cell, or to one that cells are taken of.

    What a wall parts from these is none's home: else water would get through the wall within the larger cell. Nor are
    two bodies of the same size, for either could be as well.

    taken    (nx, ny, nz) bool
    """
    home = np.zeros([len(cut.cell) for cut in cuts], bool)
    faces = grid.shares
    cells, ends, widths = (tuple(getattr(cut, name) for cut in cuts) for name in ("cell", "ends", "width"))
    room = prod(int(np.diff(end).max()) for end in ends)
    find_homes(grid.water, taken, grid.open_volume, faces, cells, ends, widths, room, home)
    return home
