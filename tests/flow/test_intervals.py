"""Intervals from windows, against the textbook and against series whose memory is known."""

from math import exp, isnan, sqrt

import numpy as np
import pytest
from scipy.stats import t as student
from scipy.stats import ttest_ind

from flowviz.flow.intervals import Doubt, half_width, half_width_at, half_width_of_difference, half_widths
from flowviz.flow.memory import between_means

EVERY = np.arange(50)  # positions of all cells of the fields below


def mean_of(values):
    return {"mean": float(values.mean())}


def fading(generator, windows, memory, repeats, steps=10):
    """Means over windows (repeats, windows) of unit series whose correlation fades as exp(-time/memory).

    memory  in windows; each window has so many steps
    """
    kept = np.exp(-1 / (memory * steps))
    series = np.empty((repeats, windows * steps))
    series[:, 0] = generator.standard_normal(repeats)
    kicks = generator.standard_normal(series.shape) * sqrt(1 - kept**2)
    for step in range(1, series.shape[1]):
        series[:, step] = kept * series[:, step - 1] + kicks[:, step]
    return series.reshape(repeats, windows, steps).mean(axis=-1)


def test_mean_of_windows_without_memory_has_the_textbook_interval():
    """t s/√m (any textbook of statistics); the values alternate, so that neighbours are not positively correlated."""
    values = np.array([3.0, 1.0, 4.0, 1.5, 5.0, 0.5, 6.0, 1.0])
    windows = np.broadcast_to(values[:, None], (8, 50))
    expected = student.ppf(0.975, 7) * values.std(ddof=1) / sqrt(8)
    found = half_widths(mean_of, windows.mean(axis=0), windows, EVERY)
    assert found["mean"] == pytest.approx(expected, rel=1e-12)  # rounding


def test_correlated_windows_widen_the_interval_by_the_stated_factor():
    """Of 1, 2, 3, 4 about 2.5 it is ((-1.5)(-0.5) + (-0.5)(0.5) + (0.5)(1.5))/5 = 0.25, and 1/m more is 0.5."""
    values = np.array([1.0, 2.0, 3.0, 4.0])
    plain = student.ppf(0.975, 3) * values.std(ddof=1) / 2
    assert half_width(values) == pytest.approx(plain * sqrt((1 + 0.5) / (1 - 0.5)), rel=1e-12)  # rounding


def test_one_window_leaves_the_interval_unknown():
    assert isnan(half_widths(mean_of, np.ones(50), np.ones((1, 50)), EVERY)["mean"])


def test_windows_all_alike_leave_no_doubt():
    assert half_width(np.full(5, 0.25)) == 0.0


def test_only_the_chosen_cells_count():
    windows = np.zeros((4, 50))
    windows[:, 7] = (0.0, 1.0, 0.0, 1.0)
    widths = [half_widths(mean_of, windows.mean(axis=0), windows, np.array(cells))["mean"] for cells in ([7], [6, 8])]
    assert widths[0] > 0.0
    assert widths[1] == 0.0


@pytest.mark.parametrize(("memory", "low", "high"), [(0.2, 0.94, 0.96), (0.5, 0.91, 0.94), (1.0, 0.85, 0.93)])
@pytest.mark.parametrize("count", [4, 8, 16, 32])
def test_interval_of_a_mean_holds_the_truth_as_often_as_stated(memory, low, high, count):
    """The ranges are those of half_width's docstring, widened by three standard errors of 4000 repeats: 0.01."""
    values = fading(np.random.default_rng(count), count, memory, repeats=4000)
    held = [abs(row.mean()) <= half_width(row) for row in values]
    assert low - 0.01 <= np.mean(held) <= high + 0.01


def test_interval_of_a_share_holds_the_truth():
    """Cells whose true means are known share one wandering current; counted: how often the true dead share is held.

    The windows are five memories long, so 95 times in 100, less what the curvature of the share takes. 0.02 is two
    standard errors of 500 repeats.
    """
    true = np.linspace(0.0, 0.1, 400)
    limit, share = 0.03, 0.3  # 120 of the 400 true means lie below the limit
    assert np.count_nonzero(true < limit) / true.size == pytest.approx(share)
    wander = 0.004 * fading(np.random.default_rng(5), 10, 0.2, repeats=500)
    held = 0
    for row in wander:
        windows = true + row[:, None]
        width = half_widths(lambda v: {"dead": np.mean(v < limit)}, windows.mean(axis=0), windows, np.arange(400))[
            "dead"
        ]
        held += abs(np.mean(windows.mean(axis=0) < limit) - share) <= width
    assert held / 500 == pytest.approx(0.95, abs=0.02)


