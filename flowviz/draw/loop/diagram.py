"""The loop as a diagram: the tank on top, pumps below, and at each place flow, speed and head."""

from collections.abc import Sequence
from itertools import combinations
from math import inf

from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import FancyBboxPatch, Polygon, Rectangle

from flowviz.draw.loop.chart import ARROW_ROOM, VALVE_ROOM, Box, Chart, chart
from flowviz.draw.loop.crowd import LOOK_UP, ROW, draw_line
from flowviz.draw.loop.page import page
from flowviz.draw.loop.room import LINE, PAD
from flowviz.draw.loop.titles import loop_description, loop_title
from flowviz.draw.loop.words import subject
from flowviz.draw.sheets.lettering import drawable, style
from flowviz.draw.sheets.sheet import EDGE, PAGE, PAGE_HEIGHT
from flowviz.draw.sheets.theme import INK, PAPER, QUIET, SMALL, blank
from flowviz.draw.sheets.view import View, head
from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Scene

TANK, ARROWS = 0.42, 0.34  # height of the tank's lower end, and of the arrows into it and out of it [in]
THIN, THICK = 1.0, 5.0  # lines of pipes, by their flow [pt]
WATER = "#dfe7ec"
WIDEST = PAGE - 2 * EDGE  # of a diagram on a page, and of a row in long lines [in]
VALVE = 0.08  # half the length of a valve's mark [in]
ARROW = 0.12  # length of the arrow of a flow [in]

OVER_LIST = 0.25  # white below the diagram, over its list [in]
ROWS = (  # how wide a row may be with long lines, and with words at all [in]: what is tried in turn
    *((longest, inf) for longest in (WIDEST, 0.0)),
    *((longest, WIDEST * share) for share in (1.0, 0.7, 0.0) for longest in (WIDEST, 0.0)),
)

Point = tuple[float, float]  # [in]
Part = tuple[float, float]  # lower and upper end of a part of the diagram [in]

KEY = (
    "An outlet's share is what it would get if all outlets were equally fast.",
    "Thicker lines carry more water. Heads are total heads, from the tank's water surface. "
    "Black triangle: the way of the water. Two triangles, tip to tip: a valve. One against a bar: a check valve, which "
    "lets water through the way it points. Broken line: no flow.",
)


TAGGED = (
    f"A letter or number alone: all else stands in the list at the lower end; {LOOK_UP} marks what stands out there."
)


def loop_views(scene: Scene, loop: Loop) -> tuple[View, ...]:
    """The picture of a loop as a diagram, or where it would be too tall to be read in print, its parts from the top."""
    plan = fitting(scene, loop)
    title = loop_title(scene, loop)
    whole = f"{subject(scene)}: the loop as a diagram, not to scale"
    lettering = page(plan.width, 0, head(title, whole), key_of(scene, plan)).figure.get_size_inches()[1]
    found = parts(edges_of(plan, PAGE_HEIGHT - lettering), PAGE_HEIGHT - lettering)
    told = [f"{whole}; part {number} of {len(found)}, from the top" for number in range(1, len(found) + 1)]
    words = zip(told if len(found) > 1 else [whole], found, strict=True)
    return tuple(part_view(scene, loop, plan, where, part) for where, part in words)


def fitting(scene: Scene, loop: Loop) -> Chart:
    """The diagram with most words beside its parts that is no wider than a page; else the narrowest."""
    plans = (chart(scene, loop, blank(PAGE, PAGE), *limits) for limits in ROWS)
    tried: list[Chart] = []
    for plan in plans:
        if plan.width <= WIDEST:
            return plan
        tried.append(plan)
    return min(tried, key=lambda plan: plan.width)


def edges_of(plan: Chart, room: float) -> tuple[float, ...]:
    """Heights where a diagram may be cut, from the lower end of its list, which is cut only if taller than the room."""
    lines = list_places(plan)
    cuts = [middle - ROW / 2 for middle in lines]
    below = cuts if len(lines) * ROW > room else cuts[-1:]
    return (*reversed(below), *plan.floors, plan.height + ARROWS + TANK)


def list_places(plan: Chart) -> list[float]:
    """Heights of the lines of the list, below the diagram."""
    return [-OVER_LIST - ROW * (number + 0.5) for number in range(len(plan.listed))]


