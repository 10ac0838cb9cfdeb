"""Several marches of one flow taken together, against plain numpy on made-up motions."""

import weakref
from dataclasses import astuple

import numpy as np
import pytest

from flowviz.flow.field import Field, Quality
from flowviz.flow.together import together

SHAPE = (4, 3, 2)


def march(number: int) -> Field:
    """A steady motion along x at 1, 2, 3 ... m/s with an eddy of its own in every cell."""
    ones = np.ones(SHAPE, np.float32)
    u = np.full((SHAPE[0] + 1, *SHAPE[1:]), number, np.float32)
    v, w = np.zeros((4, 4, 2), np.float32), np.zeros((4, 3, 3), np.float32)
    quality = Quality(1e-5 * number, 10, 8.0, 4.0, steady=number > 1)
    return Field(u, v, w, number * ones, 0.5 * ones, np.stack([number * ones] * 6), quality)


def test_each_march_is_let_go_before_the_next_but_for_its_speed():
    """What is left of the one before, when the next is asked for."""
    left = []

    def marches():
        for number in (1, 2, 3):
            left.append([each() is not None for each in kept])
            field = march(number)
            kept[:] = [weakref.ref(values) for values in (field.u, field.fluctuation, field.batches, field.speed)]
            yield field
            del field

    kept = []
    together(marches())
    assert left == [[], [False, False, False, True], [False, False, False, True]]


def test_each_march_is_a_window_of_the_mean():
    whole = together([march(1), march(2), march(3)])
    assert whole.speed == pytest.approx(np.full(SHAPE, 2.0))
    assert whole.batches[:, 0, 0, 0] == pytest.approx([1, 2, 3])
    assert whole.u == pytest.approx(np.full((5, 3, 2), 2.0))


def test_what_the_marches_differ_by_is_fluctuation():
    """Of 1, 2, 3 about 2 the mean square is 2/3, and each has 0.25 of its own."""
    whole = together([march(1), march(2), march(3)])
    assert whole.fluctuation == pytest.approx(np.full(SHAPE, np.sqrt(0.25 + 2 / 3)), rel=1e-6)  # single precision


def test_quality_is_that_of_the_worst_and_time_adds_up():
    found = astuple(together([march(1), march(2)]).quality)
    assert found == astuple(Quality(2e-5, 20, 16.0, 8.0, steady=False, marches=2))
