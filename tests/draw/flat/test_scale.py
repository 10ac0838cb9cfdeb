"""Scale bar and names of the ends: clear of each other below wide sections and narrow ones, and of all labels."""

from dataclasses import replace
from itertools import combinations

import pytest
from matplotlib.patches import FancyArrowPatch
from matplotlib.text import Annotation

from flowviz.draw.flat.pages import plan_view, section_view
from flowviz.draw.flat.planes import Section, Subject
from flowviz.draw.flat.scale import ASIDE, SHARE, draw_ends, draw_scale_bar, round_length
from flowviz.draw.flat.slices import plane_at
from flowviz.draw.sheets.sheet import PAGE, TALLEST, WIDEST, add_picture
from flowviz.draw.sheets.theme import blank


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("axis", [0, 1])
@pytest.mark.parametrize("size", [(0.3, 1.9), (0.4, 1.2), (0.5, 1.0), (0.5, 0.6), (1.2, 0.6), (8.0, 2.5)])  # [m]
def test_neither_name_touches_the_scale_bar(size, axis, system):
    scale = min(WIDEST / size[0], TALLEST / size[1])
    axes = add_picture(blank(PAGE, PAGE), 2.0, 2.0, size, scale)
    bar = draw_scale_bar(axes, size[0], system)
    draw_ends(axes, size[0], axis)
    names = [text.get_window_extent() for text in axes.texts[1:]]
    assert len(names) == 2
    for one, other in combinations((bar, *names), 2):
        assert not one.overlaps(other)


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("picture", ["plan", "upright", "level"])
@pytest.mark.parametrize("at", [(-0.5,), (0.0,), (0.5,), (-1.0, -0.5, 0.0, 0.5, 1.0)])
def test_nothing_touches_the_scale_bar_or_the_names_beside_it(make, picture, system, at):
    """Intakes over the bar, so many of its lengths from its middle, in the floor where a section is upright."""
    upright = picture == "upright"
    normal, panel = ((0.0, 0.0, 1.0), "floor") if upright else ((0.0, 1.0, 0.0), "front")
    spots = [ASIDE * 1.2 + share * round_length(SHARE * 1.2, system) for share in at]
    intakes = [make.intake(f"drain {x:.2f}", (x, 0.3, 0.0) if upright else (x, 0.0, 0.2), normal, panel) for x in spots]
    scene = replace(make.scene(), show=system, intakes=tuple(intakes), corals=(), rocks=())
    study = make.study(scene, make.speeds)
    cut = plane_at(1, 0.3, study.grid) if upright else plane_at(2, 0.2, study.grid)
    subject = Subject("stillest", 0)
    view = plan_view(study) if picture == "plan" else section_view(study, Section(subject, cut))
    view.figure.canvas.draw()
    stands, written, leads = inked(view.figure.axes[0])
    assert len(stands) == (4 if upright else 2)
    for box in stands:
        assert not [words for words, other in written if box.overlaps(other)]
        assert not [lead for lead in leads if lead.intersects_bbox(box)]


def inked(axes):
    """In pixels: boxes of bar, figure and names at the foot; labels with their words; lines that lead to things."""
    notes = [child for child in axes.get_children() if isinstance(child, Annotation)]
    feet = [text for text in axes.texts if not isinstance(text, Annotation)]
    (bar,) = [line for line in axes.lines if line.get_marker() == "|"]
    written = [(n.get_text(), n.get_bbox_patch().get_window_extent()) for n in notes if n.get_text()]
    arrows = [note.arrow_patch for note in notes if note.arrow_patch]
    leads = [arrow.get_transform().transform_path(arrow.get_path()) for arrow in arrows]
    return [artist.get_window_extent() for artist in (bar, *feet)], written, leads


@pytest.mark.parametrize("height", [0.02, 0.06])
def test_the_arrow_of_a_jet_that_blows_at_the_floor_stays_off_the_scale_bar(make, height):
    jet = make.outlet("downwards", (ASIDE * 1.2, 0.3, height), (0, 0, -1), "rim")
    study = make.study(make.scene(outlets=(jet,), sand=None, corals=(), rocks=()), make.speeds)
    axes = section_view(study, Section(Subject("stillest", 0), plane_at(1, 0.3, study.grid))).figure.axes[0]
    axes.figure.canvas.draw()
    (arrow,) = [patch for patch in axes.patches if isinstance(patch, FancyArrowPatch)]
    stands, _, _ = inked(axes)
    assert not [box for box in stands if box.overlaps(arrow.get_window_extent())]
