"""What groups of corals get, counted by hand."""

from math import isnan, nan, sqrt

import numpy as np
import pytest

from flowviz.assess.corals import cells_of, coral_figures, is_sure, verdict
from flowviz.scene.model import Coral

SHAPE, EDGE = (10, 6, 6), 0.1
CREST = Coral("crest", (0.5, 0.3, 0.3), (0.4, 0.2, 0.2), (0.10, 0.35))  # holds 4 x 2 x 2 cells


def test_shares_of_a_group(grid_of, field_of):
    """Of 16 cells 4 get 5 cm/s and 2 get 40 cm/s, the others 20 cm/s: mean (4·5 + 10·20 + 2·40)/16 = 18.75 cm/s."""
    speeds = np.full(SHAPE, 0.2)
    speeds[3, 2:4, 2:4], speeds[6, 2, 2:4] = 0.05, 0.4
    speeds[2], speeds[7] = 0.0, 1.0  # beside the group
    grid = grid_of(SHAPE, EDGE)
    found = coral_figures(CREST, grid, field_of(speeds[None], grid))
    assert found.cells == 16
    assert found.speed == pytest.approx(0.1875, rel=1e-7)  # float32
    assert (found.under_fraction, found.in_band_fraction, found.over_fraction) == (4 / 16, 10 / 16, 2 / 16)
    assert found.verdict == "partly too still"


def test_cells_of_a_group_count_by_their_water(grid_of, field_of):
    """Where half of it moves at 5 and half at 20 cm/s, and the cells of the first are open by a third of the others."""
    grid = grid_of(SHAPE, EDGE)
    speeds = np.full(SHAPE, 0.2)
    speeds[:5], grid.open_volume[:5] = 0.05, 0.25
    grid.open_volume[5:] = 0.75
    field = field_of(speeds[None], grid)
    field.fluctuation[:5], field.fluctuation[5:] = 0.03, 0.04
    found = coral_figures(CREST, grid, field)
    assert (found.under_fraction, found.in_band_fraction) == (0.25, 0.75)
    assert found.speed == pytest.approx(0.1625, rel=1e-6)  # float32
    assert found.fluctuation_speed == pytest.approx(0.01 * sqrt((9 + 3 * 16) / 4), rel=1e-6)


def test_eddies_are_told_by_their_root_mean_square(grid_of, field_of):
    """Half of the group has eddies of 3, half of 4 cm/s: √12.5."""
    grid = grid_of(SHAPE, EDGE)
    field = field_of(np.full((1, *SHAPE), 0.2), grid)
    field.fluctuation[:5], field.fluctuation[5:] = 0.03, 0.04
    assert coral_figures(CREST, grid, field).fluctuation_speed == pytest.approx(0.01 * sqrt(12.5), rel=1e-6)  # float32


def test_a_single_window_leaves_the_verdict_unsure(grid_of, field_of):
    grid = grid_of(SHAPE, EDGE)
    found = coral_figures(CREST, grid, field_of(np.full((1, *SHAPE), 0.2), grid))
    assert found.verdict == "good"
    assert all(isnan(width) for width in found.uncertainty.values())
    assert not found.sure


def test_windows_that_agree_make_the_verdict_sure(grid_of, field_of):
    grid = grid_of(SHAPE, EDGE)
    found = coral_figures(CREST, grid, field_of(np.full((3, *SHAPE), 0.2), grid))
    assert set(found.uncertainty.values()) == {0.0}
    assert found.sure


def test_rock_in_the_box_does_not_count(grid_of, field_of):
    rock = np.zeros(SHAPE, bool)
    rock[:5] = True
    grid = grid_of(SHAPE, EDGE, rock)
    found = coral_figures(CREST, grid, field_of(np.full((2, *SHAPE), 0.2), grid))
    assert (found.cells, found.under_fraction) == (8, 0.0)


def test_a_group_without_water_is_unknown(grid_of, field_of):
    grid = grid_of(SHAPE, EDGE, np.ones(SHAPE, bool))
    found = coral_figures(CREST, grid, field_of(np.zeros((2, *SHAPE)), grid))
    assert (found.cells, found.verdict, found.sure) == (0, "unknown", False)
    assert isnan(found.speed)


def test_a_flat_group_has_the_layer_it_lies_in(grid_of):
    flat = Coral("flat", (0.5, 0.3, 0.23), (0.4, 0.2, 0.0), (0.1, 0.3))
    assert set(np.unravel_index(cells_of(flat, grid_of(SHAPE, EDGE)), SHAPE)[2]) == {2}


def test_a_point_on_a_corner_of_cells_has_all_eight(grid_of):
    point = Coral("point", (0.5, 0.3, 0.3), (0.0, 0.0, 0.0), (0.1, 0.3))
    assert cells_of(point, grid_of(SHAPE, EDGE)).size == 8


@pytest.mark.parametrize(
    ("under", "over", "words"),
    [
        (0.0, 0.0, "good"),
        (0.1, 0.1, "good"),
        (0.5, 0.1, "partly too still"),
        (0.9, 0.05, "too still"),
        (0.1, 0.5, "partly too strong"),
        (0.0, 1.0, "too strong"),
        (0.3, 0.4, "uneven"),
    ],
)
def test_verdicts(under, over, words):
    assert verdict(under, over) == words


@pytest.mark.parametrize(
    ("shares", "widths", "sure"),
    [
        ((0.05, 0.05), (0.04, 0.04), True),  # at worst 82 % in the band
        ((0.05, 0.05), (0.08, 0.08), False),  # at worst 74 %
        ((0.5, 0.0), (0.2, 0.0), True),  # partly too still either way
        ((0.25, 0.3), (0.1, 0.0), False),  # uneven, or partly too strong
        ((0.15, 0.0), (0.0, 0.04), True),  # no share is below none
        ((0.0, 0.15), (0.04, 0.0), True),
        ((0.15, 0.1), (0.0, 0.0), True),  # partly too still for sure
        ((0.0, 0.0), (nan, 0.0), False),
    ],
)
def test_a_verdict_is_sure_where_its_intervals_leave_it_alone(shares, widths, sure):
    assert is_sure(*shares, *widths) is sure
