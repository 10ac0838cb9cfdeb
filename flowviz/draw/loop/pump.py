"""A pump on its loop: its curve against what the loop asks for."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from matplotlib.axes import Axes

from flowviz.draw.loop.curves import (
    Reach,
    Scale,
    chart_of,
    curve_label,
    draw_asked,
    draw_curve,
    draw_duty,
    marks,
    within,
)
from flowviz.draw.loop.page import HATCHED, page
from flowviz.draw.loop.titles import pump_description, pump_title
from flowviz.draw.loop.words import flow_words, power_words, subject
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.theme import INK, PAPER
from flowviz.draw.sheets.view import View, head
from flowviz.plumbing.choice import Point, pump_curve, system_curve
from flowviz.plumbing.loop import Loop, PumpDuty
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import State
from flowviz.scene.model import Pump, Scene
from flowviz.units import percent, shown

WIDTH, HEIGHT, LEFT, FIGURES = 7.2, 4.4, 0.7, 0.6  # of the chart, and room beside and under it for figures [in]
FOULED = 0.9  # share of all strainers' slots clogged in the broken curve
ABOVE = 1.15  # of the highest head and the widest flow, that the chart goes to
FOOT = (
    "Heavy line: what the pump gives, with the points that its maker tells. Rising lines: what the loop asks for at "
    "each flow, other pumps running as they do. It works where they meet. Hatched: beyond the maker's points, a guess."
)


def pump_view(scene: Scene, loop: Loop, name: str, state: State) -> View:
    """The picture of a pump that turns."""
    pump = next(each for each in scene.pumps if each.name == name)
    duty, title = loop.pumps[name], pump_title(scene, name, loop.pumps[name])
    turned = replace(pump, speed=duty.speed_share)
    made = page(
        LEFT + WIDTH,
        FIGURES + HEIGHT,
        head(title, f"{subject(scene)}: {short(name)} against its loop"),
        (FOOT,),
    )
    axes = made.axes(LEFT, FIGURES, WIDTH, HEIGHT)
    heads = [each for _, each in (*pump_curve(turned), *_full(pump, duty))]
    flows = min(0.0, duty.flow), max(duty.open_flow, duty.flow)
    reach = Reach(*(ABOVE * flow for flow in flows), ABOVE * max(duty.head, *heads))
    scale = chart_of(axes, scene.show, reach)
    labels = [duty_label(scale, duty, scene), *_draw_pump(axes, scale, pump, turned, duty)]
    labels += _draw_system(axes, scale, scene, name, state, reach)
    draw_duty(axes, scale, (duty.flow, duty.head), 9.0)
    place(axes, labels, axes.get_window_extent(), marks(axes))
    return View(made.figure, title, f"{title}. {pump_description(scene, duty)}")


def _full(pump: Pump, duty: PumpDuty) -> Sequence[Point]:
    """The curve at full speed, if the pump does not turn at it."""
    return () if duty.speed_share == 1 else pump_curve(replace(pump, speed=1.0))


def _draw_pump(axes: Axes, scale: Scale, pump: Pump, turned: Pump, duty: PumpDuty) -> Iterator[Label]:
    """The curve at the pump's speed, the straight guess beyond it, and the curve at full speed."""
    curve, share = pump_curve(turned), duty.speed_share
    draw_curve(axes, scale, curve, 2.6)
    draw_curve(axes, scale, (curve[-1], (duty.open_flow, 0.0)), 1.2, (0, (2, 2)))
    for flow, each in pump.curve:
        draw_duty(axes, scale, (flow * share, each * share**2), 4.0, PAPER)
    for first, last in ((0.0, duty.first_flow), (duty.last_flow, axes.get_xlim()[1] / scale.flow)):
        if last > first:
            axes.axvspan(scale.flow * first, scale.flow * last, zorder=1, **HATCHED)
    yield curve_label(scale, curve, 0.25, f"{short(pump.name)}, {_speed(share)}", (0.5, 0.9))
    if full := _full(pump, duty):
        draw_curve(axes, scale, full, 1.2)
        yield curve_label(scale, full, 0.5, "at full speed", (0.5, 0.9))


def _speed(share: float) -> str:
    return "full speed" if share == 1 else f"{percent(share)} of full speed"


def _draw_system(axes: Axes, scale: Scale, scene: Scene, name: str, state: State, reach: Reach) -> Iterator[Label]:
    """What the loop asks for, clean as it stands and with its strainers half clogged."""
    asked = within(system_curve(scene, name, state), reach)
    yield from draw_asked(axes, scale, asked, "the loop, clean", 1.8)
    strained = {intake.name: FOULED for intake in scene.intakes if intake.strainer is not None}
    if strained:
        dirty = replace(state, fouled={**strained, **state.fouled})
        duty = solve_loop(scene, dirty).pumps[name]
        words = f"with {percent(FOULED)} of all slots clogged:\n{shown(duty.flow, 'flow', scene.show)} are left"
        yield from draw_asked(axes, scale, within(system_curve(scene, name, dirty), reach), words, 1.4, (0, (4, 2)))
        if duty.flow >= reach.least and duty.head <= reach.highest:
            draw_duty(axes, scale, (duty.flow, duty.head), 7.0, PAPER)


def duty_label(scale: Scale, duty: PumpDuty, scene: Scene) -> Label:
    """What a pump does where it works."""
    lines = [f"{flow_words(duty.flow, scene.show)} at {shown(duty.head, 'head', scene.show)}", *power_words(duty)]
    at = scale.at((duty.flow, duty.head))
    return Label("\n".join(lines), at, ink=PAPER, paper=INK, weight="bold", nearest=24.0, lean=(0.5, 0.9))
