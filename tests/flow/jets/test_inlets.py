"""What outlets bring: all of their momentum, where their water comes in."""

import numpy as np
import pytest

from flowviz.flow.inlets import jets


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
