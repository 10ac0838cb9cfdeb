"""The velocity on the faces of the cells, as grid/grid.py draws it."""

import numpy as np

from flowviz.grid.grid import Grid

Velocity = tuple[np.ndarray, np.ndarray, np.ndarray]  # u, v, w, float32 [m/s]


def still(grid: Grid) -> Velocity:
    """No motion."""
    return tuple(np.zeros(share.shape, np.float32) for share in (grid.open_x, grid.open_y, grid.open_z))
