"""Turbulent velocities against an independent distribution and the formulas' own limits."""

from math import pi, sqrt

import pytest
from scipy.stats import ncx2

from flowviz.formulas.turbulence import mean_magnitude, subgrid_rms


@pytest.mark.parametrize(("speed", "rms"), [(0.01, 0.3), (0.1, 0.3), (0.3, 0.3), (0.3, 0.1), (0.3, 0.02)])
def test_mean_magnitude_is_that_of_a_scattered_vector(speed, rms):
    """|u|² over the variance of a component has a noncentral chi-square distribution; scipy integrates its root."""
    scatter = rms / sqrt(3)
    expected = scatter * ncx2(3, (speed / scatter) ** 2).expect(sqrt)
    assert mean_magnitude(speed, rms) == pytest.approx(expected, rel=1e-6)  # the quadrature's error


@pytest.mark.parametrize(
    ("speed", "rms", "expected"), [(0.0, 0.0, 0.0), (0.2, 0.0, 0.2), (0.0, 0.3, 0.3 * sqrt(8 / 3 / pi))]
)
def test_mean_magnitude_at_its_ends(speed, rms, expected):
    """Exact: no scatter, and scatter about rest (Maxwell's distribution)."""
    assert mean_magnitude(speed, rms) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("edge", [1e-3, 1e3])
def test_mean_magnitude_has_no_step_where_its_series_end(edge):
    """At the ratios of speed and scatter where the formula is cut off, both sides agree to the ratio's square."""
    below, above = (mean_magnitude(edge * factor, sqrt(3)) for factor in (1 - 1e-9, 1 + 1e-9))
    assert below == pytest.approx(above, rel=1e-6)


def test_subgrid_motion_gives_back_the_viscosity_it_was_told_by():
    """ν_t = 0.1 Δ √k (Deardorff 1980), solved for k by hand: k = (1e-4/(0.1 x 0.05))² = 4e-4."""
    assert subgrid_rms(1e-4, 0.05) == pytest.approx(sqrt(2 * 4e-4), rel=1e-12)
