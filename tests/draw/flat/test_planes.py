"""Sections are chosen because something is to be seen there."""

from itertools import combinations

import numpy as np
import pytest

from flowviz.draw.flat.planes import APART, cells_of, choose_sections
from flowviz.draw.flat.slices import layer_of, plane_at
from flowviz.draw.flat.solid import is_cut
from flowviz.scene.model import Coral


def test_each_plane_runs_through_what_it_is_about(study):
    for section in choose_sections(study):
        assert layer_of(cells_of(section.subject, study), section.plane).any()
        spacing = study.grid.spacing[section.plane.axis]
        assert section.plane.at == pytest.approx((section.plane.layer + 0.5) * spacing)


def test_there_are_three_and_no_two_are_near_each_other(study):
    sections = choose_sections(study)
    assert len(sections) == 3
    for one, other in combinations((section.plane for section in sections), 2):
        assert one.axis != other.axis or abs(one.layer - other.layer) >= APART * study.grid.shape[one.axis]


def test_the_worst_pocket_the_strongest_water_and_the_corals_come_first(box):
    assert [section.subject.kind for section in choose_sections(box)] == ["dead", "over", "coral"]


def test_the_plane_through_a_pocket_meets_the_zone_of_that_number(box):
    dead = choose_sections(box)[0]
    zone = box.measures.zones[dead.subject.number]
    low, high = (corner[dead.plane.axis] for corner in zone.bounds)
    assert zone.kind == "dead"
    assert low < dead.plane.at < high
    assert (layer_of(box.measures.labels, dead.plane) == dead.subject.number + 1).any()


@pytest.mark.parametrize("height", [0.01, 0.06])
@pytest.mark.parametrize("middle", [0.26, 0.264, 0.274, 0.29])
def test_a_section_about_corals_shows_them(make, middle, height):
    """Groups thinner than a cell of 25 mm and thicker, whose edges lie at any place in it; too-strong water in it,
    so that the plane through that takes the nearest layers.
    """
    coral = Coral("flat", (0.6, 0.25, middle), (0.3, 0.2, height), (0.05, 0.2))
    study = make.study(make.scene(rocks=(), corals=(coral,)), lambda x, y, z: np.where(abs(z - 0.3) < 0.02, 0.8, 0.1))
    (section,) = (section for section in choose_sections(study) if section.subject.kind == "coral")
    assert is_cut(coral, section.plane)


def test_a_flat_pocket_is_shown_from_above(make):
    floor = make.study(make.scene(sand=None), lambda x, y, z: np.where(z < 0.06, 0.01, 0.1))
    assert choose_sections(floor)[0].plane.axis == 2


def test_a_tank_with_nothing_wrong_still_has_three_sections(make):
    good = make.study(make.scene(corals=()), lambda x, y, z: 0.1 + 0.2 * x)
    assert {section.subject.kind for section in choose_sections(good)} == {"stillest", "fastest"}


def test_a_spot_too_small_for_a_pocket_is_shown_where_it_is(make):
    """Water that is fast everywhere near the surface, and too strong in one cell near the floor."""
    scene = make.scene(corals=())
    tank = make.study(scene, lambda x, y, z: np.where(z > 0.2, 0.4, 0.2))
    tank.field.speed[4, 5, 2] = 2 * scene.limits.over
    section = next(section for section in choose_sections(tank) if section.subject.kind == "fastest")
    assert layer_of(tank.field.speed, section.plane).max() > scene.limits.over


@pytest.mark.parametrize(("at", "layer"), [(0.26, 10), (-1.0, 0), (9.0, 19)])
def test_a_plane_is_found_by_its_coordinate(box, at, layer):
    assert plane_at(1, at, box.grid).layer == layer  # 20 cells of 25 mm along y
