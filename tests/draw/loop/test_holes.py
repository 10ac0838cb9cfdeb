"""Sheets for the glass shop: what is measured on the paper, times the stated scale, is what the scene says."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import combinations, product
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from matplotlib.patches import Circle
from pypdf import PdfReader

from flowviz.draw.loop.holes import hole_view, hole_views
from flowviz.draw.loop.paper import PAPERS, fitting_scale, measure
from flowviz.draw.loop.pictures import slugs, write_hole_sheets
from flowviz.draw.sheets.sheet import LEGIBLE
from flowviz.plumbing.dossier import dossier
from flowviz.plumbing.holes import panel_sheets
from flowviz.scene.apertures import Slot
from flowviz.scene.file import read_scene
from flowviz.scene.model import Panel

SCENES = Path(__file__).parents[3] / "scenes"
DRILLED = ("peninsula", "in_wall", "raceway", "cylinder")
POINT = 25.4 / 72 * 1e-3  # [m]: by definition of the SVG's unit as it is written
ON_PAPER = 2e-9  # [m]: the SVG has six decimals of a point, 4e-10 m; a distance is made of up to four of them


def scale_told(view):
    """The scale that the sheet states, one to so many."""
    words = " ".join(text.get_text() for text in view.figure.axes[0].texts)
    return int(re.search(r"Scale 1:(\d+)", words)[1])


def box_of(root, name):
    """Left, top, right, bottom of a part of an SVG on paper [m], from all points of its path."""
    (group,) = (each for each in root.iter("{http://www.w3.org/2000/svg}g") if each.get("id") == name)
    data = group.find(".//{http://www.w3.org/2000/svg}path").get("d")
    numbers = np.array(re.findall(r"-?\d+(?:\.\d+)?", data), float).reshape(-1, 2) * POINT
    return (*numbers.min(0), *numbers.max(0))


@pytest.fixture(params=DRILLED, scope="module")
def scene(request):
    return read_scene(SCENES / f"{request.param}.toml")


@pytest.fixture(scope="module")
def written(scene, tmp_path_factory):
    """The folder of a scene's sheets, and the pictures that it is said to hold."""
    folder = tmp_path_factory.mktemp("sheets")
    return folder, write_hole_sheets(scene, dossier(scene), folder)


@pytest.fixture(scope="module")
def sheets(scene, written):
    """Each panel with its view and its parsed SVG."""
    panels = panel_sheets(scene)
    views = [hole_view(scene, panel) for panel in panels]
    files = [written[0] / f"holes_{panel.panel}.svg" for panel in panels]
    return list(zip(panels, views, (ET.parse(file).getroot() for file in files), strict=True))


def test_distances_on_the_sheet_times_the_scale_are_those_of_the_scene(scene, sheets):
    """From the panel's left and lower edge to the middle of each hole, and its diameter."""
    for panel, view, root in sheets:
        scale = scale_told(view)
        left, top, right, bottom = box_of(root, "panel")
        assert (right - left) * scale == pytest.approx(panel.width, abs=ON_PAPER * scale)
        assert (bottom - top) * scale == pytest.approx(panel.height, abs=ON_PAPER * scale)
        for number, hole in enumerate(panel.holes, start=1):
            found = box_of(root, f"hole {number}")
            assert ((found[0] + found[2]) / 2 - left) * scale == pytest.approx(hole.along, abs=ON_PAPER * scale)
            assert (bottom - (found[1] + found[3]) / 2) * scale == pytest.approx(hole.up, abs=ON_PAPER * scale)
            assert (found[2] - found[0]) * scale == pytest.approx(hole.diameter, abs=ON_PAPER * scale)


def test_holes_stand_where_one_who_looks_from_outside_sees_them():
    """The left panel of the peninsula: its left edge, from outside, is the tank's back; "left low" is 620 mm from the
    front of 760 mm, so 140 mm from the left.
    """
    holes = {hole.opening: hole for hole in panel_sheets(read_scene(SCENES / "peninsula.toml"))[0].holes}
    assert holes["left low"].along == pytest.approx(0.140, abs=1e-9)


def test_the_sheet_has_the_size_of_its_paper_and_the_check_bar_its_length(scene, sheets):
    """A4 is 297 by 210 mm (ISO 216), Letter 11 by 8.5 in (ANSI Y14.1)."""
    size = {"metric": (0.297, 0.210), "us": (11 * 0.0254, 8.5 * 0.0254)}[scene.show]
    length = {"metric": 0.1, "us": 4 * 0.0254}[scene.show]
    for _, _, root in sheets:
        paper = [float(root.get(side).removesuffix("pt")) * POINT for side in ("width", "height")]
        assert paper == pytest.approx(size, abs=ON_PAPER)
        left, _, right, _ = box_of(root, "check bar")
        assert right - left == pytest.approx(length, abs=ON_PAPER)


