"""The ways that water takes between bodies of it that larger cells would cut off from each other."""

import numpy as np
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import dijkstra

from flowviz.grid.grid import Grid
from flowviz.grid.pieces import Cut


def passages(
    grid: Grid, cuts: list[Cut], home: np.ndarray, label: np.ndarray, main: int, cut_off: set[int]
) -> np.ndarray:
    """Cells (nx, ny, nz) bool, not home yet, that water must pass between the main body and each that is cut off.

    All ways that pass the fewest of such cells are taken, so that a slit is as high as it is.

    home     which pieces of cells their larger cells stand for
    label    number of the body of water that each larger cell belongs to
    """
    middles = [cut.middles() for cut in cuts]
    at_home = home[np.ix_(*middles)].reshape(-1)
    within = label[np.ix_(*(cut.larger[middle] for cut, middle in zip(cuts, middles, strict=True)))].reshape(-1)
    links = _links(grid, at_home)

    def passed(body: int) -> np.ndarray:
        """How many cells that are not home water passes from a body up to each cell, itself counted."""
        return dijkstra(links, indices=np.flatnonzero(at_home & (within == body)), min_only=True)

    from_main, found = passed(main), np.zeros(grid.kind.size, bool)
    for body in cut_off:
        through = from_main + passed(body) - ~at_home
        found |= (through == through.min()) & ~at_home
    return found.reshape(grid.shape)


def _links(grid: Grid, at_home: np.ndarray) -> csr_array:
    """From each cell to those that open faces lead to: 0 where that is home, and 1 where not."""
    number = np.arange(grid.kind.size).reshape(grid.shape)
    pairs = []
    for axis, faces in enumerate(grid.shares):
        along, opened = np.moveaxis(number, axis, 0), np.moveaxis(faces, axis, 0)[1:-1] > 0
        pairs.append(np.stack((along[:-1][opened], along[1:][opened])))
    one, other = np.concatenate(pairs, axis=1)
    starts, ends = np.concatenate((one, other)), np.concatenate((other, one))
    return coo_array(((~at_home[ends]).astype(float), (starts, ends)), shape=(number.size,) * 2).tocsr()
