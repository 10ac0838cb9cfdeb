"""Glass, rock and openings in flat pictures."""

from dataclasses import replace

import numpy as np
import pytest
from matplotlib.patches import FancyArrowPatch, PathPatch

from flowviz.draw.flat.openings import LAYER, draw_opening, rim
from flowviz.draw.flat.pages import plan_entries, plan_view, section_entries, section_view
from flowviz.draw.flat.plan import PLACES, beside_corals
from flowviz.draw.flat.planes import Section, Subject, choose_sections
from flowviz.draw.flat.section import is_over
from flowviz.draw.flat.slices import Plane, plane, plane_at
from flowviz.draw.flat.solid import deepest, draw_rocks_from_above, outline, rock_raster, wet
from flowviz.draw.flat.water import sparse
from flowviz.draw.sheets.theme import POCKET, ROCK, blank
from flowviz.draw.sheets.wording import badges, letter, pocket
from flowviz.plumbing.loop import Loop
from flowviz.scene.apertures import Bore, Slot
from flowviz.scene.model import Coral, Outlet, Rock, Strainer
from flowviz.shapes.solids import Ellipsoid


def colours(view, points):
    """What is drawn at points (n, 2) of a picture's own coordinates [m]: (n, 3) in shares of full light."""
    view.figure.canvas.draw()
    image = np.asarray(view.figure.canvas.buffer_rgba())[..., :3] / 255
    places = view.figure.axes[0].transData.transform(points)
    return image[image.shape[0] - 1 - places[:, 1].astype(int), places[:, 0].astype(int)]


BEYOND = {  # places in the box of cells that the glass leaves out [m]
    "disc": [(0.06, 0.06), (0.74, 0.74), (0.05, 0.72)],
    "corner": [(1.1, 0.8), (0.6, 0.85)],
}


@pytest.mark.parametrize("name", BEYOND)
def test_water_ends_at_the_glass(request, name):
    view = plan_view(request.getfixturevalue(name))
    assert (colours(view, np.array(BEYOND[name])) > 0.99).all()


def test_an_upright_section_of_a_round_tank_is_as_wide_as_its_chord(disc):
    """Half a chord at a distance a from the middle of a circle of radius r: the root of r² - a²."""
    ((start, end),) = wet(disc.scene.tank, Plane(1, 0, 0.1))
    half = np.sqrt(0.4**2 - 0.3**2)
    assert (start, end) == pytest.approx((0.4 - half, 0.4 + half), abs=1e-3)  # the disc is drawn as a fine polygon


def test_a_plane_through_two_legs_meets_water_twice(corner):
    assert wet(corner.scene.tank, Plane(1, 0, 0.6)) == [pytest.approx((0.0, 0.5))]
    assert wet(corner.scene.tank, Plane(0, 0, 0.3)) == [pytest.approx((0.0, 0.9))]
    assert wet(corner.scene.tank, Plane(0, 0, 0.8)) == [pytest.approx((0.0, 0.4))]


def test_rock_has_its_true_outline_not_that_of_cells():
    """An ellipse of half axes a and b has the area π a b."""
    rock = Rock("egg", Ellipsoid((0.5, 0.5, 0.5), (0.4, 0.2, 0.3)))
    path = outline(rock_raster(rock, Plane(1, 0, 0.5), 0.001), -np.inf, 0.0)
    x, z = path.vertices.T
    area = abs(np.dot(x, np.roll(z, 1)) - np.dot(z, np.roll(x, 1))) / 2
    assert area == pytest.approx(np.pi * 0.2 * 0.15, rel=1e-3)  # steps of 1 mm
    assert rock_raster(rock, Plane(1, 0, 0.7), 0.001) is None
    assert deepest(rock_raster(rock, Plane(1, 0, 0.5), 0.001)) == pytest.approx((0.5, 0.5), abs=0.01)


