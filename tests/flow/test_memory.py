"""How alike neighbouring windows of an average must be, and how many looks at the flow they amount to."""

from dataclasses import replace
from math import exp

import numpy as np
import pytest

from flowviz.flow.field import Field, Quality
from flowviz.flow.memory import likeness, looks, memory

SPEED = 0.1  # of all water [m/s]
AVERAGED, WINDOWS = 40.0, 8


@pytest.fixture(scope="module")
def long(box):
    """A box 2 m long whose water moves at one speed, averaged over 40 s in 8 windows."""
    grid = box((20, 5, 5), (0.1, 0.1, 0.1))
    speed = np.where(grid.water, np.float32(SPEED), 0)
    faces = (np.zeros_like(grid.open_x), np.zeros_like(grid.open_y), np.zeros_like(grid.open_z))
    quality = Quality(0.0, 1, 60.0, AVERAGED, steady=True)
    return grid, Field(*faces, speed, np.zeros_like(speed), np.stack([speed] * WINDOWS), quality)


def test_memory_is_half_the_time_from_end_to_end(long):
    """2 m at 0.1 m/s take 20 s; half of it by the definition."""
    assert memory(long[0], SPEED) == pytest.approx(10.0, rel=1e-6)  # single precision


def test_windows_are_as_alike_as_a_fading_memory_leaves_them(long):
    """Windows of 5 s and a memory of 10 s: exp(-1/2)."""
    assert likeness(*long)[0] == pytest.approx(exp(-0.5), rel=1e-6)  # single precision


def test_looks_are_fewer_than_windows(long):
    """m (1 - r)/(1 + r), by hand."""
    r = exp(-0.5)
    assert looks(*long) == pytest.approx(WINDOWS * (1 - r) / (1 + r), rel=1e-6)  # single precision


def test_marches_of_their_own_are_independent(long):
    grid, field = long
    field = replace(field, quality=replace(field.quality, marches=WINDOWS))
    assert likeness(grid, field) == (0.0, 0.0)
    assert looks(grid, field) == WINDOWS
