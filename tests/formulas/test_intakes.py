"""Weirs and whirls at intakes against the other unit system that they are printed in, and another author."""

from math import pi

import pytest

from flowviz.formulas.intakes import least_submergence, weir_flow
from flowviz.formulas.pumps import GRAVITY

INCH, FOOT, GALLON_MINUTE = 0.0254, 0.3048, 6.30901964e-5


@pytest.mark.parametrize(("length", "head"), [(3.0, 0.3), (5.0, 1.0)])
def test_francis_in_feet(length, head):
    """J. B. Francis: Q = 3.33 (b - n h/10) h^(3/2) in feet, two ends that narrow it: n = 2; to its three digits."""
    printed = 3.33 * (length - 2 * head / 10) * head**1.5
    assert weir_flow(length * FOOT, head * FOOT) == pytest.approx(printed * FOOT**3, rel=1e-3)


def test_another_author_on_a_long_weir():
    """T. Rehbock (1929, from memory): 2/3 √(2 g) C h^(3/2), C = 0.602 + 0.083 h/P, at h = P/5; they differ by 1 %."""
    other = 2 / 3 * (2 * GRAVITY) ** 0.5 * (0.602 + 0.083 / 5) * 0.1**1.5
    assert weir_flow(100.0, 0.1) / 100.0 == pytest.approx(other, rel=0.01)


def test_an_edge_shorter_than_its_ends_narrow_it_passes_nothing():
    assert weir_flow(0.01, 0.1) == 0.0


def test_submergence_in_inches():
    """ANSI/HI 9.8 in its other units, S = D + 0.574 Q/D^1.5 (in, gpm; from memory): 12 in and 1000 gpm, 25.8 in."""
    diameter, flow = 12 * INCH, 1000 * GALLON_MINUTE
    printed = 12 + 0.574 * 1000 / 12**1.5
    assert least_submergence(diameter, flow / (pi / 4 * diameter**2)) / INCH == pytest.approx(printed, rel=1e-3)
