"""Charts of head, pumps and strainers: what they show is what the dossier says, and it can be read."""

import re
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import pytest
from matplotlib.text import Annotation

from flowviz.draw.loop.choice import choice_view
from flowviz.draw.loop.curves import Reach, within
from flowviz.draw.loop.head import OF_A_PAGE, head_view, heads_views, profiles, told_outlet
from flowviz.draw.loop.profile import suctions
from flowviz.draw.loop.pump import pump_view
from flowviz.draw.loop.spacing import apart
from flowviz.draw.loop.strainer import strainer_view
from flowviz.draw.loop.titles import loop_title
from flowviz.draw.loop.words import costliest
from flowviz.draw.sheets.sheet import PAGE_HEIGHT
from flowviz.plumbing.choice import curve_through, present, system_curve, try_pumps
from flowviz.plumbing.circuits import even_shares
from flowviz.plumbing.dossier import dossier
from flowviz.plumbing.state import AS_BUILT
from flowviz.plumbing.strainers import Swap
from flowviz.scene.file import read_scene

SCENES = Path(__file__).parents[3] / "scenes"
PIPED = ("peninsula", "in_wall", "raceway", "cylinder")
ROUNDING = 1e-9  # [m]


@pytest.fixture(params=PIPED, scope="module")
def told(request):
    """A scene and its dossier."""
    scene = read_scene(SCENES / f"{request.param}.toml")
    return scene, dossier(scene)


def words_of(view):
    """Everything that is written in a picture."""
    axes = view.figure.axes
    return " ".join(text.get_text() for each in axes for text in each.texts) + " ".join(
        text.get_text() for text in view.figure.texts
    )


def hidden(view):
    """Pairs of labels that lie on each other by more than the width of a frame's line."""
    view.figure.canvas.draw()
    found = []
    for axes in view.figure.axes:
        labels = [each for each in axes.get_children() if isinstance(each, Annotation) and each.get_bbox_patch()]
        boxes = [label.get_bbox_patch().get_window_extent().padded(-1.5) for label in labels]
        pairs = combinations(zip(labels, boxes, strict=True), 2)
        found += [(a.get_text(), b.get_text()) for (a, one), (b, other) in pairs if one.overlaps(other)]
    return found


def test_what_is_lost_on_each_way_is_what_the_pumps_on_it_give(told):
    """Tees that give head are the one other source, so drops come to the lift or more."""
    scene, made = told
    for way in profiles(scene, made).values():
        given = sum(max(0.0, b.head - a.head) for a, b in zip(way.line.stations, way.line.stations[1:], strict=False))
        assert sum(drop.head for drop in way.drops) == pytest.approx(given, abs=ROUNDING)
        assert way.before_outlet < way.lift


def test_the_ends_of_a_way_lie_where_the_scene_has_them(told):
    scene, made = told
    high = {opening.name: opening.centre[2] - scene.tank.depth for opening in scene.openings}
    for name, way in profiles(scene, made).items():
        assert way.heights[0] == pytest.approx(high[way.line.intake], abs=ROUNDING)
        assert way.height(way.distances[-1]) == pytest.approx(high[name], abs=ROUNDING)


def test_the_pressure_at_the_pump_is_the_head_less_height_and_speed(told):
    """H - z - V²/2g with 9.80665 m/s² (CGPM 1901), from the loop's own head before the pump."""
    scene, made = told
    pump = scene.pumps[0].name
    for way in profiles(scene, made).values():
        last = suctions(way, made.loop)[-1]
        place = way.places.index(pump)
        speed = made.loop.pipes[way.line.pipes[place - 1]].speed
        expected = made.loop.nodes[f"{pump} suction"] - way.heights[place] - speed**2 / (2 * 9.80665)
        assert last.pressure == pytest.approx(expected, abs=1e-6)  # the solver's balance of heads


def test_the_way_that_is_told_goes_through_the_costliest_pipe_to_the_worst_off(told):
    scene, made = told
    outlet, shares, number = told_outlet(scene, made), even_shares(scene, made.loop), costliest(made.loop)
    through = [line.outlet for line in made.grade_lines if number in line.pipes]
    assert outlet in through
    assert shares[outlet] == min(shares[name] for name in through)


