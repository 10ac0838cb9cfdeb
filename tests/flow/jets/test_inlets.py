"""What outlets bring: all of their momentum, where their water comes in; and what intakes take."""

import numpy as np
import pytest

from flowviz.flow.inlets import drains, jets
from flowviz.grid.grid import Patch

EDGES = (0.02, 0.0235, 0.017)  # of cells that are no cubes [m]
FLOW, SPEED = 1e-4, 0.2  # through a hole of one cell [m³/s]; of the water before it, along its axis [m/s]
SIDES = [(axis, upper) for axis in range(3) for upper in (False, True)]


def brought(jet) -> np.ndarray:
    """Momentum flux that a jet along x brings to each face across x, over density, in water at rest [m⁴/s²]."""
    change, moved = np.zeros(jet.grid.open_x.shape, np.float32), np.zeros(jet.grid.open_x.shape, np.float32)
    jets(0, jet.grid, jet.rates).act(moved.copy(), 1.0, 1.0, change, moved)
    return change.astype(float) * jet.grid.cell_volume


@pytest.mark.parametrize("bore", [1.0, 3.0])
@pytest.mark.parametrize("aside", [0.0, 0.5])
def test_all_of_the_momentum(bore, aside, tank):
    """Q U0, exactly but for single precision, wherever among the cells the outlet lies."""
    jet = tank(bore, (12, 16, 16), (0, 8 + aside, 8))
    assert brought(jet).sum() == pytest.approx(jet.momentum, rel=1e-5)


def test_wide_bore_brings_it_where_it_comes_in(tank):
    """On the faces that are open to the wall's cells: pushed farther on, its core came out 1.12 times as fast."""
    jet = tank(3.0, (12, 16, 16), (0, 8, 8))
    assert brought(jet)[1].sum() == pytest.approx(jet.momentum, rel=1e-5)


@pytest.fixture
def inward(box):
    """Momentum flux into a box, over density, that an opening in the middle of one of its sides adds [m⁴/s²]."""

    def added(of, axis: int, upper: bool, speed: float) -> float:
        """By jets or drains, where the water before it goes into the box at so many m/s."""
        cell, way = np.full((1, 3), 4), (-1 if upper else 1) * np.eye(3)[axis]
        cell[0, axis] = 8 if upper else 0
        inflow = of is jets
        hole = Patch("hole", inflow, cell, np.ones(1), (0, 0, 0), tuple(way), tuple(way), 1e-3, (0.03, 0.03), True)
        grid = box((9, 9, 9), EDGES, patches=(hole,))
        opened = grid.shares[axis]
        along = np.where(opened > 0, np.float32(speed * way[axis]), np.float32(0))
        change, moved = np.zeros_like(along), np.zeros_like(along)
        of(axis, grid, {"hole": FLOW if inflow else -FLOW}).act(along, 1.0, 1.0, change, moved)
        return change.sum(dtype=float) * grid.cell_volume * way[axis]

    return added


@pytest.mark.parametrize(("axis", "upper"), SIDES)
def test_what_comes_out_of_the_wall_is_not_brought_again(axis, upper, inward):
    """Q U0 less A (u/2)², of the wall's area A in a cell: exact but for single precision."""
    area = np.prod(EDGES) / EDGES[axis]
    assert inward(jets, axis, upper, SPEED) == pytest.approx(FLOW**2 / 1e-3 - area * (SPEED / 2) ** 2, rel=1e-5)


@pytest.mark.parametrize(("axis", "upper"), SIDES)
def test_an_intake_takes_as_if_its_wall_were_open(axis, upper, inward):
    """A ((u + q/A)/2)² instead of A (u/2)², u the speed towards it: exact but for single precision."""
    area = np.prod(EDGES) / EDGES[axis]
    expected = area * ((SPEED + FLOW / area) / 2) ** 2 - area * (SPEED / 2) ** 2
    assert inward(drains, axis, upper, -SPEED) == pytest.approx(expected, rel=1e-5)
