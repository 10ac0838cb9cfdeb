"""A march that grows past all bounds is stopped; water that only has to go through a narrow way is not."""

import numpy as np
import pytest

from flowviz.errors import ConvergenceError
from flowviz.flow.levels import FINE
from flowviz.flow.march import COURANT, DIVERGENCE, March
from flowviz.flow.velocity import still
from flowviz.flow.walls import TANK
from flowviz.grid.grid import Patch

SHAPE, EDGES, SPEED = (24, 12, 12), (0.04, 0.047, 0.034), 0.01  # cells, [m], of the inflow [m/s]


@pytest.fixture
def funnel(box):
    """Water that comes in slowly over all of one end, and leaves through one cell of the other: grid and rates."""
    nx, ny, nz = SHAPE
    ends = {"inflow": [(0, j, k) for j in range(ny) for k in range(nz)], "outflow": [(nx - 1, ny // 2, nz // 2)]}
    patches = tuple(opening(name, np.array(cells)) for name, cells in ends.items())
    flow = SPEED * ny * nz * EDGES[1] * EDGES[2]
    return box(SHAPE, EDGES, patches=patches), {"inflow": flow, "outflow": -flow}


def opening(name: str, cells: np.ndarray) -> Patch:
    """Cells at one end of the box."""
    inflow = name == "inflow"
    along, extent = (1.0 if inflow else -1.0, 0.0, 0.0), len(cells) ** 0.5 * np.array(EDGES[1:])
    share, centre = np.full(len(cells), 1 / len(cells)), tuple((cells.mean(axis=0) + 0.5) * EDGES)
    return Patch(name, inflow, cells, share, centre, along, along, extent.prod(), tuple(extent), False)


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
    sections = velocity[1:-1].sum(axis=(1, 2), dtype=float) * EDGES[1] * EDGES[2]
    assert sections == pytest.approx(funnel[1]["inflow"], rel=DIVERGENCE)


@pytest.mark.parametrize("factor", [2.5, 5.0])
def test_steps_too_long_to_be_stable_are_told(factor, funnel, monkeypatch):
    """By so much too long, the second past all numbers in a step; in the last quarter, where alone water is fast."""
    monkeypatch.setattr("flowviz.flow.march.COURANT", factor * COURANT)
    with pytest.raises(ConvergenceError, match=r"grown beyond all bounds near x = .* m after") as told:
        marched(funnel)
    length = SHAPE[0] * EDGES[0]
    assert 0.75 * length < float(str(told.value).split("x = ")[1].split(" m")[0]) < length