def test_the_picture_of_the_head_names_what_costs_most(told):
    scene, made = told
    view = head_view(scene, made)
    words = words_of(view)
    assert "costs most" in words
    assert "pump" in words
    assert made.losses[0].where in view.description
    assert hidden(view) == []


def test_every_way_has_its_chart(told):
    scene, made = told
    views = heads_views(scene, made)
    assert sum(len(view.figure.axes) for view in views) == len(made.grade_lines)
    assert all(hidden(view) == [] for view in views)


def test_charts_of_many_ways_stand_on_pages_that_can_be_read_in_print():
    scene = read_scene(SCENES / "peninsula.toml")
    last, feed = scene.outlets[-1], scene.pipes[-1]
    more = [f"further outlet {number}" for number in range(4)]
    outlets = (*scene.outlets, *(replace(last, name=name) for name in more))
    pipes = (*scene.pipes, *(replace(feed, end=name) for name in more))
    scene = replace(scene, outlets=outlets, pipes=pipes)
    views = heads_views(scene, dossier(scene))
    assert [len(view.figure.axes) for view in views] == [OF_A_PAGE, 8 - OF_A_PAGE]
    assert all(view.figure.get_size_inches()[1] <= PAGE_HEIGHT for view in views)


def test_the_pump_stands_where_its_curve_meets_the_loops(told):
    """The black dot lies at the loop's duty; both curves pass it within the width of the dot."""
    scene, made = told
    pump = scene.pumps[0]
    view = pump_view(scene, made.loop, pump.name, AS_BUILT)
    duty = made.loop.pumps[pump.name]
    axes = view.figure.axes[0]
    dot = next(line for line in axes.lines if line.get_marker() == "o" and line.get_markersize() == 9.0)
    shown = axes.transData.transform(dot.get_xydata())[0]
    for points in (system_curve(scene, pump.name), pump.curve):
        flows, heads = zip(*points, strict=True)
        assert flows[0] <= duty.flow <= flows[-1]
        assert min(heads) <= duty.head <= max(heads)
    assert axes.get_window_extent().contains(*shown)
    assert hidden(view) == []


def test_a_pump_at_part_speed_is_drawn_against_full_speed():
    scene = read_scene(SCENES / "peninsula.toml")
    scene = replace(scene, pumps=(replace(scene.pumps[0], speed=0.7),))
    view = pump_view(scene, dossier(scene).loop, "loop pump", AS_BUILT)
    words = words_of(view)
    assert "70 % of full speed" in words
    assert "at full speed" in words


def test_a_pump_that_runs_backwards_is_drawn_and_told():
    """A weak pump beside a strong one, without a check valve."""
    scene = read_scene(SCENES / "peninsula.toml")
    strong = scene.pumps[0]
    weak = replace(strong, name="weak", curve=tuple((flow * 0.3, head * 0.1) for flow, head in strong.curve))
    last = replace(scene.pipes[-1], rise=0.0)
    more = (replace(last, start="suction tee", end="weak"), replace(last, start="weak", end="ring tee"))
    scene = replace(scene, pumps=(strong, weak), pipes=(*scene.pipes, *more), junctions=())
    loop = dossier(scene).loop
    assert loop.pumps["weak"].flow < 0
    view = pump_view(scene, loop, "weak", AS_BUILT)
    assert "runs backwards" in view.title
    assert "runs backwards" in loop_title(scene, loop)
    view.figure.canvas.draw()


def test_strainers_show_the_limit_that_breaks_first(told):
    scene, made = told
    if made.strainers:
        view = strainer_view(scene, made)
        first = min((care.swap for care in made.strainers.values()), key=lambda swap: swap.fouled)
        assert first.intake in view.title
        assert first.limit in view.title
        assert hidden(view) == []


def test_the_title_of_the_strainers_says_what_happens():
    scene = read_scene(SCENES / "peninsula.toml")
    told = strainer_view(scene, dossier(scene)).title
    assert re.search(r"^“left top” is to be swapped at \d+ % clogged: from then on the goby can be held fast", told)


