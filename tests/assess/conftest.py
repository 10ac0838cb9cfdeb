"""Hand-made tanks: a box of cells with its speeds written in, and the scene around it."""

import numpy as np
import pytest

from flowviz.flow.velocity import still
from flowviz.grid.grid import Grid, Kind, Patch
from flowviz.shapes.plans import rectangle

INFLOW = 1e-3  # what enters at the one outlet [m³/s]


def make_grid(shape: tuple[int, int, int], spacing: float, rock: np.ndarray | None = None) -> Grid:
    """Whole cells of water but for rock, with one outlet in the first cell and one intake in the last."""
    kind = np.where(np.zeros(shape, bool) if rock is None else rock, Kind.ROCK, Kind.WATER).astype(np.uint8)
    water = (kind == Kind.WATER).astype(np.float32)
    open_x, open_y, open_z = (np.zeros(np.add(shape, extra), np.float32) for extra in np.eye(3, dtype=int))
    open_x[1:-1] = water[1:] * water[:-1]
    open_y[:, 1:-1] = water[:, 1:] * water[:, :-1]
    open_z[:, :, 1:-1] = water[:, :, 1:] * water[:, :, :-1]
    patches = (
        make_patch("in", True, (0, 0, 0), spacing),
        make_patch("out", False, tuple(n - 1 for n in shape), spacing),
    )
    return Grid((spacing,) * 3, kind, water, open_x, open_y, open_z, patches, (), np.zeros(shape, bool))


def make_patch(name: str, inflow: bool, cell: tuple[int, int, int], spacing: float) -> Patch:
    """An opening that fills one cell."""
    centre = tuple((index + 0.5) * spacing for index in cell)
    ahead = (1.0, 0.0, 0.0)
    return Patch(name, inflow, np.array([cell]), np.ones(1), centre, ahead, ahead, 1e-4, (0.01, 0.01), round=True)


@pytest.fixture
def grid_of():
    return make_grid


@pytest.fixture
def field_of(make):
    """Builds a field of speeds in long windows (m, nx, ny, nz) on a grid; INFLOW leaves the outlet's cell along x."""

    def build(windows, grid):
        u, v, w = still(grid)
        u[1, 0, 0] = INFLOW / (grid.spacing[1] * grid.spacing[2])
        return make.field(grid, windows, (u, v, w))

    return build


@pytest.fixture
def scene_of(make):
    """Builds the scene of a rectangular tank of a size [m], filled to the brim."""
    return lambda size, **parts: make.tank(rectangle(*size[:2]), size[2], **parts)
