"""The smallest shipped tank, on cells as large as its bore allows, for the tests of the levels."""

from dataclasses import dataclass
from pathlib import Path

import pytest

from flowviz.grid.grid import Grid
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene

FIRST = Path(__file__).parents[2] / "scenes" / "first.toml"


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