def test_everything_lies_on_the_paper(sheets):
    for _, view, _ in sheets:
        page = view.figure.bbox
        for text in view.figure.axes[0].texts:
            box = text.get_window_extent()
            assert page.x0 <= box.x0 <= box.x1 <= page.x1, text.get_text()
            assert page.y0 <= box.y0 <= box.y1 <= page.y1, text.get_text()


def test_the_pdf_opens_and_has_a_page_of_the_papers_size_for_each_panel(scene, written):
    folder, pictures = written
    pages = PdfReader(folder / "holes.pdf").pages
    assert pictures[-1].file == "holes.pdf"
    assert len(pages) == len(panel_sheets(scene))
    paper = PAPERS[scene.show]
    for page in pages:
        size = [float(side) * POINT * 1e3 for side in page.mediabox[2:]]
        assert size == pytest.approx([paper.width, paper.height], abs=1e-3)  # the file's four decimals of a point


def test_a_tempered_panel_is_crossed_through():
    scene = read_scene(SCENES / "peninsula.toml")
    tempered = replace(panel_sheets(scene)[0], described=Panel("glass", 0.015, True))
    view = hole_view(scene, tempered)
    texts = view.figure.axes[0].texts
    largest = max(texts, key=lambda text: text.get_fontsize())
    assert largest.get_text() == "NEVER DRILL: TEMPERED"
    assert view.title.endswith("; never drill: tempered")
    words = [text.get_text() for text in texts]
    assert words.count("never drill: tempered") == len(tempered.holes)  # in the table
    assert "kept" not in words
    crossing = [line for line in view.figure.axes[0].lines if line.get_linewidth() == 3.0]
    assert len(crossing) == 2


@pytest.mark.parametrize("show", ["metric", "us"])
def test_on_the_sheet_of_a_tempered_panel_rules_table_and_caution_stand_clear_of_each_other(show):
    """Its rules, of glass before and after tempering, take the most lines, and its verdict is the longest word."""
    scene = replace(read_scene(SCENES / "peninsula.toml"), show=show)
    panel = Panel("glass", 0.019, True)
    scene = replace(scene, tank=replace(scene.tank, panels={"left": panel}))
    (left,) = (sheet for sheet in panel_sheets(scene) if sheet.panel == "left")
    texts = hole_view(scene, left).figure.axes[0].texts
    boxes = {text.get_text(): text.get_window_extent() for text in texts}
    (caution,) = (box for words, box in boxes.items() if "do not prove" in words)
    rules = [box for words, box in boxes.items() if "published" in words or "practice" in words]
    assert rules
    assert min(box.y0 for box in rules) >= caution.y1
    paper = texts[0].axes.figure.bbox.x1
    assert boxes["never drill: tempered"].x1 <= paper * (1 - 10 / PAPERS[show].width)  # within the margin of 10 mm


def test_every_sheet_says_that_rules_prove_nothing_and_how_it_is_seen(sheets):
    for panel, view, _ in sheets:
        words = " ".join(text.get_text() for text in view.figure.axes[0].texts)
        assert "do not prove" in words
        assert "the maker of the tank decides" in words
        assert ("SEEN FROM ABOVE" if panel.panel == "floor" else "SEEN FROM OUTSIDE") in words
        for hole in panel.holes:
            assert hole.opening in words


def test_a_broken_rule_is_told_on_the_drawing_and_in_the_table():
    scene = read_scene(SCENES / "in_wall.toml")
    panel = next(each for each in panel_sheets(scene) if each.broken)
    words = [text.get_text() for text in hole_view(scene, panel).figure.axes[0].texts]
    assert any("RULE BROKEN" in each for each in words)
    assert any(each.startswith("BROKEN: ") for each in words)


@pytest.mark.parametrize(
    ("length", "show", "words"),
    [
        (0.380, "metric", "380"),
        (0.0605, "metric", "60.5"),
        (2 * 0.0254, "us", '2"'),
        (18.875 * 0.0254, "us", '18 7/8"'),
        (0.5 * 0.0254, "us", '1/2"'),
        (0.0, "us", '0"'),
        (1.2, "us", '47.24"'),  # 1200 / 25.4 = 47.244, and 47 1/4 would be 0.15 mm off
    ],
)
def test_lengths_are_written_as_a_glass_shop_reads_them(length, show, words):
    assert measure(length, show) == words


def test_the_scale_is_the_largest_that_fits():
    paper = PAPERS["metric"]
    assert fitting_scale(paper, (1.0, 0.5), (200.0, 100.0)) == 5
    assert fitting_scale(paper, (1.01, 0.5), (200.0, 100.0)) == 10


