"""The diagram of a loop: nothing lies on anything else, whatever the network, and the water's way can be followed."""

import math
from dataclasses import replace
from itertools import combinations, pairwise, product
from pathlib import Path

import numpy as np
import pytest
from matplotlib.colors import to_rgba
from matplotlib.patches import Polygon
from matplotlib.text import Text as Letters

from flowviz.draw.loop.chart import chart
from flowviz.draw.loop.diagram import WIDEST, loop_views, parts
from flowviz.draw.loop.words import LONGEST, notes, pipe_notes
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.sheet import PAGE, PAGE_HEIGHT
from flowviz.draw.sheets.theme import PAPER, SMALL, blank
from flowviz.draw.sheets.wording import badges
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene

SCENES = sorted((Path(__file__).parents[3] / "scenes").glob("*.toml"))
TOUCH = 1e-6  # [in]: rounding


def with_pipes(scene, *more):
    """A scene with more pipes like its last one, each (from, to)."""
    last = replace(scene.pipes[-1], rise=0.0)
    return replace(scene, pipes=(*scene.pipes, *(replace(last, start=start, end=end) for start, end in more)))


def outlets(scene, count):
    """A scene whose last outlet stands there several times over, each fed by a pipe from one place."""
    last, feed = scene.outlets[-1], scene.pipes[-1]
    names = [f"further outlet {number}" for number in range(count)]
    more = tuple(replace(last, name=name) for name in names)
    return with_pipes(replace(scene, outlets=(*scene.outlets, *more)), *((feed.start, name) for name in names))


def a_mesh(scene):
    """The rings of a loop joined across, twelve outlets on it: 27 pipes."""
    scene = outlets(replace(scene, junctions=()), 8)
    return with_pipes(scene, ("ring tee", "far end"), ("far end", "ring back"), ("far end", "further outlet 3"))


def in_series(scene):
    """A second pump behind the first."""
    first = scene.pumps[0]
    pipes = tuple(replace(pipe, start="booster") if pipe.start == first.name else pipe for pipe in scene.pipes)
    scene = replace(scene, pumps=(first, replace(first, name="booster")), pipes=pipes)
    return with_pipes(scene, (first.name, "booster"))


def in_parallel(scene):
    """A second pump beside the first."""
    first = scene.pumps[0]
    before = next(pipe.start for pipe in scene.pipes if pipe.end == first.name)
    behind = next(pipe.end for pipe in scene.pipes if pipe.start == first.name)
    scene = replace(scene, pumps=(first, replace(first, name="second")), junctions=())
    return with_pipes(scene, (before, "second"), ("second", behind))


def with_bypass(scene):
    """Water that goes from behind the pump straight back to before it."""
    scene = replace(scene, junctions=())
    return with_pipes(scene, ("ring tee", "suction tee"), ("ring front", "ring tee"))


MADE = {"as it is": lambda scene: scene} | {
    made.__name__.replace("_", " "): made for made in (a_mesh, in_series, in_parallel, with_bypass)
}


@pytest.fixture(params=[*(path.stem for path in SCENES), *list(MADE)[1:]])
def scene(request):
    """The shipped scenes, and the peninsula with its loop made harder."""
    made = MADE.get(request.param, MADE["as it is"])
    path = next((path for path in SCENES if path.stem == request.param), SCENES[0].with_name("peninsula.toml"))
    return made(read_scene(path))


LIMITS = {
    "long lines": (math.inf, math.inf),
    "long where they fit": (WIDEST, math.inf),
    "short lines": (0.0, math.inf),
    "tags": (0.0, 0.0),
}


@pytest.fixture(params=LIMITS.values(), ids=list(LIMITS))
def drawn(scene, request):
    """The scene's diagram."""
    return chart(scene, solve_loop(scene), blank(8, 8), *request.param)


def edges(box):
    """Left, bottom, right, top."""
    return box.middle - box.width / 2, box.bottom, box.middle + box.width / 2, box.top


def overlap(one, other):
    return all(one[axis] < other[axis + 2] - TOUCH and other[axis] < one[axis + 2] - TOUCH for axis in (0, 1))


def test_no_two_labels_overlap(drawn):
    boxes = [edges(box) for box in (*drawn.places.values(), *drawn.pipes)]
    assert not [pair for pair in combinations(boxes, 2) if overlap(*pair)]


def test_all_labels_lie_within_the_picture(drawn):
    for box in (*drawn.places.values(), *drawn.pipes):
        left, bottom, right, top = edges(box)
        assert min(left, bottom) >= -TOUCH
        assert right <= drawn.width + TOUCH
        assert top <= drawn.height + TOUCH