def test_rock_is_flat_grey_and_covers_the_water(box):
    upright = section_view(box, Section(choose_sections(box)[0].subject, plane(1, 12, box.grid)))
    grey = np.array([int(ROCK[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    assert colours(upright, np.array([(0.5, 0.2), (0.7, 0.25)])) == pytest.approx(np.tile(grey, (2, 1)), abs=0.01)


@pytest.mark.parametrize(
    ("left", "width", "aside"),
    [
        (0.2, 0.35, True),  # over the middle; of the rock the right end stands out
        (0.0, 0.4, False),  # over the left end
        (0.2, 0.6, False),  # over all of it
    ],
)
def test_the_name_of_a_rock_is_not_read_as_that_of_corals_on_it(left, width, aside):
    """The rock reaches from 0.3 to 0.7 m, its middle is at 0.5 m; across it all is alike on both sides."""
    rock = Rock("egg", Ellipsoid((0.5, 0.5, 0.5), (0.4, 0.2, 0.3)))
    corals = (Coral("crest", (left + width / 2, 0.5, 0.6), (width, 0.3, 0.1), (0.05, 0.3)),)
    x, y = beside_corals(rock, corals)
    assert (left + width < x < 0.7) if aside else x == pytest.approx(0.5)
    assert y == pytest.approx(0.5, abs=0.2 / (PLACES + 1))  # the nearest place that is looked at


def test_the_shadow_of_a_rock_is_that_of_its_upper_side():
    figure = blank(4, 4)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.axis("off")
    draw_rocks_from_above(axes, (Rock("egg", Ellipsoid((0.5, 0.5, 0.5), (0.4, 0.2, 0.3))),))
    figure.canvas.draw()
    covered = np.asarray(figure.canvas.buffer_rgba())[..., 0] < 250
    across, along = covered.any(axis=0).mean(), covered.any(axis=1).mean()
    assert (across, along) == pytest.approx((0.4, 0.2), abs=0.01)  # the width of the line round it
    assert covered.mean() == pytest.approx(np.pi / 4 * across * along, rel=0.02)  # an ellipse without gaps


@pytest.mark.parametrize("normal", [(1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.6, 0.8, 0.0), (0.0, -0.6, 0.8)])
def test_the_rim_of_an_opening_lies_in_its_plane_and_has_its_size(normal):
    at = np.array((0.3, 0.2, 0.1))
    bore = rim(Outlet("a", tuple(at), normal, normal, Bore(0.03), None, None, None)) - at
    slot = rim(Outlet("b", tuple(at), normal, normal, Slot(0.12, 0.02), None, None, None)) - at
    assert bore @ normal == pytest.approx(0, abs=1e-12)
    assert slot @ normal == pytest.approx(0, abs=1e-12)
    assert np.linalg.norm(bore, axis=1) == pytest.approx(0.015)
    assert np.linalg.norm(np.diff(slot, axis=0), axis=1) == pytest.approx([0.12, 0.02, 0.12])


def test_openings_have_the_same_badge_in_every_picture(box):
    assert badges(box.scene) == {"left jet": "A", "right low": "1"}
    assert [letter(number) for number in (0, 25, 26, 27, 701, 702)] == ["A", "Z", "AA", "AB", "ZZ", "AAA"]


def test_openings_beyond_the_water_that_is_cut_are_left_out(corner):
    """The leg at the back is 0.5 m long; the outlet stands at the far end of the other leg, 1.2 m away."""
    outlet, intake = corner.scene.openings
    assert not is_over(outlet, corner.scene.tank, Plane(1, 0, 0.7))
    assert is_over(intake, corner.scene.tank, Plane(1, 0, 0.7))
    assert is_over(outlet, corner.scene.tank, Plane(2, 0, 0.2))


def test_arrows_stand_at_even_distances_from_wall_to_wall(box):
    axes = section_view(box, choose_sections(box)[0]).figure.axes[0]
    numbers = sparse(box.grid.centres()[0], axes)
    assert len(set(np.diff(numbers))) == 1
    assert abs(numbers[0] - (box.grid.shape[0] - 1 - numbers[-1])) <= 1


def test_an_outlet_that_passes_nothing_has_no_arrow(box):
    """As in a phase in which its valve is shut; its rim and its badge stay."""
    shut = replace(box, loop=Loop(dict.fromkeys(box.loop.rates, 0.0)))
    for view in (plan_view, lambda study: section_view(study, choose_sections(study)[0])):
        blowing, still = (arrows(view(study)) for study in (box, shut))
        assert (blowing, still) == (1, 0)


def test_openings_in_the_plane_are_drawn_over_those_elsewhere(make):
    """A small outlet on the left, and a wide intake opposite to it, named before it is drawn."""
    drain = replace(make.intake("drain", (1.2, 0.3, 0.3), (-1.0, 0.0, 0.0), "right"), aperture=Bore(0.2))
    jet = make.outlet("jet", (0.0, 0.3, 0.3), (1, 0, 0), "left")
    study = make.study(make.scene(outlets=(jet,), intakes=(drain,), rocks=(), corals=()), lambda x, y, z: 0.1 + 0 * x)
    view = section_view(study, Section(Subject("stillest"), plane_at(0, 0.0, study.grid)))
    widths = [np.ptp(patch.get_xy()[:, 0]) for patch in view.figure.axes[0].patches if patch.get_zorder() == LAYER]
    assert widths == pytest.approx([0.2, jet.aperture.diameter])


def test_the_badge_next_to_an_arrow_in_the_plane_is_that_of_its_outlet(make):
    """Three outlets side by side in the left wall, seen from the front, cut through the one named last."""
    jets = tuple(make.outlet(f"jet {n}", (0.0, y, 0.3), (1, 0, 0), "left") for n, y in enumerate((0.1, 0.2, 0.4)))
    study = make.study(make.scene(outlets=jets, rocks=(), corals=()), lambda x, y, z: 0.1 + 0 * x)
    axes = section_view(study, Section(Subject("stillest"), plane_at(1, 0.4, study.grid))).figure.axes[0]
    axes.figure.canvas.draw()
    mouth = axes.transData.transform((0.0, 0.3))
    boxes = {text.get_text(): text.get_window_extent() for text in axes.texts if text.get_text() in "ABC"}
    away = {letter: np.hypot(*(np.mean(box.get_points(), axis=0) - mouth)) for letter, box in boxes.items() if letter}
    assert min(away, key=away.get) == "C"


def test_a_pocket_is_outlined_and_named_in_the_plan_however_thin_it_is(make):
    """A dead layer of three cells of 25 mm, in water 20 cells deep: nowhere dead through half the depth."""
    study = make.study(make.scene(rocks=(), corals=()), lambda x, y, z: np.where((z < 0.125) & (x > 0.7), 0.01, 0.1))
    (zone,) = study.measures.zones
    axes = plan_view(study).figure.axes[0]
    assert pocket(zone, "metric") in {text.get_text() for text in axes.texts}
    patches = (child for child in axes.get_children() if isinstance(child, PathPatch))
    (outline,) = (patch for patch in patches if patch.get_linestyle() == POCKET.line)
    assert outline.get_path().get_extents().x0 == pytest.approx(0.7, abs=study.grid.spacing[0])


def test_the_plan_of_a_tank_that_is_nowhere_dead_tells_where_it_is_too_strong(make):
    study = make.study(make.scene(rocks=(), corals=()), lambda x, y, z: np.where(x > 0.7, 0.8, 0.1))
    assert plan_view(study).title.startswith("No dead pocket; one too-strong pocket: ")


def arrows(view):
    """How many jets are drawn in a picture."""
    return sum(isinstance(patch, FancyArrowPatch) for patch in view.figure.axes[0].patches)


def test_a_strainer_stands_as_far_into_the_water_as_the_scene_says(make):
    """A basket 80 mm long and 60 mm wide on the right wall, seen from above and from the front."""
    at = (1.2, 0.3, 0.1)
    intake = replace(
        make.intake("right low", at, (-1.0, 0.0, 0.0), "right"), strainer=Strainer("basket", 0.06, 0.08, 0.5, 0.003)
    )
    for axis in (1, 2):
        axes = blank(4, 4).add_subplot()
        draw_opening(axes, intake, axis, here=True)
        corners = np.vstack([patch.get_xy() for patch in axes.patches])
        (left, low), (right, high) = corners.min(axis=0), corners.max(axis=0)
        assert (right, right - left) == pytest.approx((1.2, 0.08), abs=1e-12)  # rounding
        assert high - low == pytest.approx(0.06, abs=1e-12)


def test_the_key_says_how_a_strainer_off_the_plane_is_drawn(make):
    """Dotted in a section; from above all are seen."""
    strained = replace(
        make.intake("right low", (1.2, 0.3, 0.1), (-1.0, 0.0, 0.0), "right"),
        strainer=Strainer("basket", 0.06, 0.08, 0.5, 0.003),
    )
    study = make.study(make.scene(intakes=(strained,)), make.speeds)
    keys = section_entries(study.scene, Plane(1, 0, 0.3)), plan_entries(study)
    assert ["strainer, dotted elsewhere" in dict(map(reversed, key)) for key in keys] == [True, False]
    assert "strainer" in dict(map(reversed, keys[1]))
