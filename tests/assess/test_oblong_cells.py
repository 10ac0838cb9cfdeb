"""Figures of cells that are no cubes, each edge of which must count where it belongs; sums by hand."""

from dataclasses import replace

import numpy as np
import pytest

from flowviz.assess.bed import bed_figures
from flowviz.assess.corals import cells_of
from flowviz.assess.cycle import measure_cycle
from flowviz.assess.places import surroundings
from flowviz.assess.renewal import measure_renewal
from flowviz.assess.surfaces import surface_figures
from flowviz.assess.turnover import circulation
from flowviz.assess.zones import find_zones
from flowviz.flow.pressure.projection import potential_flow
from flowviz.scene.model import Coral, Phase

SHAPE, SPACING = (20, 10, 10), (0.06, 0.05, 0.03)  # of a tank of 1.2 x 0.5 x 0.3 m
HX, HY, HZ = SPACING
SIZE = (1.2, 0.5, 0.3)


@pytest.fixture
def grid(grid_of):
    return replace(grid_of(SHAPE, HX), spacing=SPACING)


def test_bed(grid, field_of, scene_of):
    """A speed that rises by 1 cm/s a centimetre is 5 cm/s at 5 cm over the floor, which has 200 cells of 6 x 5 cm."""
    rising = np.broadcast_to((np.arange(10) + 0.5) * HZ, (1, *SHAPE))
    found = bed_figures(scene_of(SIZE), grid, field_of(rising, grid))
    assert found.mean_speed == pytest.approx(0.05, rel=1e-6)  # float32
    assert found.area == pytest.approx(0.6, rel=1e-12)


def test_surface(grid, field_of):
    """5 cm are two layers of 3 cm; 4 cm/s up through half of them renew 6 cm in 3 s."""
    field = field_of(np.ones((1, *SHAPE)), grid)
    field.w[:10, :, 8], field.w[10:, :, 8] = 0.04, -0.04
    found = surface_figures(0.02, grid, field)
    assert found.thickness == pytest.approx(0.06, rel=1e-12)
    assert found.renewal_time == pytest.approx(3.0, rel=1e-6)


@pytest.mark.parametrize("axis", [0, 1, 2])
def test_circulation(grid, field_of, axis):
    """10 cm/s one way in half of each section and the other way in the other half: U/2 over the length, an hour."""
    field = field_of(np.zeros((1, *SHAPE)), grid)
    faces = [np.zeros_like(each) for each in (field.u, field.v, field.w)]
    along = np.moveaxis(faces[axis], axis, 0)
    along[1:-1, :5], along[1:-1, 5:10] = 0.1, -0.1
    if axis:  # the length is 20 cells, of which ten have their share
        along[1:-1, 10:15], along[1:-1, 15:] = 0.1, -0.1
    u, v, w = faces
    assert circulation(grid, replace(field, u=u, v=v, w=w)) == pytest.approx(0.05 / SIZE[axis] * 3600, rel=1e-6)


def test_zone(grid, field_of, scene_of):
    """Dead water of 4 x 3 x 5 cells, the stillest in the last of them."""
    speeds = np.full(SHAPE, 0.2)
    speeds[2:6, 7:, :5], speeds[5, 9, 4] = 0.01, 0.005
    (zone,), _ = find_zones(surroundings(scene_of(SIZE)), grid, field_of(speeds[None], grid))
    assert zone.volume == pytest.approx(60 * HX * HY * HZ, rel=1e-12)
    assert np.array(zone.bounds) == pytest.approx(np.array([[0.12, 0.35, 0.0], [0.36, 0.5, 0.15]]), abs=1e-12)
    assert zone.centre == pytest.approx((0.24, 0.425, 0.075), abs=1e-12)
    assert zone.extreme_at == pytest.approx((5.5 * HX, 9.5 * HY, 4.5 * HZ), abs=1e-12)


def test_strongest_moment(grid, field_of, scene_of):
    speeds = np.full((2, *SHAPE), 0.2)
    speeds[:, 17, 3, 8] = 0.9
    found = measure_cycle(scene_of(SIZE, phases=(Phase("flood", 60.0, {}, {}),)), grid, [field_of(speeds, grid)], [{}])
    assert found.strongest.at == pytest.approx((17.5 * HX, 3.5 * HY, 8.5 * HZ), abs=1e-12)


def test_renewal(grid, field_of, scene_of):
    """The exhaust identity, to the 1e-5 of the projection."""
    rates = {"in": 1e-3, "out": -1e-3}
    u, v, w = potential_flow(grid, rates)
    field = replace(field_of(np.zeros((2, *SHAPE)), grid), u=u, v=v, w=w)
    found = measure_renewal(scene_of(SIZE), grid, field, rates)
    assert found.nominal_age == pytest.approx(1.2 * 0.5 * 0.3 / 1e-3, rel=1e-6)
    assert found.exhaust_error == pytest.approx(0.0, abs=1e-5)
    oldest = np.array(np.unravel_index(found.age.argmax(), SHAPE))
    assert found.oldest_at == pytest.approx((oldest + 0.5) * SPACING, abs=1e-12)


def test_corals(grid):
    """A box of 24 x 20 x 12 cm whose sides are the cells': 4 of each."""
    group = Coral("crest", (0.6, 0.25, 0.15), (4 * HX, 4 * HY, 4 * HZ), (0.1, 0.3))
    inside = np.unravel_index(cells_of(group, grid), SHAPE)
    assert [np.unique(each).tolist() for each in inside] == [[8, 9, 10, 11], [3, 4, 5, 6], [3, 4, 5, 6]]


@pytest.mark.parametrize(("axis", "layer"), [(0, 9), (1, 4), (2, 4)])
def test_a_flat_group_is_one_cell_thick(grid, axis, layer):
    """A hair before the middle of the tank, which lies between two cells."""
    size, centre = np.array(SIZE), np.array(SIZE) / 2
    size[axis], centre[axis] = 0.0, centre[axis] - 1e-3
    group = Coral("crest", tuple(centre.tolist()), tuple(size.tolist()), (0.1, 0.3))
    assert np.unique(np.unravel_index(cells_of(group, grid), SHAPE)[axis]).tolist() == [layer]
