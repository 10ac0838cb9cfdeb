"""Pumps that were tried on a loop, all in one picture: where each would work, and what it would cost and bear."""

from collections.abc import Collection, Iterator, Mapping, Sequence

from matplotlib.axes import Axes

from flowviz.draw.loop.curves import Reach, Scale, chart_of, draw_asked, draw_curve, draw_duty, marks, within
from flowviz.draw.loop.page import page
from flowviz.draw.loop.titles import choice_description, choice_title
from flowviz.draw.loop.words import subject
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import drawable, short, style
from flowviz.draw.sheets.theme import INK, PAPER, QUIET, SMALL
from flowviz.draw.sheets.view import View, head
from flowviz.draw.sheets.wording import letter
from flowviz.plumbing.choice import Choice, Point
from flowviz.scene.model import Scene
from flowviz.units import percent, shown

WIDTH, HEIGHT, LEFT, FIGURES = 9.4, 4.8, 0.7, 0.75  # of the chart, and room beside and under it for figures [in]
ROW = 0.23  # of the table [in]
ABOVE = 1.08  # of the highest head and the widest flow, that the chart goes to
DASHES = ("-", (0, (7, 2)), (0, (2, 1.5)), (0, (7, 2, 1.5, 2)))  # of the pumps' curves in turn
NOW, DOTS = "now", (0, (1, 1))  # of the pump that is there
COLUMNS: Mapping[str, float] = {  # heading, and where it begins, of the width of the table
    "pump": 0.0,
    "flow": 0.28,
    "head": 0.38,
    "of open flow": 0.46,
    "power": 0.57,
    "cost a year": 0.65,
    "left half clogged": 0.76,
    "half throttled": 0.89,
}
FOOT = (
    "Falling lines: what each pump gives, within the points that its maker tells; dotted: the pump that is there now. "
    "Rising line: what the loop asks for. Black dots: where each would work; hollow: beyond its maker's points. Left: "
    "flow of the loop with half of all slots clogged, and with a ball valve half shut behind the pump."
)


def choice_view(scene: Scene, now: Choice, tried: Sequence[Choice], asked: Sequence[Point]) -> View:
    """The picture of pumps in the place of one of the scene's.

    now    the one that is there
    asked  the loop's curve, by the flow through the pump
    """
    title, pumps = choice_title(scene, tried), named_pumps(now, tried)
    table = ROW * (len(pumps) + 1)
    where = f"{subject(scene)}: {len(tried)} pumps in the place of {short(now.pump)}"
    made = page(LEFT + WIDTH, table + FIGURES + HEIGHT, head(title, where), (FOOT,))
    axes = made.axes(LEFT, table + FIGURES, WIDTH, HEIGHT)
    reach = reach_of(pumps.values())
    scale = chart_of(axes, scene.show, reach)
    labels = [*draw_pumps(axes, scale, pumps), *draw_asked(axes, scale, within(asked, reach), "the loop", 2.6)]
    place(axes, labels, axes.get_window_extent(), marks(axes))
    draw_choices(made.axes(0, 0, LEFT + WIDTH, table), pumps, scene)
    return View(made.figure, title, f"{title}. {choice_description(scene, (*tried, now))}")


def named_pumps(now: Choice, tried: Sequence[Choice]) -> Mapping[str, Choice]:
    """The pumps by what they are called in the picture; the one that is there comes last."""
    return {letter(number): each for number, each in enumerate(tried)} | {NOW: now}


def reach_of(pumps: Collection[Choice]) -> Reach:
    """A chart that holds all curves and points of pumps."""
    flows = [flow for each in pumps for flow in (0.0, each.duty.last_flow, each.duty.flow)]
    heads = [height for each in pumps for height in (each.duty.head, *(height for _, height in each.curve))]
    return Reach(ABOVE * min(flows), ABOVE * max(flows), ABOVE * max(heads))


def draw_pumps(axes: Axes, scale: Scale, pumps: Mapping[str, Choice]) -> Iterator[Label]:
    """The curves with their letters, and where each pump would work."""
    for number, (badge, each) in enumerate(pumps.items()):
        draw_curve(axes, scale, each.curve, 1.6, DOTS if badge == NOW else DASHES[number % len(DASHES)])
        on_curve = each.duty.first_flow <= each.duty.flow <= each.duty.last_flow
        draw_duty(axes, scale, (each.duty.flow, each.duty.head), 8.0, INK if on_curve else PAPER)
        start = scale.at(each.curve[len(each.curve) // 8])
        box = "square,pad=0.25" if badge == NOW else "circle,pad=0.25"
        yield Label(badge, start, box=box, weight="bold", nearest=4.0, lean=(0.0, 1.0))
        duty = scale.at((each.duty.flow, each.duty.head))
        look = {"ink": PAPER, "paper": INK, "weight": "bold", "nearest": 12.0, "lean": (0.6, -0.8)}
        yield Label(badge, duty, box=box, **look)


def draw_choices(axes: Axes, pumps: Mapping[str, Choice], scene: Scene) -> None:
    """The table under the chart."""
    axes.set(xlim=(0, 1), ylim=(-len(pumps) - 0.5, 0.5))
    axes.axis("off")
    rows = [list(COLUMNS), *(cells(badge, each, scene) for badge, each in pumps.items())]
    for down, row in enumerate(rows):
        for at, words in zip(COLUMNS.values(), row, strict=True):
            look = style(words, SMALL, INK, va="center", weight="normal" if down else "bold")
            axes.text(at, -down, drawable(words), **look)
        axes.axhline(-down - 0.5, color=QUIET, linewidth=0.3 if down else 0.8)


def cells(badge: str, each: Choice, scene: Scene) -> list[str]:
    """The row of a pump."""
    duty = each.duty
    return [
        f"{badge}  {short(each.pump, 30)}",
        shown(duty.flow, "flow", scene.show),
        shown(duty.head, "head", scene.show),
        percent(duty.surviving_share),
        shown(duty.power, "power", scene.show) if duty.power else "not told",
        f"{each.cost:,.0f}" if each.cost is not None else "not told",
        percent(each.kept_fouled),
        percent(each.kept_throttled),
    ]
