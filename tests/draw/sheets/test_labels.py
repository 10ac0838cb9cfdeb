"""No label covers another: on one spot, in hand-made studies, in a crowd, and in all pictures of the shipped scenes."""

from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from matplotlib.text import Annotation
from matplotlib.transforms import Bbox

from flowviz import compare, read_scene, run
from flowviz.draw.flat.openings import sides_of
from flowviz.draw.flat.pages import plan_view, section_view
from flowviz.draw.flat.planes import choose_sections
from flowviz.draw.layouts.pictures import HEADINGS, above, marker, views_of_change
from flowviz.draw.layouts.together import LARGEST, alike, stills_view
from flowviz.draw.loop.pictures import loop_views
from flowviz.draw.pictures import flat_views
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.theme import blank
from flowviz.draw.tank.page import STILL, still_view
from flowviz.draw.tank.still import set_up
from flowviz.plumbing.dossier import dossier
from flowviz.scene.model import Coral

SCENES = Path(__file__).parents[3] / "scenes"
NO_STILL = np.full((2, 2, 3), 255, np.uint8)  # in place of the rendered picture: labels do not hang on it


def overlaps(figure):
    """Pairs of labels whose boxes lie on each other, in each picture of a page."""
    figure.canvas.draw()
    return [pair for axes in figure.axes for pair in pairs(axes)]


def pairs(axes):
    labels = [child for child in axes.get_children() if isinstance(child, Annotation) and child.get_bbox_patch()]
    boxes = [(label.get_text(), label.get_bbox_patch().get_window_extent()) for label in labels]
    return [(a, b) for (a, one), (b, other) in combinations(boxes, 2) if one.overlaps(other)]


def test_labels_on_one_spot_do_not_hide_each_other():
    figure = blank(6, 4)
    axes = figure.add_axes((0, 0, 1, 1))
    place(axes, [Label(f"number {number}", (0.5, 0.5)) for number in range(30)], axes.get_window_extent())
    assert len(axes.texts) >= 30
    assert overlaps(figure) == []


def test_a_label_with_no_room_near_goes_where_there_is_some_and_is_led_to_what_it_names():
    """A picture of 600 by 75 pixels whose middle third is taken up by one label."""
    figure = blank(4, 0.5)
    axes = figure.add_axes((0, 0, 1, 1))
    wide = Label("\n".join(["a wall of words, " * 2] * 2), (0.5, 0.5))
    place(axes, [wide, Label("small", (0.5, 0.5))], axes.get_window_extent())
    leads = [text for text in axes.texts if not text.get_text()]
    assert overlaps(figure) == []
    assert len(leads) == 1


def test_a_name_that_may_stand_along_something_has_no_line_to_it():
    figure = blank(4, 4)
    axes = figure.add_axes((0, 0, 1, 1))
    labels = [Label("in the way, in the way", (0.5, 0.5)), Label("wall", (0.5, 0.5), along=((0.5, 0.9),))]
    place(axes, labels, axes.get_window_extent())
    assert len(axes.texts) == 2
    assert overlaps(figure) == []


@pytest.mark.parametrize(("body", "covered"), [((0.9, 0.9), True), ((0.1, 0.1), False)])
def test_a_name_stands_beside_what_it_would_hide(body, covered):
    """A label a sixth of the picture wide and a twentieth high, and a body about the middle."""
    figure = blank(4, 4)
    axes = figure.add_axes((0, 0, 1, 1))
    place(axes, [Label("first stone", (0.5, 0.5), body=body)], axes.get_window_extent())
    figure.canvas.draw()
    (label,) = [text for text in axes.texts if text.get_text()]
    thing = axes.transData.transform_bbox(Bbox.from_bounds(0.5 - body[0] / 2, 0.5 - body[1] / 2, *body))
    assert label.get_bbox_patch().get_window_extent().overlaps(thing) == covered