def test_panels_with_strange_names_get_files_of_their_own():
    assert slugs(["north/east", "north east", "floor"]) == ["north_east", "north_east_2", "floor"]


def test_many_holes_still_fit():
    """Forty holes in a panel and more: the table goes on on further sheets, each hole stands once, none in print below
    the 7 points that all pictures keep, and nothing leaves the paper.
    """
    scene = read_scene(SCENES / "peninsula.toml")
    panel = panel_sheets(scene)[0]
    many = replace(panel, holes=panel.holes * 8)
    views = dict(hole_views(scene, SimpleNamespace(sheets=(many,))))
    assert list(views) == ["left", "left, sheet 2"]
    texts = [text for view in views.values() for text in view.figure.axes[0].texts]
    assert min(text.get_window_extent().y0 for text in texts) >= 0
    assert (
        min(text.get_fontsize() for text in texts if text.get_text()) >= LEGIBLE - 0.02
    )  # a row ends in a tenth of a mm
    told = [text.get_text() for text in texts]
    assert sum(words in ("kept", "pane not described") or "BROKEN" in words for words in told) >= len(many.holes)
    assert any("The table goes on on sheet 2." in words for words in told)


def test_labels_of_many_holes_hide_neither_figures_nor_holes_nor_each_other():
    """Twelve outlets in four rows on a tall panel, and the peninsula's two intakes."""
    scene = read_scene(SCENES / "peninsula.toml")
    spots = [(0.0, y, z) for z in (0.09, 0.24, 0.39, 0.57) for y in (0.12, 0.26, 0.64)]
    many = tuple(replace(scene.outlets[0], name=f"nozzle {n}", centre=at) for n, at in enumerate(spots))
    panel = next(each for each in panel_sheets(replace(scene, outlets=many)) if each.panel == "left")
    view = hole_view(replace(scene, outlets=many), replace(panel, height=1.2))
    view.figure.canvas.draw()
    axes = view.figure.axes[0]
    boxes = [text.get_bbox_patch().get_window_extent() for text in axes.texts if text.get_bbox_patch()]
    figures = [text.get_window_extent() for text in axes.texts if text.get_text() and not text.get_bbox_patch()]
    holes = [patch.get_window_extent() for patch in axes.patches if isinstance(patch, Circle) and patch.get_fill()]
    assert (len(boxes), len(holes)) == (14, 14)
    assert not [pair for pair in combinations(boxes, 2) if pair[0].overlaps(pair[1])]
    assert not [pair for pair in product(boxes, figures + holes) if pair[0].overlaps(pair[1])]


@pytest.mark.parametrize(
    ("panels", "told"),
    [({}, "longer by as much as it is wider"), ({"wall": Panel("acrylic", 0.035, False)}, "times 1.0500")],
)
def test_a_round_wall_is_longer_outside(panels, told):
    """1400 mm wide inside and 35 mm thick: 1470 mm outside, 1.05 times as much, and so is every arc."""
    scene = read_scene(SCENES / "cylinder.toml")
    outlet = replace(scene.outlets[0], centre=(1.4, 0.7, 1.1), panel="wall", hole=0.06)
    scene = replace(scene, tank=replace(scene.tank, panels=panels), outlets=(outlet,), pipes=())
    (panel,) = (each for each in panel_sheets(scene) if each.panel == "wall")
    words = " ".join(text.get_text() for text in hole_view(scene, panel).figure.axes[0].texts)
    assert "along the wall on its INSIDE" in words
    assert told in words


@pytest.mark.parametrize(("name", "key"), [("left", "left"), ("wall 2", '"wall 2"')])
def test_what_to_write_so_that_the_rules_are_checked_is_told(name, key):
    """A bare key of TOML has no space."""
    scene = read_scene(SCENES / "peninsula.toml")
    described = panel_sheets(scene)[0]
    for panel, told in ((described, False), (replace(described, panel=name, described=None), True)):
        words = " ".join(text.get_text() for text in hole_view(scene, panel).figure.axes[0].texts)
        assert (f"No rule is checked: write [tank.panels.{key}] with material" in words) == told


def test_what_is_missing_on_a_sheet_is_named_with_the_reason():
    """Of the two intakes in the left pane one is cut out as a weir, and of the other no hole is told."""
    scene = read_scene(SCENES / "peninsula.toml")
    cut, bare = (replace(each, strainer=None, hole=None) for each in scene.intakes)
    scene = replace(scene, intakes=(replace(cut, aperture=Slot(0.3, 0.05)), bare))
    (left,) = (panel for panel in panel_sheets(scene) if panel.panel == "left")
    words = " ".join(text.get_text() for text in hole_view(scene, left).figure.axes[0].texts)
    assert f"Not drawn, for it is cut out, not drilled: {cut.name}." in words
    assert f"Not drawn, for the scene tells no hole: {bare.name}." in words