def test_no_pipe_runs_through_a_label_that_is_not_its_own(drawn):
    places = list(drawn.places.values())
    for number, way in enumerate(drawn.ways):
        foreign = [*(box for other, box in enumerate(drawn.pipes) if other != number)]
        own = {way[0], way[-1]}
        foreign += [box for box in places if not any(abs(box.middle - x) < box.width / 2 for x, _ in own)]
        for (x, y), (to_x, to_y) in pairwise(way):
            line = (min(x, to_x), min(y, to_y), max(x, to_x), max(y, to_y))
            assert not [box for box in foreign if overlap(line, edges(box))]


@pytest.mark.parametrize("axis", [0, 1], ids=["level", "upright"])
def test_no_two_pipes_lie_on_each_other_but_at_a_common_place(scene, drawn, axis):
    ways = zip(scene.pipes, drawn.ways, strict=True)
    for (pipe, way), (other, other_way) in combinations(ways, 2):
        if not {pipe.start, pipe.end} & {other.start, other.end}:
            strokes = product(pairwise(way), pairwise(other_way))
            assert not [pair for pair in strokes if lie_together(*pair, axis)]


def lie_together(stroke, other, axis):
    """Whether two strokes along an axis cover each other in part."""
    (a, b), (c, d) = stroke, other
    if not (a[1 - axis] == b[1 - axis] == c[1 - axis] == d[1 - axis]):
        return False
    one, two = sorted((a[axis], b[axis])), sorted((c[axis], d[axis]))
    return min(one[1], two[1]) - max(one[0], two[0]) > TOUCH


def test_every_pipe_passes_its_own_label(drawn):
    for box, way in zip(drawn.pipes, drawn.ways, strict=True):
        assert any(
            x == to_x == box.middle and min(y, to_y) <= box.top and max(y, to_y) >= box.bottom
            for (x, y), (to_x, to_y) in pairwise(way)
        )


def test_only_upright_pipes_cross_the_heights_where_a_diagram_may_be_cut(drawn):
    boxes = [edges(box) for box in (*drawn.places.values(), *drawn.pipes)]
    for floor in drawn.floors[1:]:
        assert not [box for box in boxes if box[1] < floor - TOUCH and floor + TOUCH < box[3]]
        for way in drawn.ways:
            assert not [y for (_, y), (_, to_y) in pairwise(way) if y == to_y and abs(y - floor) < TOUCH]


@pytest.mark.parametrize("path", SCENES, ids=lambda path: path.stem)
def test_no_letter_of_a_shipped_loop_is_below_seven_points_on_a4(path):
    scene = read_scene(path)
    for view in loop_views(scene, solve_loop(scene)):
        wide, tall = view.figure.get_size_inches()
        assert wide <= PAGE + TOUCH
        assert tall <= PAGE_HEIGHT + TOUCH


def in_a_row(scene, count):
    """A scene with a manifold that grows: further outlets, each behind one more junction."""
    last = scene.outlets[-1]
    names = [f"further outlet {number}" for number in range(count)]
    scene = replace(scene, outlets=(*scene.outlets, *(replace(last, name=name) for name in names)), junctions=())
    stops = ["ring front", *(f"stop {number}" for number in range(count))]
    return with_pipes(scene, *pairwise(stops), *zip(stops[1:], names, strict=True))


def test_a_loop_taller_than_a_page_comes_in_parts_that_hold_everything_once():
    scene = in_a_row(read_scene(SCENES[0].with_name("peninsula.toml")), 6)
    views = loop_views(scene, solve_loop(scene))
    assert len(views) > 1
    assert all(view.figure.get_size_inches()[1] <= PAGE_HEIGHT + TOUCH for view in views)
    words = [text.get_text() for view in views for axes in view.figure.axes for text in axes.texts]
    for name in ("THE TANK", *(f"stop {number}" for number in range(6)), "loop pump", "ring tee"):
        assert words.count(name) == 1


def test_parts_are_as_few_and_then_as_even_as_may_be():
    """Storeys of 3, 3, 2, 1 and 1 from below: room for 6 takes two parts, and 6 and 4 are the evenest."""
    assert parts((0, 3, 6, 8, 9, 10), 6) == ((6, 10), (0, 6))
    assert parts((0, 3, 6, 8, 9, 10), 10) == ((0, 10),)
    assert parts((0, 3, 4), 2) == ((3, 4), (0, 3))  # a storey is never cut


def in_a_star(scene, count):
    """A scene with further outlets that all hang on one junction."""
    return outlets(replace(scene, junctions=()), count)


