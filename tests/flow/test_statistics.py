"""Means over time, of a motion that is known beforehand."""

from itertools import pairwise

import numpy as np
import pytest

from flowviz.errors import ConvergenceError
from flowviz.flow.statistics import Record, gather
from flowviz.grid.grid import Grid, Kind

STEP = 0.03  # [s], no divisor of the times below


class Swing:
    """A march whose water moves along x alone, at 0.3 + 0.1 t up to 5 s and at rest afterwards, everywhere alike."""

    def __init__(self, step: float = STEP) -> None:
        shape = (3, 2, 2)
        self.longest, self.time, self.steps = step, 0.0, 0
        faces = [np.ones(np.add(shape, extra), np.float32) for extra in np.eye(3, dtype=int)]
        kind, none = np.full(shape, Kind.WATER, np.uint8), np.zeros(shape, bool)
        self.grid = Grid((0.1,) * 3, kind, np.ones(shape, np.float32), *faces, (), (), none)
        self.velocity = tuple(np.zeros_like(face) for face in faces)

    def step(self, longest: float) -> float:
        went = min(self.longest, longest)
        self.time += went
        self.steps += 1
        self.velocity[0][:] = 0.3 + 0.1 * self.time if self.time < 5 else 0
        return went


def test_windows_end_when_they_are_asked_to():
    """Exact but for the sum of the steps: rounding."""
    march = Swing()
    assert [gather(march, seconds).time for seconds in (0.5, 0.25)] == pytest.approx([0.5, 0.25], rel=1e-9)
    assert march.time == pytest.approx(0.75, rel=1e-9)


def test_means_and_scatter_of_a_known_motion():
    """Over 4 s the speed 0.3 + 0.1 t has mean 0.5 and rms 0.4/√12; counting each four steps late adds 0.006.

    The middle cell alone: faces on the box count as shut.
    """
    march = Swing()
    record = Record(march)
    for _ in range(8):
        record.count(march, 0.5)
    field = record.field(record.quality(march, steady=True))
    assert field.speed[1] == pytest.approx(0.5, abs=0.006)
    assert field.u[1:-1] == pytest.approx(0.5, abs=0.006)
    assert field.fluctuation[1] == pytest.approx(0.4 / np.sqrt(12), abs=0.006)
    assert field.quality.averaged == pytest.approx(4.0, rel=1e-9)
    assert field.quality.steady
    assert all(first.mean() < second.mean() for first, second in pairwise(field.batches))


def test_batches_have_the_speed_as_their_mean_also_when_joined():
    """Windows of equal length: the mean is exact but for float32 rounding, each but for two to float16, of 2^-11."""
    march = Swing()
    record = Record(march)
    for _ in range(16):
        record.count(march, 0.5)
    before = record.field(record.quality(march, steady=False))
    record.pair()
    after = record.field(record.quality(march, steady=False))
    assert len(after.batches) == 8
    for field in (before, after):
        assert field.batches.mean(axis=0) == pytest.approx(field.speed, rel=1e-5)
    assert after.batches[0] == pytest.approx((before.batches[0] + before.batches[1]) / 2, rel=2 * 2**-11)


def test_windows_make_up_for_the_rounding_of_those_before():
    """One speed in all: else each would be off by the same, a fifth of 2^-12 m/s; now their mean by half in 16."""
    march = Swing()
    record = Record(march)
    march.velocity[0][:] = 0.3 + 0.4 * 2**-12
    for _ in range(16):
        record.sums.add(march.velocity, 1.0)
        record.end_window()
    alone, mean = np.float16(0.3 + 0.4 * 2**-12), np.mean(record.speeds, axis=0, dtype=np.float64)
    assert abs(alone - 0.3 - 0.4 * 2**-12) > 0.15 * 2**-12
    assert mean[1] == pytest.approx(0.3 + 0.4 * 2**-12, abs=2**-12 / 2 / 16 + 1e-7)  # and of float32


def test_vanishing_time_steps_end_the_march():
    with pytest.raises(ConvergenceError, match="time step has gone to nothing"):
        gather(Swing(step=1e-9), 1.0)
