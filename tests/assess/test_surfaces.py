"""The current along the rock and at the surface, counted by hand."""

from dataclasses import replace
from math import inf, isnan, sqrt

import numpy as np
import pytest

from flowviz.assess.surfaces import beside_rock, rock_figures, surface_figures
from flowviz.assess.turnover import circulation

SHAPE, EDGE = (20, 10, 10), 0.025


def test_current_over_the_rock(grid_of, field_of):
    """A block of 4 x 3 x 2 cells on the floor touches 4·3 above, 2·(4·2) and 2·(3·2) at its sides: 40 cells."""
    rock = np.zeros(SHAPE, bool)
    rock[8:12, 3:6, :2] = True
    grid = grid_of(SHAPE, EDGE, rock)
    speeds = np.full(SHAPE, 0.3)
    speeds[7, 3:6, :2] = 0.01  # one side, 6 cells
    found = rock_figures(0.03, grid, field_of(speeds[None], grid))
    assert found.cells == 40
    assert found.dead_fraction == 6 / 40
    assert found.speed.mean == pytest.approx((34 * 0.3 + 6 * 0.01) / 40, rel=1e-6)  # float32
    assert beside_rock(grid)[8:12, 3:6, 2].all()
    assert not beside_rock(grid)[7, 2, 0]


def test_slivers_beside_rock_count_as_rock(grid_of, field_of):
    """Over a floor of rock lies a layer of cells that are open by 0.01 or 0.4, then water: that one counts, by volume.

    Half of it moves at 10, half at 30 cm/s, and the cells of the first are open by 0.6.
    """
    rock = np.zeros(SHAPE, bool)
    rock[:, :, 0] = True
    grid = grid_of(SHAPE, EDGE, rock)
    grid.open_volume[::2, :, 1], grid.open_volume[1::2, :, 1], grid.open_volume[:10, :, 2] = 0.01, 0.4, 0.6
    speeds = np.full(SHAPE, 0.3)
    speeds[:10, :, 2] = 0.1
    found = rock_figures(0.2, grid, field_of(speeds[None], grid))
    assert found.cells == 20 * 10
    assert np.argwhere(beside_rock(grid))[:, 2].tolist() == [2] * 200
    assert found.dead_fraction == pytest.approx(0.6 / 1.6, rel=1e-6)  # float32
    assert found.speed.mean == pytest.approx((0.6 * 0.1 + 0.3) / 1.6, rel=1e-6)


def test_without_rock(grid_of, field_of):
    grid = grid_of(SHAPE, EDGE)
    found = rock_figures(0.03, grid, field_of(np.ones((1, *SHAPE)), grid))
    assert found.cells == 0
    assert isnan(found.speed.mean)
    assert isnan(found.dead_fraction)


def test_current_at_the_surface(grid_of, field_of):
    """5 cm are two layers of cells; half of them move at 1 cm/s, half at 3 cm/s."""
    grid = grid_of(SHAPE, EDGE)
    speeds = np.full(SHAPE, 0.5)
    speeds[:10, :, 8:], speeds[10:, :, 8:] = 0.01, 0.03
    found = surface_figures(0.02, grid, field_of(speeds[None], grid))
    assert found.thickness == pytest.approx(0.05, rel=1e-12)
    assert found.speed.mean == pytest.approx(0.02, rel=1e-6)
    assert found.dead_fraction == 0.5


def test_renewal_of_the_surface(grid_of, field_of):
    """Half of the face below it rises at 4 cm/s, the other half sinks: 5 cm over 4 cm/s over half of it: 2.5 s."""
    grid = grid_of(SHAPE, EDGE)
    field = field_of(np.ones((1, *SHAPE)), grid)
    field.w[:10, :, 8], field.w[10:, :, 8] = 0.04, -0.04
    assert surface_figures(0.02, grid, field).renewal_time == pytest.approx(2.5, rel=1e-6)
    grid.open_z[:, :, 8] = 0.5
    assert surface_figures(0.02, grid, field).renewal_time == pytest.approx(5.0, rel=1e-6)  # through half of the faces
    field.w[:] = 0
    assert surface_figures(0.02, grid, field).renewal_time == inf


def test_circulation_of_a_tank_that_turns_over(grid_of, field_of):
    """To the right below and to the left above at 10 cm/s: half of each section carries it, A/2 · U over A · L.

    U/2/L an hour, for the 19 sections within the tank, all of them alike: 0.05/0.5 · 3600 = 360 times an hour.
    """
    grid = grid_of(SHAPE, EDGE)
    field = field_of(np.ones((1, *SHAPE)), grid)
    u = np.zeros_like(field.u)
    u[1:-1, :, :5], u[1:-1, :, 5:] = 0.1, -0.1
    assert circulation(grid, replace(field, u=u)) == pytest.approx(360.0, rel=1e-6)
    grid.open_x[:] /= 2
    assert circulation(grid, replace(field, u=u)) == pytest.approx(180.0, rel=1e-6)  # through half of the faces


def test_still_water_does_not_circulate(grid_of, field_of):
    grid = grid_of(SHAPE, EDGE)
    field = field_of(np.zeros((1, *SHAPE)), grid)
    assert circulation(grid, replace(field, u=np.zeros_like(field.u))) == 0.0


def test_rock_and_surface_have_intervals(grid_of, field_of):
    """Of means that wander up and down by 1 cm/s in four windows: t s/√m (any textbook), as they are not alike."""
    rock = np.zeros(SHAPE, bool)
    rock[8:12, 3:6, :2] = True
    grid = grid_of(SHAPE, EDGE, rock)
    speeds = np.array((0.04, 0.06, 0.04, 0.06))[:, None, None, None] * np.ones(SHAPE)
    field = field_of(speeds, grid)
    width = 3.1824 * 0.01 * sqrt(4 / 3) / sqrt(4)  # Student's t for 3 degrees of freedom, from any printed table
    for found in (rock_figures(0.03, grid, field), surface_figures(0.03, grid, field)):
        assert found.uncertainty["mean_speed"] == pytest.approx(width, rel=1e-4)  # printed digits
        assert found.uncertainty["dead_fraction"] == 0.0
    one = field_of(speeds[:1], grid)
    assert isnan(surface_figures(0.03, grid, one).uncertainty["mean_speed"])
