"""Spray bars against their closed form."""

from math import cos, pi, sin, sqrt

import pytest

from flowviz.formulas.bars import bar_flows
from flowviz.formulas.pipes import turbulent_friction_factor
from flowviz.formulas.pumps import GRAVITY

DIAMETER, COEFFICIENT = 0.0261, 0.61


def hole_for(area_ratio, holes):
    return DIAMETER * sqrt(area_ratio / holes)


@pytest.mark.parametrize("area_ratio", [0.25, 0.5, 0.74, 1.0, 1.5, 2.0])
def test_bar_without_friction(area_ratio):
    """Closed form for many holes in a bar whose total head H stays the same, with n = C ΣA/A.

    dQ/dx = -(C ΣA/L) √(2 g H - V²) with V = Q/A gives V = √(2 g H) sin(n (1 - x/L)): the hole at the inlet gives cos
    n of the one at the end, and Q = A √(2 g H) sin n. What is left is 400 holes for many: within 1 % of the spread.
    """
    flows, head = bar_flows(1.0, 400, hole_for(area_ratio, 400), DIAMETER, 1e-9, COEFFICIENT, 1e-6)
    n = COEFFICIENT * area_ratio
    assert flows[-1] / flows[0] == pytest.approx(cos(n), abs=0.01 * (1 - cos(n)) + 1e-5)
    assert sum(flows) == pytest.approx(pi / 4 * DIAMETER**2 * sqrt(2 * GRAVITY * head) * sin(n), rel=3e-3)


@pytest.mark.parametrize(("area_ratio", "spread"), [(0.25, 0.02), (0.5, 0.05)])
def test_many_small_holes_are_even(area_ratio, spread):
    """Rule of filter laterals (AWWA/ASCE, Water Treatment Plant Design): ports 0.25 to 0.5 of the bar, a few per
    cent.
    """
    flows, _ = bar_flows(1.0, 40, hole_for(area_ratio, 40), DIAMETER, 1e-9, COEFFICIENT, 1e-6)
    assert 1 - min(flows) / max(flows) < spread


def test_friction_works_against_the_regain():
    """Published in words: friction lowers the far holes, slowing water raises them; so a longer bar is more even
    here.
    """
    short, _ = bar_flows(1.0, 20, hole_for(1.0, 20), DIAMETER, 0.001, COEFFICIENT, 1e-6)
    long, _ = bar_flows(1.0, 20, hole_for(1.0, 20), DIAMETER, 0.05, COEFFICIENT, 1e-6)
    assert min(long) / max(long) > min(short) / max(short)


def test_two_wide_holes_and_the_pipe_between_them_obey_their_laws():
    """q = C a √(2 g (H - V²/2g)) with V before the hole, and f L/D V²/2g lost along each stretch, put in backwards."""
    (end, first), head = bar_flows(1.0, 2, 0.012, DIAMETER, 0.5, COEFFICIENT, 1e-6)
    before_end, before_first = (4 * flow / (pi * DIAMETER**2) for flow in (end, end + first))
    lost = [
        turbulent_friction_factor(speed * DIAMETER / 1e-6, 0.0) * 0.5 / DIAMETER * speed**2 / (2 * GRAVITY)
        for speed in (before_end, before_first)
    ]
    opening = COEFFICIENT * pi / 4 * 0.012**2
    assert end == pytest.approx(opening * sqrt(2 * GRAVITY - before_end**2), rel=1e-12)
    assert first == pytest.approx(opening * sqrt(2 * GRAVITY * (1 + lost[0]) - before_first**2), rel=1e-12)
    assert head == pytest.approx(1 + sum(lost), rel=1e-12)


def test_without_head_at_its_end_a_bar_stands_still():
    assert bar_flows(0.0, 3, 0.005, DIAMETER, 0.1, COEFFICIENT, 1e-6) == ([0.0, 0.0, 0.0], 0.0)
