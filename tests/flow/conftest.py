"""What the tests of the flow share: the smallest shipped tank, and bare boxes of water, some with a solid in them."""

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, radians, sin
from pathlib import Path

import numpy as np
import pytest

from flowviz.grid.grid import Grid, Kind, Patch, Vector
from flowviz.grid.joining import joined
from flowviz.grid.kernels import open_faces, open_volumes
from flowviz.grid.slanting import aslant
from flowviz.grid.voxelise import LEAST_ASLANT, LEAST_FACE, LEAST_VOLUME, voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene
from flowviz.shapes.plans import Polygon

FIRST = Path(__file__).parents[2] / "scenes" / "first.toml"

Distance = Callable[[np.ndarray, np.ndarray, np.ndarray], np.ndarray]  # into the water [m], of x, y and z


@dataclass(frozen=True)
class Tank:
    """A grid and what its openings let through [m³/s]."""

    grid: Grid
    rates: dict[str, float]


@pytest.fixture(scope="session")
def boulder() -> Tank:
    """One outlet, one boulder, one intake; 27,000 cells."""
    scene = read_scene(FIRST)
    return Tank(voxelise(scene, 0.024), dict(solve_loop(scene).rates))


@pytest.fixture
def askew():
    """Builds the plan of a channel that stands at an angle to the cells [°], so long and so wide [m].

    Beside it the way along it, and where its near wall starts [m].
    """

    def build(angle: float, length: float, width: float) -> tuple[Polygon, np.ndarray, np.ndarray]:
        along = np.array((cos(radians(angle)), sin(radians(angle))))
        across = np.array((-along[1], along[0]))
        corners = np.array((0 * along, length * along, length * along + width * across, width * across))
        start = -corners.min(axis=0)
        return Polygon(tuple(map(tuple, corners + start)), ("near", "out", "far", "in")), along, start

    return build


def nowhere(x, y, z):
    """Nothing stands in the water."""
    return np.full(np.broadcast_shapes(x.shape, y.shape, z.shape), 1e3)


def closed_box(shape, spacing: Vector, distance: Distance = nowhere, patches: tuple[Patch, ...] = ()) -> Grid:
    """A closed box of water as far as the distance is positive."""
    corners = np.ix_(*(np.arange(n + 1) * h for n, h in zip(shape, spacing, strict=True)))
    middles = np.ix_(*((np.arange(n) + 0.5) * h for n, h in zip(shape, spacing, strict=True)))
    nodes = np.full((3, *(n + 1 for n in shape)), 1e3, np.float32)  # from glass, rock and sand
    nodes[1] = distance(*corners)
    volume, nearest = np.empty(shape, np.float32), np.empty(shape, np.uint8)
    open_volumes(nodes, distance(*middles).astype(np.float32), volume, nearest)
    shares = tuple(open_shares(nodes, axis) for axis in range(3))
    cut = aslant(volume, shares)
    least = np.where(cut, LEAST_ASLANT, LEAST_VOLUME)
    kind = np.where(volume >= least, Kind.WATER, Kind.ROCK).astype(np.uint8)
    return joined(spacing, kind, volume, shares, patches, cut)


def open_shares(nodes: np.ndarray, axis: int) -> np.ndarray:
    """Open share of the faces across an axis."""
    along, across = np.delete(np.eye(3, dtype=np.int64), axis, axis=0)
    share = np.empty(tuple(np.array(nodes.shape[1:]) - along - across), np.float32)
    open_faces(nodes, *along, *across, share)
    share[share < LEAST_FACE] = 0
    return share


@pytest.fixture(scope="session")
def box() -> Callable[..., Grid]:
    return closed_box
