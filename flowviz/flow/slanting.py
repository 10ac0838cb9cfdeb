"""How water runs on along walls that are round, or slant through the cells.

Such walls shut faces that they do not run along: water beside them runs on past them. With nought for its velocity
there, what carries and what strains it would take the steps of the cells for roughness, and a round tank without
friction would lose half of its spin in 40 s. So these faces hold the mean of the open ones before, behind and beside
them. Nothing passes them all the same: what a face carries is its open share of the velocity.
"""

from collections.abc import Iterator

import numpy as np

from flowviz.flow.stepping.kernels import run_on
from flowviz.flow.velocity import Velocity, part_of
from flowviz.grid.grid import Grid, Kind

Shut = tuple[np.ndarray, np.ndarray, np.ndarray]  # which faces across x, y and z are, bool
Table = tuple[np.ndarray, np.ndarray, np.ndarray]  # faces, starts and beside, as `run_on` wants them


class Slants:
    """The faces of a grid that slanting walls shut."""

    def __init__(self, grid: Grid) -> None:
        pairs = zip(slanting(grid), grid.shares, strict=True)
        self._tables = [_table(shut, share > 0) for shut, share in pairs]

    def act(self, velocity: Velocity) -> None:
        """Let each face have the velocity of the water beside it [m/s]."""
        for table, along in zip(self._tables, velocity, strict=True):
            run_on(*table, along.reshape(-1))


def slanting(grid: Grid) -> Shut:
    """Which faces are shut by walls that slant. Sand lies level."""
    free = grid.kind != Kind.SAND
    return tuple(_shut(axis, share, grid.aslant, free) for axis, share in enumerate(grid.shares))


def _shut(axis: int, share: np.ndarray, cut: np.ndarray, free: np.ndarray) -> np.ndarray:
    """Shut faces across an axis that have a cell that is cut on one side, and are free on both, bool."""
    low, high = part_of(axis, slice(None, -1)), part_of(axis, slice(1, None))
    shut = np.zeros(share.shape, bool)
    shut[part_of(axis, slice(1, -1))] = (cut[low] | cut[high]) & free[low] & free[high]
    return shut & (share == 0)


def _table(shut: np.ndarray, opened: np.ndarray) -> Table:
    """The faces that have open ones beside them, and these."""
    pairs = [np.ravel_multi_index(pair, shut.shape) for pair in _pairs(shut, opened)]
    face, beside = np.concatenate(pairs, axis=-1)
    order = face.argsort(kind="stable")
    faces, starts = np.unique(face[order], return_index=True)
    return faces.astype(np.uint32), np.append(starts, len(face)).astype(np.uint32), beside[order].astype(np.uint32)


def _pairs(shut: np.ndarray, opened: np.ndarray) -> Iterator[np.ndarray]:
    """Places (3, 2, n) of shut faces and of open ones beside them, side by side."""
    faces = np.argwhere(shut)
    for step in (*np.eye(3, dtype=int), *-np.eye(3, dtype=int)):
        beside = faces + step
        inside = ((beside >= 0) & (beside < shut.shape)).all(axis=1)
        inside[inside] = opened[tuple(beside[inside].T)]
        yield np.stack((faces[inside].T, beside[inside].T), axis=1)
