"""The raster of a section, and the hatching drawn from it, agree with the cells."""

from dataclasses import replace

import numpy as np
import pytest
from matplotlib.figure import Figure

from flowviz.draw.flat.planes import choose_sections
from flowviz.draw.flat.section import draw_unwanted
from flowviz.draw.flat.slices import SIDES, carried_on, layer_at, layer_of, over_depth, plane, plane_at, refined
from flowviz.draw.flat.water import draw_mark
from flowviz.draw.sheets.theme import DEAD, OVER
from flowviz.scene.model import Coral

EXACT = 1e-6  # rounding of single precision


def test_a_linear_field_is_shown_exactly_between_cells(make):
    study = make.study(make.scene(rocks=(), sand=None, corals=()), lambda x, y, z: 0.1 + 0.3 * x + 0.2 * z)
    layer = layer_at(plane(1, 5, study.grid), study.grid, study.field)
    raster = refined(layer.speed, layer)
    x, z = np.meshgrid(raster.right, raster.up, indexing="ij")
    inner = (abs(x - 0.6) < 0.58) & (abs(z - 0.25) < 0.23)  # half a cell from the walls it is carried on level
    assert raster.values[inner] == pytest.approx((0.1 + 0.3 * x + 0.2 * z)[inner], abs=EXACT)
    assert raster.extent == pytest.approx((0, 1.2, 0, 0.5))


def test_solid_takes_the_speed_of_the_nearest_water():
    speed, water = np.array([[0.1, 0.0, 0.0, 0.0, 0.2]]), np.array([[True, False, False, False, True]])
    assert carried_on(speed, water)[0, [0, 1, 3, 4]].tolist() == [0.1, 0.1, 0.2, 0.2]  # the middle one may take either


@pytest.mark.parametrize(("look", "kind"), [(DEAD, "dead"), (OVER, "over")])
def test_hatching_covers_the_cells_that_are_labelled(box, look, kind):
    """At the middle of every cell of the water: hatched if and only if the measures call the cell's pocket so."""
    limits = box.scene.limits
    low, high = (-np.inf, limits.dead) if kind == "dead" else (limits.over, np.inf)
    cut = next(section.plane for section in choose_sections(box) if section.subject.kind == kind)
    layer = layer_at(cut, box.grid, box.field)
    axes = Figure().add_subplot()
    draw_mark(axes, refined(layer.speed, layer), low, high, look)
    (patch,) = axes.patches
    middles = np.stack(np.meshgrid(layer.right, layer.up, indexing="ij"), axis=-1)
    hatched = patch.get_path().contains_points(middles.reshape(-1, 2)).reshape(layer.water.shape)
    numbers = [n for n, zone in enumerate(box.measures.zones, start=1) if zone.kind == kind]
    labelled = np.isin(layer_of(box.measures.labels, cut), numbers)
    assert labelled.any()
    assert (hatched & layer.water == labelled).all()
    assert patch.get_hatch() == look.hatch


def test_nothing_is_marked_where_nothing_is_beyond_the_limit(box):
    layer = layer_at(plane(0, 20, box.grid), box.grid, box.field)
    axes = Figure().add_subplot()
    draw_mark(axes, refined(layer.speed, layer), box.scene.limits.over, np.inf, OVER)
    assert not axes.patches


def test_in_the_frame_of_corals_what_they_do_not_want_is_marked_and_nothing_beside_it(make):
    """They want 15 to 25 cm/s and have 0.2 x: too little up to x = 0.75 m, too much from 1.25 m on; of 0.6 to 0.9 m."""
    coral = Coral("crest", (0.75, 0.25, 0.25), (0.3, 0.2, 0.2), (0.15, 0.25))
    study = make.study(make.scene(rocks=(), sand=None, corals=(coral,)), lambda x, y, z: 0.2 * x)
    cut = plane_at(1, 0.25, study.grid)
    layer, axes = layer_at(cut, study.grid, study.field), Figure().add_subplot()
    draw_unwanted(axes, refined(layer.speed, layer), coral, cut)
    (patch,) = axes.patches
    (left, low), (right, high) = patch.get_path().get_extents().get_points()
    assert (left, right, low, high) == pytest.approx((0.6, 0.75, 0.15, 0.35), abs=0.003)  # steps of the raster
    assert (patch.get_hatch(), patch.get_edgecolor()) == ("...", (1, 1, 1, 1))


def test_means_over_the_depth_count_water_only(box):
    layer = over_depth(box.grid, box.field)
    water, speed = box.grid.water, box.field.speed.astype(np.float64)
    expected = [np.mean(speed[i, j, water[i, j]]) for i, j in ((0, 4), (24, 12), (40, 15))]
    assert [layer.speed[i, j] for i, j in ((0, 4), (24, 12), (40, 15))] == pytest.approx(expected, rel=EXACT)


def test_velocity_on_a_plane_is_that_of_its_cells(box):
    velocity = box.field.velocity()
    for axis, sides in SIDES.items():
        cut = plane(axis, 7, box.grid)
        expected = velocity.take(7, axis=axis)[..., sides]
        assert layer_at(cut, box.grid, box.field).velocity == pytest.approx(expected, abs=EXACT)


def test_velocity_over_the_depth_is_that_of_the_water_alone(disc):
    """Shut faces may hold a velocity: here all faces do, those in the rock and beside the glass too."""
    u, v = (np.full_like(faces, speed) for faces, speed in ((disc.field.u, 0.2), (disc.field.v, -0.1)))
    layer = over_depth(disc.grid, replace(disc.field, u=u, v=v))
    assert (disc.grid.water.sum(axis=2)[layer.water] < disc.grid.water.sum(axis=2).max()).any()  # over the rock
    assert layer.velocity[layer.water] == pytest.approx(np.broadcast_to((0.2, -0.1), (layer.water.sum(), 2)), abs=EXACT)