def key_of(scene: Scene, plan: Chart) -> tuple[str, ...]:
    """What the marks mean."""
    return (*(KEY if scene.pipes else ()), *([TAGGED] if plan.listed else []))


def part_view(scene: Scene, loop: Loop, plan: Chart, where: str, part: Part) -> View:
    """What lies between two heights of a diagram."""
    title = loop_title(scene, loop)
    made = page(plan.width, part[1] - part[0], head(title, where), key_of(scene, plan))
    axes = made.axes(0, 0, plan.width, part[1] - part[0])
    axes.set(xlim=(0, plan.width), ylim=part)
    axes.axis("off")
    draw_chart(axes, plan, scene, loop, part)
    return View(made.figure, title, f"{title}. {loop_description(scene, loop)}")


def parts(edges: Sequence[float], room: float) -> tuple[Part, ...]:
    """Lower and upper end of each part, from the top: as few as fit into the room, and then as even as may be.

    edges  heights where a diagram may be cut, from its lower end to its upper one
    """
    fewest = len(stacked(edges, room))
    limits = sorted(high - low for low, high in combinations(edges, 2))
    return next(found for limit in limits if len(found := stacked(edges, limit)) <= fewest)


def stacked(edges: Sequence[float], room: float) -> tuple[Part, ...]:
    """Parts from the top, each as tall as the room allows, but one storey at least."""
    found: list[Part] = []
    high = edges[-1]
    while high > edges[0]:
        below = [edge for edge in edges if edge < high]
        low = min((edge for edge in below if high - edge <= room), default=below[-1])
        found.append((low, high))
        high = low
    return tuple(found)


def draw_chart(axes: Axes, plan: Chart, scene: Scene, loop: Loop, part: Part) -> None:
    """Pipes, then the boxes over them, then the tank: what lies in a part of the diagram."""
    fullest = max((abs(pipe.flow) for pipe in loop.pipes), default=0.0)
    for number in range(len(scene.pipes)):
        draw_way(axes, plan.ways[number], abs(loop.pipes[number].flow), fullest)
    for number, box in enumerate(plan.pipes):
        if part[0] <= box.bottom < part[1]:
            draw_marks(axes, box, 1 if plan.rising[number] else -1, loop.pipes[number].flow != 0)
            draw_note(axes, box, "none" if not box.note.alarm else INK)
    for name, box in plan.places.items():
        if part[0] <= box.bottom < part[1]:
            draw_note(axes, box, INK, 2.2 if name in loop.pumps else 0.9, name in loop.pumps)
    if part[1] > plan.height:
        draw_tank(axes, plan, loop)
    left = min(plan.width - WIDEST, 0.0) / 2  # of the page's words: a narrower diagram stands in its middle
    for line, middle in zip(plan.listed, list_places(plan), strict=True):
        if part[0] <= middle < part[1]:
            draw_line(axes, line, left, middle)


def draw_way(axes: Axes, way: tuple[tuple[float, float], ...], flow: float, fullest: float) -> None:
    """A pipe as a line, the thicker the more it carries."""
    width = THIN + (THICK - THIN) * flow / fullest if flow else THIN
    look = {"linestyle": "-" if flow else (0, (3, 3)), "solid_joinstyle": "round", "solid_capstyle": "butt"}
    axes.add_line(Line2D(*zip(*way, strict=True), color=QUIET, linewidth=width, **look, zorder=2))


def draw_note(axes: Axes, box: Box, edge: str, line: float = 0.9, heavy: bool = False) -> None:
    """Words in their box, what stands out white on black below them."""
    left, note = box.middle - box.width / 2, box.note
    shape = f"round,pad=0,rounding_size={0.12 if heavy else 0.03}"
    frame = {"facecolor": PAPER, "edgecolor": edge, "linewidth": line, "zorder": 4, "boxstyle": shape, "clip_on": False}
    axes.add_patch(FancyBboxPatch((left, box.bottom), box.width, box.height, **frame))
    alarm = LINE + PAD if note.alarm else 0.0
    if note.alarm:
        axes.add_patch(Rectangle((left, box.bottom), box.width, alarm, facecolor=INK, zorder=5))
        draw_words(axes, note.alarm, box.middle, box.bottom + PAD / 2 + LINE, PAPER, "bold")
    if note.upright:
        draw_upright(axes, note.name, box.middle, (box.bottom + alarm + box.top) / 2)
        return
    for number, words in enumerate((note.name, *note.lines)):
        weight = "normal" if number else "bold"
        draw_words(axes, words, box.middle, box.top - PAD - number * LINE, INK, weight)


