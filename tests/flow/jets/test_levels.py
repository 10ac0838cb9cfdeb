"""Jets as a client gets them: from the sketch and from a coarse field, given back what their cells do not carry."""

import numpy as np
import pytest

from flowviz.flow.solve import solve_flow

BORE, WIDE = 1.2, 56  # cells


@pytest.fixture(scope="module")
def decay(tank, found, law):
    """Decay constant by detail."""

    def at(detail: str) -> float:
        jet = tank(BORE, (76, WIDE, WIDE), (0, WIDE / 2 + 0.5, WIDE / 2 + 0.5))
        return law(found(jet, solve_flow(jet.grid, jet.rates, 1e-6, detail)), np.zeros(1)).decay

    return at


@pytest.mark.slow
@pytest.mark.parametrize(
    "detail",
    [
        "sketch",
        pytest.param("coarse", marks=pytest.mark.xfail(strict=True, reason="3.4 to 4.6 reached: see the docstring")),
    ],
)
def test_decay(detail, decay):
    """B 5.2 to 7.0, asked of levels below fine. Reached: 5.5 by the sketch.

    In a tank in which the water has gone round for a minute the jet wanders, and a mean about its own straight axis is
    wider and slower than the jet at any moment: twelve coarse marches together give 3.2, and a fine run of 410 s 5.7
    with a half-width slope of 0.106. Marched from rest on cells as large the jet obeys the law: see test_free_jet.py.
    """
    assert 5.2 <= decay(detail) <= 7.0
