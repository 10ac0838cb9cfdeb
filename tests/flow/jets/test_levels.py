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
        pytest.param("coarse", marks=pytest.mark.xfail(strict=True, reason="2.0 to 5.2 reached: see the docstring")),
    ],
)
def test_decay(detail, decay):
    """B 5.2 to 7.0, asked of levels below fine. Reached: 5.5 by the sketch.

    A coarse march starts from the sketch's, whose jet is as wide as its cells; in a tank as large as this one what is
    left of that jet mixes with the new one for a minute, and a coarse march settles for three seconds. Marched from
    rest on the same cells the jet obeys the law: see test_free_jet.py.
    """
    assert 5.2 <= decay(detail) <= 7.0
