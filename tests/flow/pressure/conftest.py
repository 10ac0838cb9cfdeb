"""Bare boxes of water, some with a solid in them, for the tests of the pressure."""

from collections.abc import Callable

import numpy as np
import pytest

from flowviz.grid.grid import Grid, Kind, Patch, Vector
from flowviz.grid.joining import joined
from flowviz.grid.kernels import open_faces, open_volumes

Distance = Callable[[np.ndarray, np.ndarray, np.ndarray], np.ndarray]  # into the water [m], of x, y and z


def nowhere(x, y, z):
    """Nothing stands in the water."""
    return np.full(np.broadcast_shapes(x.shape, y.shape, z.shape), 1e3)


def bommies(x, y, z):
    """Three invented lumps of rock, one on the floor, one free and one on a wall."""
    lumps = ((0.30, 0.20, 0.05, 0.16), (0.62, 0.40, 0.24, 0.11), (0.98, 0.0, 0.30, 0.13))
    return np.min([np.sqrt((x - a) ** 2 + (y - b) ** 2 + (z - c) ** 2) - r for a, b, c, r in lumps], axis=0)


def closed_box(shape, spacing: Vector, distance: Distance = nowhere, patches: tuple[Patch, ...] = ()) -> Grid:
    """A closed box of water as far as the distance is positive."""
    corners = np.ix_(*(np.arange(n + 1) * h for n, h in zip(shape, spacing, strict=True)))
    middles = np.ix_(*((np.arange(n) + 0.5) * h for n, h in zip(shape, spacing, strict=True)))
    nodes = np.full((3, *(n + 1 for n in shape)), 1e3, np.float32)  # from glass, rock and sand
    nodes[1] = distance(*corners)
    volume, nearest = np.empty(shape, np.float32), np.empty(shape, np.uint8)
    open_volumes(nodes, distance(*middles).astype(np.float32), volume, nearest)
    kind = np.where(volume >= 0.2, Kind.WATER, Kind.ROCK).astype(np.uint8)
    return joined(spacing, kind, volume, tuple(open_shares(nodes, axis) for axis in range(3)), patches)


def open_shares(nodes: np.ndarray, axis: int) -> np.ndarray:
    """Open share of the faces across an axis."""
    along, across = np.delete(np.eye(3, dtype=np.int64), axis, axis=0)
    share = np.empty(tuple(np.array(nodes.shape[1:]) - along - across), np.float32)
    open_faces(nodes, *along, *across, share)
    share[share < 0.05] = 0
    return share


def cells_lack(grid: Grid, source, u, v, w) -> np.ndarray:
    """What each cell is fed less what flows out of it, summed in double precision [m³/s]."""
    hx, hy, hz = grid.spacing
    out = np.diff(grid.open_x * u.astype(float), axis=0) * hy * hz
    out += np.diff(grid.open_y * v.astype(float), axis=1) * hx * hz
    return source - out - np.diff(grid.open_z * w.astype(float), axis=2) * hx * hy


def random_speeds(grid: Grid) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A random velocity on the open faces, of rms 0.1 m/s, and 9 m/s on the closed ones, where none belongs."""
    random = np.random.default_rng(7)
    faces = grid.open_x, grid.open_y, grid.open_z
    return tuple(np.where(face > 0, 0.1 * random.standard_normal(face.shape), 9).astype(np.float32) for face in faces)


def random_sources(grid: Grid) -> np.ndarray:
    """2 L/s into five cells of the water and out of five others [m³/s]."""
    cells = np.argwhere(grid.water)
    chosen = cells[np.random.default_rng(11).choice(len(cells), 10, replace=False)]
    source = np.zeros(grid.shape)
    source[tuple(chosen.T)] = np.repeat((0.4e-3, -0.4e-3), 5)
    return source


@pytest.fixture(scope="session")
def box() -> Callable[..., Grid]:
    return closed_box


@pytest.fixture(scope="session")
def lacks() -> Callable[..., np.ndarray]:
    return cells_lack


@pytest.fixture(scope="session")
def stirred() -> Callable[[Grid], tuple[np.ndarray, np.ndarray, np.ndarray]]:
    return random_speeds


@pytest.fixture(scope="session")
def fed() -> Callable[[Grid], np.ndarray]:
    return random_sources


@pytest.fixture(scope="session")
def rocky() -> Grid:
    """1.2 x 0.58 x 0.46 m with three lumps of rock, in cells of 20 mm."""
    return closed_box((60, 29, 23), (0.02, 0.02, 0.02), bommies)
