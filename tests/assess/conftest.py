"""Hand-made tanks: a box of cells with its speeds written in, and the scene around it."""

import numpy as np
import pytest

from flowviz.flow.velocity import still
from flowviz.grid.grid import Grid, Kind, Patch, Vector
from flowviz.scene.model import Limits, Scene, Tank, Water
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
    return Grid((spacing,) * 3, kind, water, open_x, open_y, open_z, patches, ())


def make_patch(name: str, inflow: bool, cell: tuple[int, int, int], spacing: float) -> Patch:
    """An opening that fills one cell."""
    centre = tuple((index + 0.5) * spacing for index in cell)
    ahead = (1.0, 0.0, 0.0)
    return Patch(name, inflow, np.array([cell]), np.ones(1), centre, ahead, ahead, 1e-4, (0.01, 0.01), round=True)


def make_scene(size: Vector, seen_from: tuple[str, ...] = ("front",), **parts) -> Scene:
    """A rectangular tank filled to the brim, dead below 3 cm/s and over-strong above 50 cm/s."""
    length, width, height = size
    tank = Tank(rectangle(length, width), height, height, {}, seen_from)
    return Scene("hand-made", "metric", Water(25.0, 35.0), tank, **{"limits": Limits(0.03, 0.5)} | parts)


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
def scene_of():
    return make_scene