@pytest.mark.parametrize(("fouled", "small"), [(0.0, "even when clean"), (0.006, "for a day of dirt")])
def test_a_strainer_that_is_too_small_is_told_for_what(fouled, small):
    scene = read_scene(SCENES / "peninsula.toml")
    made = dossier(scene)
    cares = {name: replace(care, swap=Swap(name, fouled, "goby")) for name, care in made.strainers.items()}
    view = strainer_view(scene, replace(made, strainers=cares))
    held = f"too small {small}: the goby can be held fast on it"
    first = next(iter(cares))
    assert view.title == f"“{first}” is {held}"
    assert f"{first}: {held}" in view.description
    assert f"too small {small}" in {each.get_text() for axes in view.figure.axes for each in axes.texts}


def test_pumps_that_are_tried_come_into_one_picture():
    scene = read_scene(SCENES / "peninsula.toml")
    pump = scene.pumps[0]
    shares = (0.6, 0.8, 1.1, 2.5)
    candidates = [
        replace(pump, name=f"candidate {share}", curve=tuple((flow * share, head * share) for flow, head in pump.curve))
        for share in shares
    ]
    tried = try_pumps(scene, pump.name, candidates)
    now = present(scene, pump.name)
    asked = curve_through(scene, pump.name, (*tried, now))
    view = choice_view(scene, now, tried, asked)
    words = words_of(view)
    assert all(candidate.name in words for candidate in candidates)
    assert f"now  {pump.name}" in words
    assert "candidate 2.5" in view.title  # the largest gives most
    assert hidden(view) == []


def test_the_loops_curve_is_drawn_through_every_pumps_point():
    scene = read_scene(SCENES / "peninsula.toml")
    pump = scene.pumps[0]
    strong = replace(pump, name="strong", curve=tuple((3 * flow, 3 * head) for flow, head in pump.curve))
    (tried,), now = try_pumps(scene, pump.name, [strong]), present(scene, pump.name)
    view = choice_view(scene, now, [tried], curve_through(scene, pump.name, (tried, now)))
    axes = view.figure.axes[0]
    (loop,) = (line.get_xydata().tolist() for line in axes.lines if line.get_linewidth() == 2.6)
    points = [line.get_xydata().tolist() for line in axes.lines if line.get_markersize() == 8.0]
    assert len(points) == 2
    assert all(point in loop for (point,) in points)


def test_a_curve_ends_at_the_edge_of_its_chart():
    points = [(0.0, 0.0), (1.0, 1.0), (3.0, 3.0)]
    assert within(points, Reach(0.0, 2.0, 9.0)) == [(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)]
    assert within(points, Reach(0.0, 9.0, 2.0)) == [(0.0, 0.0), (1.0, 1.0), (2.0, 2.0)]
    assert within(points, Reach(0.0, 9.0, 9.0)) == points
    assert within(points, Reach(0.5, 9.0, 9.0)) == points[1:]
    assert within(points, Reach(4.0, 9.0, 9.0)) == []


def test_figures_are_set_apart_as_little_as_can_be():
    """Two at one place move half the gap each way; one far off stays; the order is kept."""
    assert apart([5.0, 0.0, 0.0], 2.0) == [5.0, -1.0, 1.0]
    assert apart([0.0, 4.0], 2.0) == [0.0, 4.0]


def test_long_names_beside_the_bars_of_head_do_not_reach_them():
    scene = read_scene(SCENES / "peninsula.toml")
    new = {"loop pump": "Große Umwälzpumpe im Technikraum, Süd", "ring tee": "VERTEILERSTÜCK DER VORDEREN RINGLEITUNG"}

    def renamed(parts):
        return tuple(replace(part, name=new.get(part.name, part.name)) for part in parts)

    pipes = (replace(p, start=new.get(p.start, p.start), end=new.get(p.end, p.end)) for p in scene.pipes)
    parts = {"pumps": renamed(scene.pumps), "junctions": renamed(scene.junctions), "pipes": tuple(pipes)}
    scene = replace(scene, **parts)
    bars = head_view(scene, dossier(scene)).figure.axes[1]
    edge = min(patch.get_window_extent().x0 for patch in bars.patches)
    beside = [text for text in bars.texts if text.get_position() != (0, 0) and text.get_position()[0] == 0]
    assert len(beside) == len(bars.patches)
    assert all(text.get_window_extent().x1 < edge for text in beside)
