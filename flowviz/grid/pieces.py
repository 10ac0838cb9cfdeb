"""Cells cut where larger ones end, and which of the pieces in a larger cell hang together."""

from dataclasses import dataclass

import numpy as np

from flowviz.grid.grid import Grid
from flowviz.grid.joining import bodies

ROUND = 9  # decimals to which places are compared [cells]
ALIKE = 1e-6  # of the larger, difference up to which two bodies of water are equally large


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
    def seams(self) -> np.ndarray:
        """The pieces that follow the end of a larger cell (count - 1,)."""
        return np.nonzero(np.diff(self.larger))[0] + 1

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


def homes(grid: Grid, cuts: list[Cut]) -> np.ndarray:
    """Which pieces belong to the largest body of water within their larger cell, or to that of an opening there.

    What a wall parts from it is none's home: else water would get through the wall within the larger cell. Nor are two
    bodies of the same size, for either could be as well.
    """
    pieces = np.ix_(*(cut.cell for cut in cuts))
    body = bodies(grid.kind[pieces], _parted(grid, cuts, pieces))
    volume = grid.open_volume[pieces] * np.prod(np.meshgrid(*(cut.width for cut in cuts), indexing="ij"), axis=0)
    size = np.bincount(body.ravel(), weights=volume.ravel())
    size[0] = 0
    larger = np.zeros(len(size), int)
    larger[body] = np.ravel_multi_index(np.ix_(*(cut.larger for cut in cuts)), [cut.count for cut in cuts])
    return (_largest(size, larger) | _reached(grid, body, pieces))[body]


def _parted(grid: Grid, cuts: list[Cut], pieces: tuple[np.ndarray, ...]) -> tuple[np.ndarray, ...]:
    """Open shares of the faces between pieces, with those between larger cells shut."""
    faces = []
    for axis, opened in enumerate((grid.open_x, grid.open_y, grid.open_z)):
        face = np.zeros([len(cut.cell) + (a == axis) for a, cut in enumerate(cuts)], np.float32)
        along = np.moveaxis(face, axis, 0)
        along[:-1] = np.moveaxis(opened[pieces], axis, 0)
        along[cuts[axis].seams] = 0
        faces.append(face)
    return tuple(faces)


def _largest(size: np.ndarray, larger: np.ndarray) -> np.ndarray:
    """Whether each body is the largest in its larger cell, by far enough to tell."""
    most = np.zeros(larger.max() + 1)
    np.maximum.at(most, larger, size)
    large = (size > 0) & (size >= (1 - ALIKE) * most[larger])
    return large & (np.bincount(larger, weights=large)[larger] == 1)


def _reached(grid: Grid, body: np.ndarray, pieces: tuple[np.ndarray, ...]) -> np.ndarray:
    """Whether an opening lies in each body."""
    opened = np.zeros(grid.shape, bool)
    for patch in grid.patches:
        opened[tuple(patch.cells.T)] = True
    reached = np.zeros(body.max() + 1, bool)
    reached[body[opened[pieces]]] = True
    return reached
