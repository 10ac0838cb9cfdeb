"""Holes and draining tanks against a printed table, a printed example and a sum over time."""

from math import pi, sqrt

import pytest

from flowviz.formulas.drain import SHARP_EDGE, SHORT_TUBE, drain_time, hole_flow

INCH, FOOT, GALLON_MINUTE = 0.0254, 0.3048, 6.30901964e-5


def test_printed_discharge_of_drilled_holes(published):
    """N.J.A.C. 7:9A-9.7, thirty holes in pipe walls; its own coefficient is 0.599 to 0.611."""
    rows = published("drilled_holes.csv")
    assert len(rows) == 30
    for row in rows:
        area = pi / 4 * (float(row["hole"]) * INCH) ** 2
        flow = hole_flow(0.605, area, float(row["head"]) * FOOT) / GALLON_MINUTE
        assert flow == pytest.approx(float(row["discharge"]), rel=0.011)


def test_flow_through_a_bore():
    """25 mm under 0.70 m of water with C = 0.61, worked out apart: 1.1095 L/s."""
    assert hole_flow(SHARP_EDGE, pi / 4 * 0.025**2, 0.70) == pytest.approx(1.1095e-3, abs=1e-7)


def test_a_short_tube_loses_what_its_edge_does():
    """C = 1/√(K + 1) of a sharp flush edge, K = 0.5 (EPANET 2 Users Manual, table 3.3), whose velocity head goes with
    the jet: 0.816; the print has two digits. The 1911 article has 0.87 by theory and 0.82 by experiment.
    """
    whole = hole_flow(1.0, 5e-4, 0.7)
    assert hole_flow(SHORT_TUBE, 5e-4, 0.7) == pytest.approx(whole / sqrt(0.5 + 1), rel=0.006)


def test_printed_drain_time():
    """Cengel and Cimbala, Fluid Mechanics: 3 ft across, jet of 0.5 in, from 4 ft to 2 ft, no coefficient: 757 s.

    From memory; the book rounds g to 32.2 ft/s².
    """
    tank, jet = pi / 4 * (3 * FOOT) ** 2, pi / 4 * (0.5 * INCH) ** 2
    assert drain_time(tank, 1.0, jet, 4 * FOOT, 2 * FOOT) == pytest.approx(757, rel=1e-3)


def test_drain_time_is_the_sum_of_its_moments():
    """1.80 m² through 25 mm from 0.70 to 0.20 m in 100000 steps of level; the midpoint rule's error is below 1e-9."""
    hole, steps = pi / 4 * 0.025**2, 100_000
    fall = 0.5 / steps
    moments = (1.80 * fall / hole_flow(SHARP_EDGE, hole, 0.70 - (i + 0.5) * fall) for i in range(steps))
    whole = drain_time(1.80, SHARP_EDGE, hole, 0.70, 0.20)
    assert whole == pytest.approx(sum(moments), rel=1e-8)
    assert whole == pytest.approx(1057.24, abs=0.01)


def test_the_last_quarter_takes_half_the_time():
    """A property of Torricelli's law."""
    assert drain_time(1.8, 0.61, 5e-4, 0.25 * 0.7, 0.0) == pytest.approx(drain_time(1.8, 0.61, 5e-4, 0.7, 0.0) / 2)