@pytest.mark.parametrize(("memory", "low", "high"), [(8.0, 0.86, 0.87), (4.0, 0.86, 0.9), (2.0, 0.88, 0.92)])
@pytest.mark.parametrize("count", [8, 16])
def test_a_known_correlation_mends_what_short_windows_promise(memory, low, high, count):
    """Windows of an eighth to a half of the memory; the ranges are half_width's, widened by 0.015: three standard
    errors of 4000 repeats. Without what is known beforehand they hold the truth 57 to 85 times in 100.
    """
    values = fading(np.random.default_rng(count), count, memory, repeats=4000)
    least = float(np.exp(-1 / memory))
    held = np.mean([abs(row.mean()) <= half_width(row, (least, 0.95)) for row in values])
    plain = np.mean([abs(row.mean()) <= half_width(row) for row in values])
    assert low - 0.015 <= held <= high + 0.015
    assert plain < held


def test_difference_of_two_means_has_the_interval_of_welch():
    """Against scipy's own two-sample test with unequal variances, on windows without memory."""
    generator = np.random.default_rng(3)
    one, other = generator.normal(1.0, 0.2, 8), generator.normal(1.3, 0.5, 12)
    doubts = [Doubt(half_width(values, (0.0, 0.0)), values.size, values.size) for values in (one, other)]
    for wrong in (0.05, 0.002):
        interval = ttest_ind(one, other, equal_var=False).confidence_interval(1 - wrong)
        expected = (interval.high - interval.low) / 2
        assert half_width_of_difference(*doubts, wrong) == pytest.approx(expected, rel=1e-9)  # rounding


def test_difference_from_an_exact_figure_has_the_figure_s_own_interval():
    values = np.random.default_rng(4).normal(1.0, 0.2, 8)
    doubt = Doubt(half_width(values, (0.0, 0.0)), 8, 8.0)
    assert half_width_at(doubt, 0.05) == pytest.approx(doubt.half_width, rel=1e-9)  # rounding


def test_difference_of_what_is_unknown_is_unknown_and_of_what_is_exact_exact():
    exact, unknown = Doubt(0.0, 8, 8.0), Doubt(float("nan"), 1, 2.0)
    assert half_width_of_difference(exact, exact, 0.05) == 0.0
    assert isnan(half_width_of_difference(exact, unknown, 0.05))


@pytest.mark.parametrize("window", [0.5, 0.8, 2.0])
@pytest.mark.parametrize("count", [8, 16])
def test_its_own_memory_gives_a_figure_its_own_interval(window, count):
    """A process that fades five times as soon as another beside it, in windows of so many of its own memories.

    The variance of the mean over X memories is exact, 2 (X - 1 + exp(-X))/X²; so is what windows scatter, and with it
    the least that is claimed, for r is never below the memory's. A correlation that is seen by chance makes it larger:
    up to half as large again as the truth. With the other's memory it is 1.7 times the truth at least, which is how
    intervals of jets were too wide. 3 % for 2000 repeats.
    """
    values = fading(np.random.default_rng(count), count, 1 / window, repeats=2000, steps=20)
    of_one, of_all = (2 * (x - 1 + exp(-x)) / x**2 for x in (window, window * count))

    def claimed(alike):
        widths = [half_width(row, (alike, 0.95)) / student.ppf(0.975, count - 1) for row in values]
        return sqrt(np.mean(np.square(widths)) / of_all)

    def at_least(alike):
        return sqrt((of_one - of_all) / (count - 1) * (1 + alike) / (1 - alike) / of_all)

    own, slower = between_means(window), between_means(window / 5)
    assert max(0.97 * at_least(own), 0.8) <= claimed(own) <= 1.5
    assert claimed(slower) >= 0.97 * at_least(slower) >= 1.7
