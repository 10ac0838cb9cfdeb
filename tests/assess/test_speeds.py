"""The distribution of speeds, by hand."""

import numpy as np
import pytest

from flowviz.assess.speeds import share_between, share_over, share_under, speed_statistics


def test_distribution_of_evenly_spread_speeds():
    """101 speeds from 0 to 1 m/s in equal steps: every quantile is its own share."""
    found = speed_statistics(np.linspace(0.0, 1.0, 101)[::-1], np.ones(101))
    assert (found.p05, found.median, found.p95) == pytest.approx((0.05, 0.5, 0.95), abs=1e-12)  # rounding
    assert (found.mean, found.max) == pytest.approx((0.5, 1.0), abs=1e-12)


def test_cells_count_by_their_weights():
    """As if each were there so many times, alike."""
    speeds, times = np.array([0.3, 0.1, 0.4, 0.2]), np.array([2, 3, 1, 14])
    each = np.repeat(speeds, times)
    assert speed_statistics(speeds, times) == speed_statistics(each, np.ones(20))
    assert share_under(speeds, 0.2, times) == share_under(each, 0.2) == 0.15
    assert share_over(speeds, 0.2, times) == share_over(each, 0.2) == 0.15
    assert share_between(speeds, 0.2, 0.3, times) == share_between(each, 0.2, 0.3) == 0.8


def test_a_speed_at_a_limit_is_neither_under_nor_over():
    speeds = np.array([0.25, 0.5, 0.5, 0.75])
    assert share_under(speeds, 0.5) == 0.25
    assert share_over(speeds, 0.5) == 0.25
    assert share_between(speeds, 0.5, 0.5) == 0.5
