"""How long a step may be, in cells that are no cubes; the first one is a given share of that."""

import numpy as np
import pytest

from flowviz.flow.march import COURANT, DIFFUSION, FIRST, March
from flowviz.flow.momentum import LAMINAR
from flowviz.flow.velocity import Velocity, still
from flowviz.flow.walls import SLIP, STILL, Side, Walls

SHAPE, EDGES = (9, 8, 7), (0.02, 0.0235, 0.017)  # cells and their edges [m]
TURNS = [(0, 1, 2), (1, 2, 0), (2, 0, 1)]
SLIPPERY = (SLIP, SLIP)


def first_step(grid, viscosity: float, walls: Walls, start: Velocity) -> float:
    """How far it goes [s]."""
    return March(grid, {}, viscosity, walls, LAMINAR, start, 0).step()


@pytest.mark.parametrize("turn", TURNS)
def test_water_at_rest_is_as_stiff_as_its_viscosity(turn, box):
    """What decays fastest, from cell to cell along all axes, does so at 4 ν (1/hx² + 1/hy² + 1/hz²)."""
    grid = box(SHAPE, tuple(EDGES[a] for a in turn))
    expected = FIRST * DIFFUSION / (4 * 1e-3 * sum(1 / h**2 for h in EDGES))
    assert first_step(grid, 1e-3, Walls(*[SLIPPERY] * 3), still(grid)) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("turn", TURNS)
def test_a_side_that_slides_crosses_the_shortest_edge_soonest(turn, box):
    """At 2 m/s, of water at rest without viscosity; exact."""
    grid = box(SHAPE, tuple(EDGES[a] for a in turn))
    walls = Walls(SLIPPERY, SLIPPERY, (STILL, Side("still", (2.0, 0.0, 0.0))))
    assert first_step(grid, 0.0, walls, still(grid)) == pytest.approx(FIRST * COURANT * min(EDGES) / 2, rel=1e-6)


@pytest.mark.parametrize("third", range(3))
def test_water_that_turns_crosses_cells_along_all_axes(third, box):
    """By the largest |u|/hx + |v|/hy + |w|/hz of all cells, summed here, of an eddy that fills the box; rounding."""
    grid, (one, other) = box(SHAPE, EDGES), {0, 1, 2} - {third}
    stream = np.ones(np.add(SHAPE, np.arange(3) != third))
    for axis in (one, other):
        stream *= np.sin(np.linspace(0, np.pi, SHAPE[axis] + 1)).reshape(np.where(np.arange(3) == axis, -1, 1))
    velocity = still(grid)
    velocity[one][:] = 0.01 * np.diff(stream, axis=other) / EDGES[other]
    velocity[other][:] = -0.01 * np.diff(stream, axis=one) / EDGES[one]
    crossed = 0.0
    for axis in (one, other):
        along = np.moveaxis(np.abs(velocity[axis]), axis, 0) / EDGES[axis]
        crossed = crossed + np.moveaxis(np.maximum(along[1:], along[:-1]), 0, axis)
    expected = FIRST * COURANT / crossed.max()
    assert first_step(grid, 0.0, Walls(*[SLIPPERY] * 3), velocity) == pytest.approx(expected, rel=1e-4)
