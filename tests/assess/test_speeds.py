"""The distribution of speeds, by hand."""

import numpy as np
import pytest

from flowviz.assess.speeds import share_between, share_over, share_under, speed_statistics


def test_distribution_of_evenly_spread_speeds():
    """101 speeds from 0 to 1 m/s in equal steps: every quantile is its own share."""
    found = speed_statistics(np.linspace(0.0, 1.0, 101)[::-1])
    assert (found.p05, found.median, found.p95) == pytest.approx((0.05, 0.5, 0.95), abs=1e-12)  # rounding
    assert (found.mean, found.max) == pytest.approx((0.5, 1.0), abs=1e-12)


def test_a_speed_at_a_limit_is_neither_under_nor_over():
    speeds = np.array([0.25, 0.5, 0.5, 0.75])
    assert share_under(speeds, 0.5) == 0.25
    assert share_over(speeds, 0.5) == 0.25
    assert share_between(speeds, 0.5, 0.5) == 0.5