def in_pairs(scene, count):
    """A scene with further outlets, two on each of further junctions."""
    last = scene.outlets[-1]
    names = [f"further outlet {number}" for number in range(count)]
    more = tuple(replace(last, name=name) for name in names)
    scene = replace(scene, outlets=(*scene.outlets, *more), junctions=())
    tees = [f"branch {number}" for number in range((count + 1) // 2)]
    pipes = [(tees[number // 2], name) for number, name in enumerate(names)]
    return with_pipes(scene, *(("ring front", tee) for tee in tees), *pipes)


CROWDS = {made.__name__: made for made in (in_a_star, in_a_row, in_pairs)}


@pytest.fixture(params=[9, 12, 16, 24])
def crowd(request, way):
    """A loop of so many openings: the peninsula has six."""
    scene = CROWDS[way](read_scene(SCENES[0].with_name("peninsula.toml")), request.param - 6)
    long = "Überlaufgehäuse der rückwärtigen Strömung"
    first = replace(scene.outlets[0], name=long)
    pipes = (replace(p, end=long) if p.end == scene.outlets[0].name else p for p in scene.pipes)
    half = (replace(p, valves={"union ball valve": 0.5}) if p.end == long else p for p in pipes)
    return replace(scene, outlets=(first, *scene.outlets[1:]), pipes=tuple(half))


@pytest.mark.parametrize("way", CROWDS)
def test_no_letter_of_a_loop_of_many_openings_is_below_seven_points_on_a4(crowd):
    """A page of PAGE by PAGE_HEIGHT shrinks on A4 until SMALL letters have seven points; none may leave it."""
    loop = solve_loop(crowd)
    views = loop_views(crowd, loop)
    drawn = []
    for figure in (view.figure for view in views):
        wide, tall = figure.get_size_inches()
        assert wide <= PAGE + TOUCH
        assert tall <= PAGE_HEIGHT + TOUCH
        figure.canvas.draw()
        texts = [text for text in figure.findobj(Letters) if text.get_text()]
        assert min(text.get_fontsize() for text in texts) >= SMALL
        extents = [text.get_window_extent().extents / figure.dpi for text in texts]
        assert all(min(x0, y0) >= 0 and x1 <= wide and y1 <= tall for x0, y0, x1, y1 in extents)
        drawn += [text.get_text() for axes in figure.axes for text in axes.texts]
    told = notes(crowd, loop)
    for name, letter in badges(crowd).items():
        assert drawn.count(letter) == 2  # in the diagram and in the list
        assert drawn.count(short(name, LONGEST)) == 1
        assert set(told[name].lines) <= set(drawn)


@pytest.mark.parametrize("way", ["in_a_row"])
def test_what_stands_out_is_marked_in_the_diagram_and_told_in_the_list(crowd):
    loop = solve_loop(crowd)
    tags_only = chart(crowd, loop, blank(8, 8), 0.0, 0.0)
    told = notes(crowd, loop)
    for name in badges(crowd):
        assert bool(tags_only.places[name].note.alarm) is bool(told[name].alarm)
    alarms = [note.alarm for note in (*told.values(), *pipe_notes(crowd, loop)) if note.alarm]
    assert len(alarms) > 2
    heavy = " ".join(line.cells[-1] for line in tags_only.listed if line.heavy)
    assert all(alarm in heavy for alarm in alarms)


@pytest.mark.parametrize(("start", "turn"), [("loop pump", 1), ("suction tee", -1)])
def test_a_check_valve_points_the_way_that_it_lets_water_through(start, turn):
    """Behind the pump it points up, away from it, before it down, towards it: a triangle against a bar as wide."""
    scene = read_scene(SCENES[0].with_name("peninsula.toml"))
    (number,) = (n for n, pipe in enumerate(scene.pipes) if pipe.start == start)
    pipes = tuple(
        replace(pipe, fittings={"check valve": 1} if n == number else {}) for n, pipe in enumerate(scene.pipes)
    )
    scene = replace(scene, pipes=pipes)
    axes = [each for view in loop_views(scene, solve_loop(scene)) for each in view.figure.axes]
    triangles = [patch for each in axes for patch in each.patches if type(patch) is Polygon]
    (mark,) = (patch for patch in triangles if patch.get_facecolor() == to_rgba(PAPER))
    corners = mark.get_xy()[:3]
    (tip,) = (corner for corner in corners if list(corners[:, 1]).count(corner[1]) == 1)
    base = next(corner for corner in corners if corner[1] != tip[1])
    bars = [line for each in axes for line in each.lines if (line.get_ydata() == tip[1]).all()]
    assert np.sign(tip[1] - base[1]) == turn
    assert [np.ptp(bar.get_xdata()) for bar in bars] == [pytest.approx(2 * abs(base[0] - tip[0]))]
