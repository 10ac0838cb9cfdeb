"""The computed field against measured points, worked by hand."""

from math import isnan, nan

import numpy as np
import pytest

from flowviz.assess.measured import agreement
from flowviz.assess.measures import measure
from flowviz.scene.model import Measured

SHAPE, EDGE = (20, 10, 10), 0.05


def point(name, x, speed, uncertainty=0.0):
    return Measured(name, (x, 0.25, 0.25), speed, uncertainty)


@pytest.fixture
def field(grid_of, field_of):
    """The speed is 0.1 m/s per metre of x, so that it is linear between the cells, in every window alike."""
    grid = grid_of(SHAPE, EDGE)
    return grid, field_of(np.broadcast_to(0.1 * grid.centres()[0][:, None, None], (3, *SHAPE)), grid)


def test_agreement_by_hand(field):
    """Computed 4, 6 and 8 cm/s; measured 5, 6.1 and 20: means 6 and 10.37, bias 2 (10.37 - 6)/16.37 = 0.5336.

    Two of three are within a factor of two, and those two are explained by 1.5 and 0.2 cm/s of uncertainty.
    """
    points = (point("a", 0.4, 0.05, 0.015), point("b", 0.6, 0.061, 0.002), point("c", 0.8, 0.2, 0.01))
    found = agreement(points, *field)
    assert [figures.computed_speed for figures in found.points.values()] == pytest.approx([0.04, 0.06, 0.08], rel=1e-6)
    assert found.fractional_bias == pytest.approx(2 * (0.311 - 0.18) / (0.311 + 0.18), rel=1e-5)  # float32
    assert found.factor_two_fraction == pytest.approx(2 / 3)
    assert found.explained_fraction == pytest.approx(2 / 3)
    assert found.worst == "c"


def test_perfect_agreement(field):
    found = agreement((point("a", 0.4, 0.04), point("b", 0.6, 0.06)), *field)
    assert found.fractional_bias == pytest.approx(0.0, abs=1e-6)
    assert found.factor_two_fraction == 1.0


def test_what_is_computed_too_fast_is_within_a_factor_of_two_up_to_the_double(field):
    """4, 6 and 8 cm/s against 2.1, 2.9 and 3 cm/s: the first alone."""
    points = (point("a", 0.4, 0.021), point("b", 0.6, 0.029), point("c", 0.8, 0.03))
    assert agreement(points, *field).factor_two_fraction == pytest.approx(1 / 3)


def test_an_interval_that_is_not_known_explains_nothing(grid_of, field_of):
    """Of one window."""
    grid = grid_of(SHAPE, EDGE)
    once = field_of(np.full((1, *SHAPE), 0.1), grid)
    assert agreement((point("a", 0.4, 0.11, 0.009),), grid, once).explained_fraction == 0.0
    assert agreement((point("a", 0.4, 0.11, 0.011),), grid, once).explained_fraction == 1.0


def test_the_averaging_has_its_share_in_the_difference(grid_of, field_of):
    """Windows of 8 to 12 cm/s explain a measured 11 cm/s that is exact; equal windows do not."""
    grid = grid_of(SHAPE, EDGE)
    rough, smooth = (
        field_of(np.array(speeds)[:, None, None, None] * np.ones(SHAPE), grid)
        for speeds in ((0.08, 0.12, 0.09, 0.11), (0.1, 0.1, 0.1, 0.1))
    )
    told = (point("a", 0.4, 0.11),)
    assert agreement(told, grid, rough).explained_fraction == 1.0
    assert agreement(told, grid, smooth).explained_fraction == 0.0


@pytest.mark.parametrize("wet", ["before", "behind"])
def test_a_point_between_two_cells_lies_in_the_one_that_its_speed_is_read_from(grid_of, field_of, wet):
    """At 0.3 m, which no float is, three cells of 0.1 m come before it: the fourth is the one."""
    rock = np.zeros((6, 3, 3), bool)
    rock[:3] = wet == "behind"
    rock[3:] = wet == "before"
    grid = grid_of(rock.shape, 0.1, rock)
    found = agreement((Measured("a", (0.3, 0.15, 0.15), 0.1, 0.0),), grid, field_of(np.full((2, 6, 3, 3), 0.1), grid))
    assert found.points["a"].computed_speed == pytest.approx(0.1 if wet == "behind" else nan, nan_ok=True)


def test_a_point_in_rock_is_left_out_and_told(grid_of, field_of, scene_of):
    rock = np.zeros(SHAPE, bool)
    rock[:10] = True
    grid = grid_of(SHAPE, EDGE, rock)
    points = (point("a", 0.4, 0.05), point("b", 0.6, 0.1))
    found = measure(scene_of((1.0, 0.5, 0.5), measured=points), grid, field_of(np.full((2, *SHAPE), 0.1), grid))
    assert isnan(found.agreement.points["a"].computed_speed)
    assert found.agreement.worst == "b"
    assert found.agreement.factor_two_fraction == 1.0
    assert "measured a" in [caution.where for caution in found.cautions]
    nowhere = agreement(points[:1], grid, field_of(np.full((2, *SHAPE), 0.1), grid))
    assert nowhere.worst is None
    assert isnan(nowhere.fractional_bias)
