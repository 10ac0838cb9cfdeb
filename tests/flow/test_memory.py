"""How alike neighbouring windows of an average must be, and how many looks at the flow they amount to."""

from dataclasses import replace
from math import exp

import numpy as np
import pytest
from scipy.signal import lfilter

from flowviz.flow.field import Quality
from flowviz.flow.memory import between_means, likeness, looks, memory

SPEED = 0.1  # of all water [m/s]
AVERAGED, WINDOWS = 40.0, 8


@pytest.fixture(scope="module", params=[((20, 5, 5), (0.1, 0.12, 0.08)), ((18, 25, 6), (0.1, 0.08, 0.12))])
def long(box, make, request):
    """A box 2 m long, along x or along y, whose water moves at one speed, averaged over 40 s in 8 windows."""
    grid = box(*request.param)
    speeds = np.full((WINDOWS, *grid.shape), SPEED)
    return grid, make.field(grid, speeds, quality=Quality(0.0, 1, 60.0, AVERAGED, steady=True))


def test_memory_is_the_time_from_end_to_end(long):
    """2 m at 0.1 m/s take 20 s."""
    assert memory(long[0], SPEED) == pytest.approx(20.0, rel=1e-6)  # single precision


def test_looks_are_fewer_than_windows(long):
    """Windows of 5 s and a memory of 20 s: m (x - 1 + exp(-x))/x with x = 1/4, by hand."""
    assert looks(*long) == pytest.approx(WINDOWS * (exp(-0.25) - 0.75) / 0.25, rel=1e-5)  # single precision


def test_windows_are_as_alike_as_their_scatter_tells():
    """Of a process of known memory: 40,000 steps of first order, means over windows of 2 memories; 3 % by chance."""
    x, step = 2.0, 0.05
    noise = np.random.default_rng(1).standard_normal(800_000)
    values = lfilter([1], [1, -exp(-step)], noise)
    windows = values.reshape(-1, round(x / step)).mean(axis=1)
    longer = windows.reshape(-1, 20).mean(axis=1)
    r = between_means(x)
    assert (1 + r) / (1 - r) == pytest.approx(20 * longer.var() / windows.var(), rel=0.1)  # of 1000 longer windows


def test_very_short_windows_are_alike_as_single_values():
    """exp(-x) and what a mean over so short a window gives differ by x²/12; 1e-5 for the change of formulas."""
    assert between_means(1e-4) == pytest.approx(exp(-1e-4), abs=1e-8)
    assert between_means(1.1e-3) == pytest.approx(exp(-1.1e-3), abs=1e-5)


def test_marches_of_their_own_are_independent(long):
    grid, field = long
    field = replace(field, quality=replace(field.quality, marches=WINDOWS))
    assert likeness(grid, field) == (0.0, 0.0)
    assert looks(grid, field) == WINDOWS


def test_what_hangs_on_fast_water_is_forgotten_as_soon_as_that_is_gone(long):
    """At 0.5 m/s it needs 4 s, at 0.05 m/s no longer than all water; windows of 5 s."""
    assert likeness(*long, above=0.5)[0] == pytest.approx(between_means(5 / 4), rel=1e-6)
    assert likeness(*long, above=0.05) == likeness(*long)
