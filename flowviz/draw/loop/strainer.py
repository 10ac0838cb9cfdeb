"""Strainers as they foul: flow, speed in the slots and suction to spare, and the limit that breaks first."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from flowviz.draw.loop.curves import marks
from flowviz.draw.loop.page import HATCHED, grouped, page, ruled
from flowviz.draw.loop.titles import strainer_description, strainer_title
from flowviz.draw.loop.words import subject
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import drawable, short, style
from flowviz.draw.sheets.theme import INK, PAPER, TEXT
from flowviz.draw.sheets.view import View, head
from flowviz.draw.sheets.wording import badges
from flowviz.plumbing.circuits import outlets_words
from flowviz.plumbing.dossier import Dossier, StrainerCare
from flowviz.plumbing.strainers import KEPT_FLOW, FoulingPoint, tolerated_speed
from flowviz.scene.model import Scene
from flowviz.units import display_unit, percent, shown

MOST = 3  # strainers that are drawn, the first to be swapped first
TALL, LEFT, FIGURES, NAME, RIGHT, LOWEST = 1.75, 0.75, 0.35, 0.35, 0.25, 0.25  # of each chart, and room around it [in]
WIDE = {1: 6.9, 2: 2.95, 3: 1.65}  # of each chart, by how many strainers stand beside each other [in]
AT_ODDS = 1.9  # times its limit to which a speed is drawn
FOOT = (
    "Each strainer fouls alone while the others stay clean. Hatched: beyond a limit. "
    "Before hands go near a strainer the pump is switched off and unplugged."
)


@dataclass(frozen=True, slots=True)
class Strand:
    """One figure of a strainer as it fouls, in the units of its axes."""

    name: str
    values: tuple[float, ...]
    limit: float
    rising: bool  # it breaks its limit from below
    words: str  # beside the limit
    top: float
    floor: float = 0.0


def strainer_view(scene: Scene, dossier: Dossier) -> View:
    """The picture of the strainers that are to be swapped first."""
    cares = sorted(dossier.strainers.items(), key=lambda each: each[1].swap.fouled)[:MOST]
    title, where = strainer_title(dossier), f"{subject(scene)}: strainers as they foul"
    outlets = outlets_words(dossier.loop)
    rows = len(strands(scene, cares[0][1], outlets))
    wide, tall = WIDE[len(cares)] + LEFT + RIGHT, TALL + FIGURES
    made = page(wide * len(cares), tall * rows + NAME + LOWEST, head(title, where), (FOOT,))
    for across, (name, care) in enumerate(cares):
        for down, strand in enumerate(strands(scene, care, outlets)):
            bottom = LOWEST + tall * (rows - 1 - down) + FIGURES
            axes = made.axes(LEFT + across * wide, bottom, WIDE[len(cares)], TALL)
            draw_strand(axes, strand, care, down == rows - 1)
            if down == 0:
                name_strainer(axes, f"{badges(scene)[name]}  {short(name)}")
                axes.yaxis.set_major_formatter(grouped("flow", scene.show))
            label_swap(axes, strand, care, down == 0)
    return View(made.figure, title, f"{title}. {strainer_description(scene, dossier)}")


def strands(scene: Scene, care: StrainerCare, outlets: str) -> Sequence[Strand]:
    """What is drawn of a strainer, which is judged by the flow of some outlets."""
    who, speed = tolerated_speed(scene)
    (flow_unit, per_flow), (speed_unit, per_speed) = (display_unit(kind, scene.show) for kind in ("flow", "speed"))
    points, clean = care.fouling, care.fouling[0].total
    kept = f"{percent(KEPT_FLOW)} of the clean loop's flow"
    found = [
        Strand(
            f"{outlets} [{flow_unit}]",
            tuple(per_flow * point.total for point in points),
            per_flow * KEPT_FLOW * clean,
            False,
            kept,
            per_flow * clean * 1.08,
        ),
        Strand(
            f"in the slots [{speed_unit}]",
            tuple(per_speed * point.slot_speed for point in points),
            per_speed * speed,
            True,
            f"{shown(speed, 'speed', scene.show)}: {short(who, 44)}",
            per_speed * max(AT_ODDS * speed, 1.3 * points[0].slot_speed),
        ),
    ]
    return (*found, *_margin(scene, points))


def _margin(scene: Scene, points: Sequence[FoulingPoint]) -> Iterator[Strand]:
    """The suction to spare, where some pump says what it requires."""
    unit, scale = display_unit("head", scene.show)
    values = tuple(scale * point.npsh_margin for point in points if point.npsh_margin is not None)
    if len(values) == len(points):
        bottom = min(0.0, *values)
        yield Strand(f"suction to spare [{unit}]", values, 0.0, False, "none left", 1.2 * max(values), 1.2 * bottom)


def name_strainer(axes: Axes, words: str) -> None:
    """Badge and name of a strainer over its charts."""
    look = style(words, TEXT, INK, weight="bold", va="bottom", transform=axes.transAxes)
    axes.text(0, 1.05, drawable(words), **look)


def draw_strand(axes: Axes, strand: Strand, care: StrainerCare, lowest: bool) -> None:
    """A curve over the share of the slots that is clogged, with its limit."""
    ruled(axes, "slots clogged [%]" if lowest else "", strand.name)
    axes.set(xlim=(0, 100), ylim=(strand.floor, strand.top))
    clogged = [100 * point.fouled for point in care.fouling]
    axes.add_line(Line2D(clogged, strand.values, color=INK, linewidth=2.2, zorder=4))
    forbidden = (strand.limit, strand.top) if strand.rising else (strand.floor, strand.limit)
    axes.axhspan(*forbidden, zorder=1, **HATCHED)
    axes.axhline(strand.limit, color=INK, linewidth=1.2, linestyle=(0, (5, 3)), zorder=3)
    if care.swap.limit is not None:
        axes.axvline(100 * care.swap.fouled, color=INK, linewidth=1.6, zorder=3)


def label_swap(axes: Axes, strand: Strand, care: StrainerCare, topmost: bool) -> None:
    """What the limit is, and in the topmost chart when it breaks."""
    labels = []
    if topmost:
        middle = (strand.floor + strand.top) / 2
        at, side = (100 * care.swap.fouled, middle), -1.0 if care.swap.fouled > 0.5 else 1.0
        labels.append(Label(swap_words(care), at, ink=PAPER, paper=INK, weight="bold", nearest=4.0, lean=(side, 0.0)))
    labels.append(Label(strand.words, (62, strand.limit), edge="none", nearest=4.0, lean=(0.0, -1.0)))
    place(axes, labels, axes.get_window_extent(), marks(axes))


def swap_words(care: StrainerCare) -> str:
    """When a strainer is to be swapped."""
    if care.swap.limit is None:
        return f"holds up to {percent(care.swap.fouled)} clogged"
    too_small = care.swap.too_small
    return f"too small {too_small}" if too_small else f"swap at {percent(care.swap.fouled)} clogged"
