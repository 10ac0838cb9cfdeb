"""What the tests of the pressure share."""

from collections.abc import Callable

import numpy as np
import pytest

from flowviz.grid.grid import Grid


def bommies(x, y, z):
    """Three invented lumps of rock, one on the floor, one free and one on a wall."""
    lumps = ((0.30, 0.20, 0.05, 0.16), (0.62, 0.40, 0.24, 0.11), (0.98, 0.0, 0.30, 0.13))
    return np.min([np.sqrt((x - a) ** 2 + (y - b) ** 2 + (z - c) ** 2) - r for a, b, c, r in lumps], axis=0)


def cells_lack(grid: Grid, source, u, v, w) -> np.ndarray:
    """What each cell is fed less what flows out of it, summed in double precision [m³/s]."""
    hx, hy, hz = grid.spacing
    out = np.diff(grid.open_x * u.astype(float), axis=0) * hy * hz
    out += np.diff(grid.open_y * v.astype(float), axis=1) * hx * hz
    return source - out - np.diff(grid.open_z * w.astype(float), axis=2) * hx * hy


def random_speeds(grid: Grid) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """A random velocity on the open faces, of rms 0.1 m/s, and 9 m/s on the closed ones, where none belongs."""
    random = np.random.default_rng(7)
    faces = grid.shares
    return tuple(np.where(face > 0, 0.1 * random.standard_normal(face.shape), 9).astype(np.float32) for face in faces)


def random_sources(grid: Grid) -> np.ndarray:
    """2 L/s into five cells of the water and out of five others [m³/s]."""
    cells = np.argwhere(grid.water)
    chosen = cells[np.random.default_rng(11).choice(len(cells), 10, replace=False)]
    source = np.zeros(grid.shape)
    source[tuple(chosen.T)] = np.repeat((0.4e-3, -0.4e-3), 5)
    return source


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
def rocky(box) -> Grid:
    """1.2 x 0.58 x 0.46 m with three lumps of rock, in cells of 20 mm."""
    return box((60, 29, 23), (0.02, 0.02, 0.02), bommies)