def test_a_label_stands_beside_a_line_that_it_would_cover():
    """A line through the lower half of where a label likes to stand: a thousandth of the label lies on it."""
    figure = blank(4, 4)
    axes = figure.add_axes((0, 0, 1, 1))
    x, y = axes.transData.transform((0.5, 0.5))
    line = Bbox(((x - 100, y - 3), (x + 100, y - 3)))
    place(axes, [Label("pocket", (0.5, 0.5))], axes.get_window_extent(), [line])
    figure.canvas.draw()
    (label,) = [text for text in axes.texts if text.get_text()]
    low, high = label.get_bbox_patch().get_window_extent().intervaly
    assert not low < y - 3 < high


def test_the_name_of_a_pocket_keeps_off_the_frame_of_corals(make):
    """Dead water about the corner of a frame, so that the pocket's middle lies on it."""
    garden = Coral("garden", (0.6, 0.25, 0.35), (0.3, 0.2, 0.1), (0.05, 0.3))
    dead = make.study(
        make.scene(corals=(garden,), rocks=(), sand=None),
        lambda x, y, z: np.where((abs(x - 0.75) < 0.2) & (abs(y - 0.15) < 0.1), 0.01, 0.1),
    )
    figure = plan_view(dead).figure
    figure.canvas.draw()
    axes = figure.axes[0]
    (label,) = (text for text in axes.texts if text.get_text().endswith("L dead"))
    sides = sides_of(axes.transData.transform_bbox(Bbox.from_extents(0.45, 0.15, 0.75, 0.35)))
    assert not any(label.get_bbox_patch().get_window_extent().overlaps(side) for side in sides)


@pytest.mark.parametrize("view", ["plan", 0, 1, 2])
def test_labels_of_hand_made_studies_do_not_hide_each_other(study, view):
    drawn = plan_view(study) if view == "plan" else section_view(study, choose_sections(study)[view])
    assert overlaps(drawn.figure) == []


def test_openings_and_corals_that_crowd_together_keep_their_names(make):
    """Twelve outlets 2 cm apart in one wall, nine groups of corals 10 cm apart."""
    spots = [(0.3 + 0.1 * (n % 3), 0.15 + 0.1 * (n // 3), 0.3) for n in range(9)]
    crowd = make.scene(
        outlets=tuple(make.outlet(f"jet {n}", (0.0, 0.1 + 0.02 * n, 0.3), (1, 0, 0), "left") for n in range(12)),
        corals=tuple(Coral(f"garden {n}", at, (0.08, 0.08, 0.05), (0.05, 0.3)) for n, at in enumerate(spots)),
    )
    drawn = plan_view(make.study(crowd, make.speeds))
    words = {text.get_text() for text in drawn.figure.axes[0].texts}
    assert overlaps(drawn.figure) == []
    assert {"A", "L", "garden 8"} <= words


@pytest.fixture(scope="module", params=sorted(SCENES.glob("*.toml")), ids=lambda path: path.stem)
def shipped(request):
    """The study of each shipped scene."""
    return run(read_scene(request.param))


def test_no_label_covers_another_in_the_pictures_of_shipped_scenes(shipped):
    still = still_view(shipped, set_up(shipped, *STILL), NO_STILL)
    loop = loop_views(shipped.scene, dossier(shipped.scene))
    views = (*flat_views(shipped), ("tank", still), *loop)
    assert {name: found for name, view in views if (found := overlaps(view.figure))} == {}


def test_no_label_covers_another_before_and_after():
    studies = [run(read_scene(SCENES / name)) for name in ("peninsula.toml", "peninsula_moved.toml")]
    comparison = compare(*studies)
    layouts = dict(zip(HEADINGS, studies, strict=True))
    shots = alike(studies, *LARGEST)
    stills = stills_view(layouts, shots, [NO_STILL] * 2, above(comparison, shots[0]), marker(comparison))
    views = (*views_of_change(comparison, layouts), ("before-and-after", stills))
    assert {name: found for name, view in views if (found := overlaps(view.figure))} == {}
