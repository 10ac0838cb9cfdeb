"""Mixing by eddies, worked by hand."""

import pytest

from flowviz.formulas.mixing import eddy_diffusivity, mixing_length


def test_eddies_grow_with_the_distance_from_the_wall():
    """0.41 y, but no more than 0.09 of the layer."""
    assert mixing_length(0.02, 0.3) == pytest.approx(0.0082, rel=1e-12)
    assert mixing_length(0.2, 0.3) == pytest.approx(0.027, rel=1e-12)


def test_diffusivity():
    """u' = 6 √2 cm/s: √k is 6 cm/s, and 0.55 × 0.06 × 0.01/0.7 = 4.714e-4 m²/s, to four digits."""
    assert eddy_diffusivity(0.06 * 2**0.5, 0.01) == pytest.approx(4.714e-4, rel=1e-4)
    assert eddy_diffusivity(0.0, 0.01) == 2.3e-9  # water at rest, R. Mills, J. Phys. Chem. 77 (1973) 685-688
