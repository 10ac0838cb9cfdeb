"""Wall laws against the profiles that they stand for."""

from math import log, log10, sqrt

import pytest

from flowviz.formulas.walls import eddy_viscosity, rough_wall, smooth_wall

NU = 1e-6  # [m²/s]


def smooth_profile(reduced):
    """u+ at a y+ by smooth_wall, at 1 cm from the wall in water of 1e-6 m²/s."""
    friction = reduced * NU / 0.01
    speed = (friction**2 / smooth_wall(NU, 0.01)) ** (4 / 7)
    return speed / friction


@pytest.mark.parametrize("reduced", [12.0, 100.0, 1000.0])
def test_smooth_wall_is_the_power_law(reduced):
    """u+ = 8.3 y+^(1/7), written out here."""
    assert smooth_profile(reduced) == pytest.approx(8.3 * reduced ** (1 / 7), rel=1e-12)


def test_smooth_wall_meets_the_viscous_layer():
    """u+ = y+ at y+ = 11.81, as Werner and Wengle (1991) print it."""
    assert smooth_profile(11.81) == pytest.approx(11.81, rel=1e-3)


@pytest.mark.parametrize("reduced", [30.0, 100.0, 300.0, 1000.0])
def test_smooth_wall_is_near_the_log_law(reduced):
    """u+ = ln(y+)/0.41 + 5.2 (S. B. Pope, Turbulent Flows (2000), section 7.1, from memory): a seventh power is 3 % off
    that at most from y+ of 30 to 1000.
    """
    assert smooth_profile(reduced) == pytest.approx(log(reduced) / 0.41 + 5.2, rel=0.03)


@pytest.mark.parametrize("heights", [1.0, 10.0, 100.0])
def test_rough_wall_is_near_nikuradse(heights):
    """u/u* = 8.48 + 5.75 log₁₀(y/ks), J. Nikuradse (1933), who has 0.40 for 0.41 and 29.8 for 30: 3 % less speed."""
    assert 1 / sqrt(rough_wall(2e-3, heights * 2e-3)) == pytest.approx(8.48 + 5.75 * log10(heights), rel=0.03)


def test_within_the_roughness_the_law_ends():
    """At a tenth of the roughness, 30 y/ks is 3; nearer to the wall it stays so."""
    assert rough_wall(0.01, 0.001) == rough_wall(0.01, 1e-6) == pytest.approx((0.41 / log(3)) ** 2, rel=1e-12)


def test_eddy_viscosity_is_that_of_the_log_law():
    """u*² = ν_t dU/dy with U = u*/0.41 ln y + c, at two distances: exact."""
    friction = 0.03
    for distance in (0.01, 0.04):
        slope = friction / 0.41 / distance
        assert eddy_viscosity(friction, distance) * slope == pytest.approx(friction**2, rel=1e-12)
