"""Mixing by eddies, worked by hand."""

from math import exp

import pytest

from flowviz.formulas.mixing import eddy_diffusivity, faded_when_mixed, mixing_length, straight_share


def test_eddies_grow_with_the_distance_from_the_wall():
    """0.41 y, but no more than 0.09 of the layer."""
    assert mixing_length(0.02, 0.3) == pytest.approx(0.0082, rel=1e-12)
    assert mixing_length(0.2, 0.3) == pytest.approx(0.027, rel=1e-12)


def test_diffusivity():
    """u' = 6 √2 cm/s: √k is 6 cm/s, and 0.55 × 0.06 × 0.01/0.7 = 4.714e-4 m²/s, to four digits."""
    assert eddy_diffusivity(0.06 * 2**0.5, 0.01) == pytest.approx(4.714e-4, rel=1e-4)
    assert eddy_diffusivity(0.0, 0.01) == 2.3e-9  # water at rest, R. Mills, J. Phys. Chem. 77 (1973) 685-688


@pytest.mark.parametrize("straight", [0.0, 0.1, 0.5, 0.9])
@pytest.mark.parametrize("fading", [2.0, 10.0])
def test_straight_share_is_found_from_what_leaves(straight, fading):
    """What leaves is the straight part unfaded and the rest from the mixed part (a sum done here)."""
    left = straight + (1 - straight) * faded_when_mixed(fading, straight)
    assert straight_share(fading, left) == pytest.approx(straight, abs=1e-12)


def test_a_mixed_tank_and_a_piston():
    """1/(1 + k) leaves a mixed tank; exp(-k), which is less, a piston: nothing goes straight."""
    assert faded_when_mixed(10.0, 0.0) == pytest.approx(1 / 11, rel=1e-12)
    assert straight_share(10.0, exp(-10.0)) == 0.0