def draw_upright(axes: Axes, words: str, middle: float, at: float) -> None:
    """Words that run upwards, their middle at a height."""
    look = style(drawable(words), SMALL, INK, ha="center", va="center", weight="bold", rotation=90, zorder=6)
    axes.text(middle, at, drawable(words), **look)


def draw_words(axes: Axes, words: str, middle: float, top: float, ink: str, weight: str) -> None:
    """A line of words below a height."""
    look = style(drawable(words), SMALL, ink, ha="center", va="center", weight=weight, zorder=6)
    axes.text(middle, top - LINE / 2, drawable(words), **look)


def draw_marks(axes: Axes, box: Box, turn: int, flows: bool) -> None:
    """Below what is written beside a pipe the way of its water, 1 up, -1 down, if it flows, and its valves."""
    if flows:
        foot = box.bottom - 0.5 * ARROW - 0.04
        corners = [(box.middle + side * ARROW * 0.65, foot - turn * ARROW / 2) for side in (-1, 1)]
        tip = (box.middle, foot + turn * ARROW / 2)
        axes.add_patch(Polygon([*corners, tip], facecolor=INK, edgecolor=PAPER, linewidth=0.8, zorder=5))
    for number, kind in enumerate(box.note.valves):
        at = (box.middle, box.bottom - ARROW_ROOM - VALVE_ROOM * (number + 0.5))
        if kind == "check":
            draw_check_valve(axes, at, turn)
        else:
            draw_valve(axes, at)


def draw_valve(axes: Axes, at: Point) -> None:
    """Two triangles tip to tip across an upright pipe."""
    for side in (-1, 1):
        draw_triangle(axes, at, at[1] + side * VALVE)


def draw_check_valve(axes: Axes, at: Point, turn: int) -> None:
    """A triangle against a bar across an upright pipe: it lets water through up (1) or down (-1), never back."""
    x, y = at
    tip = y + turn * VALVE
    draw_triangle(axes, (x, tip), y - turn * VALVE)
    axes.add_line(Line2D((x - VALVE, x + VALVE), (tip, tip), color=INK, linewidth=2.2, solid_capstyle="butt", zorder=4))


def draw_triangle(axes: Axes, tip: Point, base: float) -> None:
    """A white triangle with its base at a height."""
    x, _ = tip
    corners = [tip, (x - VALVE, base), (x + VALVE, base)]
    axes.add_patch(Polygon(corners, facecolor=PAPER, edgecolor=INK, linewidth=1.0, zorder=4))


def draw_tank(axes: Axes, plan: Chart, loop: Loop) -> None:
    """The lower end of the tank over the openings, with arrows into it and out of it."""
    bottom = plan.height + ARROWS
    axes.add_patch(Rectangle((0, bottom), plan.width, TANK, facecolor=WATER, edgecolor="none", zorder=1))
    edges = ((0, 0), (0, plan.width), (plan.width, plan.width))
    for across, up in zip(edges, ((1, 0), (0, 0), (0, 1)), strict=True):
        heights = [bottom + TANK * share for share in up]
        axes.add_line(Line2D(across, heights, color=INK, linewidth=2.0, zorder=3))
    draw_words(axes, "THE TANK", plan.width / 2, bottom + TANK / 2 + LINE / 2, INK, "bold")
    for name, rate in loop.rates.items():
        if rate:
            draw_arrow(axes, plan.places[name], bottom, rate > 0)


def draw_arrow(axes: Axes, box: Box, bottom: float, inward: bool) -> None:
    """Water between an opening and the tank over it."""
    ends = ((box.middle, box.top), (box.middle, bottom + 0.1))
    start, end = ends if inward else ends[::-1]
    look = {"arrowstyle": "-|>", "color": INK, "linewidth": 2.0, "mutation_scale": 12, "shrinkA": 0, "shrinkB": 0}
    axes.annotate("", xy=end, xytext=start, arrowprops=look, zorder=4)
