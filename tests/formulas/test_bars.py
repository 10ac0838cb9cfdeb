"""Spray bars against their closed form."""

from math import pi, sqrt

import pytest

from flowviz.formulas.bars import bar_evenness, bar_flows, bar_head

DIAMETER, COEFFICIENT = 0.0261, 0.61


def hole_for(area_ratio, holes):
    return DIAMETER * sqrt(area_ratio / holes)


@pytest.mark.parametrize(
    ("area_ratio", "evenness"),
    [(0.25, 0.98839), (0.5, 0.95385), (0.74, 0.89984), (1.0, 0.81965), (1.5, 0.60979), (2.0, 0.34365)],
)
def test_bar_without_friction(area_ratio, evenness):
    """cos(C ΣA/A), worked out apart to five decimals; 400 holes on no length are many: within 1 % of the spread."""
    assert bar_evenness(area_ratio, COEFFICIENT) == pytest.approx(evenness, abs=6e-6)
    flows, head = bar_flows(1.0, 400, hole_for(area_ratio, 400), DIAMETER, 1e-9, COEFFICIENT, 1e-6)
    assert flows[-1] / flows[0] == pytest.approx(evenness, abs=0.01 * (1 - evenness) + 1e-5)
    closed = bar_head(sum(flows), pi / 4 * DIAMETER**2, area_ratio, COEFFICIENT)
    assert head == pytest.approx(closed, rel=5e-3)  # of 400 holes


@pytest.mark.parametrize(("spread", "area_ratio"), [(0.05, 0.521), (0.10, 0.739), (0.15, 0.910)])
def test_area_ratio_for_a_spread(spread, area_ratio):
    """Worked out apart to three decimals."""
    assert 1 - bar_evenness(area_ratio, COEFFICIENT) == pytest.approx(spread, abs=3e-4)


def test_many_small_holes_are_even():
    """Design rule of filter laterals: ports 0.25 to 0.5 of the bar keep within a few per cent (AWWA/ASCE)."""
    assert bar_evenness(0.25, COEFFICIENT) > 0.98
    assert bar_evenness(0.5, COEFFICIENT) > 0.95


def test_friction_works_against_the_regain():
    """Published in words: friction lowers the far holes, slowing water raises them; so a longer bar is more even
    here.
    """
    short, _ = bar_flows(1.0, 20, hole_for(1.0, 20), DIAMETER, 0.001, COEFFICIENT, 1e-6)
    long, _ = bar_flows(1.0, 20, hole_for(1.0, 20), DIAMETER, 0.05, COEFFICIENT, 1e-6)
    assert min(long) / max(long) > min(short) / max(short)
