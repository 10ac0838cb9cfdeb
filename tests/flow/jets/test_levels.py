"""Jets as a client gets them: in water that has gone round, given back what their cells do not carry."""

import numpy as np
import pytest

from flowviz.flow.solve import solve_flow

BORE, WIDE, RUNS = 1.2, 56, 8  # cells, cells


@pytest.fixture(scope="module")
def laws(tank, found, law):
    """What the jet of each of several runs does about its own axis, by detail: decay, growth, entrainment (8, 3)."""

    def at(detail: str) -> np.ndarray:
        jet = tank(BORE, (76, WIDE, WIDE), (0, WIDE / 2 + 0.5, WIDE / 2 + 0.5))
        runs = (solve_flow(jet.grid, jet.rates, 1e-6, detail, seed=seed) for seed in range(RUNS))
        each = (law(found(jet, field), np.zeros(1)) for field in runs)
        return np.array([(of.decay, of.growth, of.entrainment) for of in each])

    return {detail: at(detail) for detail in ("sketch", "coarse")}


def mean_lies_within(values: np.ndarray, low: float, high: float) -> bool:
    """Give or take twice the standard error of a mean of so few runs."""
    error = 2 * values.std(ddof=1) / len(values) ** 0.5
    return low <= values.mean() + error and values.mean() - error <= high


@pytest.mark.slow
@pytest.mark.parametrize("detail", ["sketch", "coarse"])
def test_decay(detail, laws):
    """B 5.2 to 7.0, asked of levels below fine, as the mean of eight runs.

    The jet wanders, and a mean about its own straight axis is wider and slower than the jet at any moment: they gave
    4.9 to 6.1 by the sketch, 4.3 to 5.6 on coarse cells; a fine run of 154 s 5.3, one of 32 s 4.4.
    """
    assert mean_lies_within(laws[detail][:, 0], 5.2, 7.0)


@pytest.mark.slow
@pytest.mark.parametrize("detail", ["sketch", "coarse"])
def test_growth(detail, laws):
    """Slope of the half-width 0.08 to 0.12, asked of levels below fine."""
    assert mean_lies_within(laws[detail][:, 1], 0.08, 0.12)


@pytest.mark.slow
@pytest.mark.parametrize(
    "detail",
    [
        "sketch",
        pytest.param("coarse", marks=pytest.mark.xfail(strict=True, reason="0.41 reached; fine 0.44 in this tank too")),
    ],
)
def test_entrainment(detail, laws):
    """0.28 to 0.35 of the outlet's flow in each bore.

    F. P. Ricou, D. B. Spalding, J. Fluid Mech. 11 (1961) 21-32: 0.32 in water at rest. Here what goes round is taken in
    as well, with the velocity that it has.
    """
    assert mean_lies_within(laws[detail][:, 2], 0.28, 0.35)
