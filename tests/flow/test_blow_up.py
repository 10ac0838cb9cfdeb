"""A march that grows past all bounds is stopped; water that only has to go through a narrow way is not."""

import numpy as np
import pytest

from flowviz.errors import ConvergenceError
from flowviz.flow.levels import FINE
from flowviz.flow.march import COURANT, DIVERGENCE, March
from flowviz.flow.velocity import still
from flowviz.flow.walls import TANK
from flowviz.grid.grid import Patch

SHAPE, CELL, SPEED = (24, 12, 12), 0.04, 0.01  # cells, [m], of the inflow [m/s]


@pytest.fixture
def funnel(box):
    """Water that comes in slowly over all of one end, and leaves through one cell of the other: grid and rates."""
    nx, ny, nz = SHAPE
    ends = {"inflow": [(0, j, k) for j in range(ny) for k in range(nz)], "outflow": [(nx - 1, ny // 2, nz // 2)]}
    patches = tuple(opening(name, np.array(cells)) for name, cells in ends.items())
    flow = SPEED * ny * nz * CELL**2
    return box(SHAPE, (CELL,) * 3, patches=patches), {"inflow": flow, "outflow": -flow}


def opening(name: str, cells: np.ndarray) -> Patch:
    """Cells at one end of the box."""
    inflow = name == "inflow"
    along, edge = (1.0 if inflow else -1.0, 0.0, 0.0), CELL * len(cells) ** 0.5
    share, centre = np.full(len(cells), 1 / len(cells)), tuple((cells.mean(axis=0) + 0.5) * CELL)
    return Patch(name, inflow, cells, share, centre, along, along, edge**2, (edge, edge), False)


def marched(funnel) -> March:
    """Fifty steps on."""
    grid, rates = funnel
    march = March(grid, rates, 1e-6, TANK, FINE.closure, still(grid), 0)
    for _ in range(50):
        march.step()
    return march


def test_water_may_leave_a_hundred_times_as_fast_as_it_came(funnel):
    """Through every section goes the flow: exact, but for what a step may leave of divergence."""
    velocity = marched(funnel).velocity[0]
    sections = velocity[1:-1].sum(axis=(1, 2), dtype=float) * CELL**2
    assert sections == pytest.approx(funnel[1]["inflow"], rel=DIVERGENCE)


def test_steps_too_long_to_be_stable_are_told(funnel, monkeypatch):
    """Three times as long as is stable."""
    monkeypatch.setattr("flowviz.flow.march.COURANT", 3 * COURANT)
    with pytest.raises(ConvergenceError, match="grown beyond all bounds near x"):
        marched(funnel)
