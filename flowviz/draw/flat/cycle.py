"""A cycle of phases: where the water is dead for how much of the time, and how much of it in each phase."""

from collections.abc import Iterator
from math import inf

import numpy as np
from matplotlib import colormaps
from matplotlib.axes import Axes
from matplotlib.patches import Patch

from flowviz.assess.cycle import rest_told
from flowviz.assess.words import FINE_ENOUGH, tells_nothing
from flowviz.draw.flat.openings import badge, draw_opening, room_taken
from flowviz.draw.flat.plan import LEVEL, draw_corals
from flowviz.draw.flat.scale import draw_scale_bar, wall_names
from flowviz.draw.flat.slices import over_depth, refined
from flowviz.draw.flat.solid import draw_floor_plan, draw_rims_from_above
from flowviz.draw.flat.water import draw_mark
from flowviz.draw.sheets.key import FRAME, OPENINGS, ROCK_BELOW, Entry, draw_key, hatched, screens
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import drawable, short, style
from flowviz.draw.sheets.paragraphs import Text, column, write
from flowviz.draw.sheets.sheet import (
    BAR,
    BAR_FOOT,
    BAR_LENGTH,
    BAR_WIDTH,
    EDGE,
    GAP,
    MARGIN,
    PAGE,
    WIDEST,
    add_axes,
    add_picture,
)
from flowviz.draw.sheets.theme import BODIES, INK, MARKS, SMALL, TEXT, Mark, blank
from flowviz.draw.sheets.view import View, head
from flowviz.draw.sheets.wording import WORTH_A_WORD, badges, percent_within, too_unsure
from flowviz.study import Study
from flowviz.units import shown

TALLEST = 3.4  # of the tank in the picture [in]
DEAD_TIME = colormaps["Blues"]
MOSTLY, OFTEN = 0.5, Mark(INK, "////", "--")  # share of the time from which on a place is hatched, and how
ROW, NAMES, VALUES = 0.42, 2.6, 1.3  # height of a phase, and the room for names and values beside its bars [in]
THICK = 0.36  # of a bar, of the row
MOST = 8  # phases that are drawn
LEAST = 0.1  # share that the bars' axis goes to at least
KINDS = {"dead_fraction": "dead", "over_fraction": "over"}


def cycle_view(study: Study) -> View:
    """The tank from above by the share of the time, the phases below."""
    scene, size, figure = study.scene, study.scene.tank.plan.size, blank(PAGE, PAGE)
    title, inches = cycle_title(study), min(WIDEST / size[0], TALLEST / size[1])
    wide, tall = (side * inches + 2 * MARGIN for side in size)
    over = head(title, f"{short(scene.title, 80)}: {shown_share(study)}, mean over the depth")
    above, below = (column(texts, PAGE - 2 * EDGE, figure) for texts in (over, openings_named(study)))
    rows = ROW * (len(drawn_phases(study)) + 1)
    low = EDGE + below.height + GAP
    whole = low + rows + BAR + tall + GAP + above.height + EDGE
    figure.set_size_inches(PAGE, whole)
    write(figure, above, EDGE, whole - EDGE)
    write(figure, below, EDGE, EDGE + below.height)
    draw_phases(add_axes(figure, EDGE + NAMES, low, PAGE - 2 * EDGE - NAMES - VALUES, rows), study)
    draw_time_bar(add_axes(figure, EDGE, low + rows + BAR_FOOT, BAR_LENGTH, BAR_WIDTH))
    draw_key(add_axes(figure, 2 * EDGE + BAR_LENGTH, low + rows, PAGE - 3 * EDGE - BAR_LENGTH, BAR), entries(study))
    draw_dead_time(add_picture(figure, (PAGE - wide) / 2, low + rows + BAR, size, inches), study)
    return View(figure, title, f"{title}. {' '.join(phase_sentences(study))}")


def cycle_title(study: Study) -> str:
    """How much is dead over the cycle, when most, and always; last, in which phases all pumps rest."""
    rests = rest_told(study.cycle)
    return "; ".join((dead_told(study), *([rests] if rests else [])))


def dead_told(study: Study) -> str:
    """How much is dead over the cycle, when most, and always, while pumps turn."""
    cycle = study.cycle
    dead = cycle.spreads["dead_fraction"]
    if tells_nothing(dead.mean, dead.uncertainty):
        told = too_unsure("how much of the water is dead over the cycle")
        return f"{told[0].upper()}{told[1:]}"
    mean = percent_within(dead.mean, dead.uncertainty)
    always = percent_within(cycle.always_dead_fraction, cycle.uncertainty["always_dead_fraction"])
    figures = cycle.phases[dead.worst_phase]
    worst = percent_within(figures.shares["dead_fraction"], figures.uncertainty["dead_fraction"])
    if len(cycle.phases) - len(cycle.resting) == 1:
        return f"In the phase {short(dead.worst_phase)} {worst} of the water is dead"
    if dead.worst < WORTH_A_WORD and dead.uncertainty < FINE_ENOUGH:
        return f"Hardly any water is dead in any phase{' while pumps turn' if cycle.resting else ''}"
    at_worst = f"at worst {worst}, in the phase {short(dead.worst_phase)}"
    return f"Over the cycle {mean} of the water is dead; {at_worst}; {always} is dead in every phase"


def shown_share(study: Study) -> str:
    """What the picture shows."""
    turning = " while pumps turn" if study.cycle.resting else ""
    return f"share of the time{turning} in which the water is dead"


def phase_sentences(study: Study) -> Iterator[str]:
    """Each phase, for those who cannot see it."""
    for moment in study.moments:
        figures = study.cycle.phases[moment.phase.name]
        if moment.phase.name in study.cycle.resting:
            yield f"{short(moment.phase.name)}, {shown(figures.time, 'time', study.scene.show)}: all pumps rest."
            continue
        share = percent_within(figures.shares["dead_fraction"], figures.uncertainty["dead_fraction"])
        yield f"{short(moment.phase.name)}, {shown(figures.time, 'time', study.scene.show)}: {share} dead."


def openings_named(study: Study) -> list[Text]:
    """The openings by their badges; what they pass changes from phase to phase."""
    return [Text("; ".join(f"{letter} {short(name)}" for name, letter in badges(study.scene).items()), SMALL)]


def entries(study: Study) -> list[Entry]:
    """The marks of the picture."""
    often = Patch(facecolor=DEAD_TIME(MOSTLY), edgecolor=OFTEN.colour, hatch=OFTEN.hatch, linewidth=0)
    scene = study.scene
    standing = [*([ROCK_BELOW] if scene.rocks else []), *([FRAME] if scene.corals else [])]
    return [
        (often, "dead more than half of the time"),
        *hatched("dead share", "too strong share"),
        *OPENINGS,
        *screens(scene),
        *standing,
    ]


def draw_dead_time(axes: Axes, study: Study) -> None:
    """The share of the time in which the water is dead, mean over its depth, and what stands where.

    Of rock the edges alone: what it would hide is the water over it.
    """
    layer = over_depth(study.grid, study.field)
    cells = np.maximum(np.count_nonzero(study.grid.clear, axis=LEVEL), 1)
    share = refined(study.cycle.dead_time.sum(axis=LEVEL) / cells, layer)
    look = {"cmap": DEAD_TIME, "vmin": 0.0, "vmax": 1.0, "interpolation": "bilinear", "aspect": "auto"}
    axes.imshow(share.values.T, extent=share.extent, origin="lower", **look)
    draw_mark(axes, share, MOSTLY, inf, OFTEN)
    draw_floor_plan(axes, study.scene.tank)
    bar = draw_scale_bar(axes, study.scene.tank.plan.size[0], study.scene.show)
    draw_rims_from_above(axes, study.scene.rocks)
    labels = [*all_openings(axes, study), *draw_corals(axes, study.scene, {}), *wall_names(study.scene.tank)]
    place(axes, labels, axes.get_window_extent(), room_taken(axes), [bar])


def all_openings(axes: Axes, study: Study) -> Iterator[Label]:
    """Outlets and intakes, also those that pass nothing in the main phase."""
    for opening, letter in zip(study.scene.openings, badges(study.scene).values(), strict=True):
        draw_opening(axes, opening, LEVEL, here=True)
        yield badge(opening, letter, LEVEL, here=True)


def draw_time_bar(axes: Axes) -> None:
    """Share of the time to colour."""
    axes.imshow(np.linspace(0, 1, 256)[None], extent=(0, 100, 0, 1), aspect="auto", cmap=DEAD_TIME)
    axes.set_yticks([])
    axes.set_xticks([0, 25, 50, 75, 100])
    axes.tick_params(length=3, labelsize=SMALL, labelcolor=INK, color=INK)
    words = "dead for so much of the time, %"
    axes.annotate(
        words, (50, 1), xytext=(0, 3), textcoords="offset points", **style(words, SMALL, INK, ha="center", va="bottom")
    )


def drawn_phases(study: Study) -> list[str]:
    """The phases that there is room for."""
    return [moment.phase.name for moment in study.moments][:MOST]


def draw_phases(axes: Axes, study: Study) -> None:
    """Bars of the dead and the too-strong share of each phase and, last, of the cycle."""
    rows = [*drawn_phases(study), None]
    top = max(LEAST, *(study.cycle.spreads[kind].worst for kind in KINDS))
    axes.set(xlim=(0, top), ylim=(len(rows) - 0.5, -0.5))
    axes.axis("off")
    for row, phase in enumerate(rows):
        weight = "normal" if phase else "bold"
        at = {"xytext": (5, 0), "textcoords": "offset points"}
        words = drawable(row_name(phase, study))
        axes.annotate(words, (0, row), xytext=(-8, 0), textcoords="offset points", **name_style(words, weight))
        if phase in study.cycle.resting:
            told = "all pumps rest"
            axes.annotate(told, (0, row), **at, **style(told, SMALL, INK, va="center"))
            continue
        for step, kind in ((-THICK / 2, "dead_fraction"), (THICK / 2, "over_fraction")):
            share, doubt = row_share(phase, kind, study)
            draw_share(axes, row + step, share, KINDS[kind])
            told = percent_within(share, doubt)
            axes.annotate(told, (share, row + step), **at, **style(told, SMALL, INK, weight=weight, va="center"))


def row_name(phase: str | None, study: Study) -> str:
    """A phase and how long it lasts; None: the cycle."""
    if phase is None:
        return f"mean over {shown(study.cycle.moving_time, 'time', study.scene.show)}"
    return f"{short(phase)}, {shown(study.cycle.phases[phase].time, 'time', study.scene.show)}"


def name_style(words: str, weight: str) -> dict[str, object]:
    """How the name of a row is set."""
    return style(words, TEXT, INK, weight=weight, ha="right", va="center")


def row_share(phase: str | None, kind: str, study: Study) -> tuple[float, float]:
    """A share of a phase, or of the cycle, and the half-width of its interval."""
    if phase is None:
        spread = study.cycle.spreads[kind]
        return spread.mean, spread.uncertainty
    figures = study.cycle.phases[phase]
    return figures.shares[kind], figures.uncertainty[kind]


def draw_share(axes: Axes, at: float, share: float, kind: str) -> None:
    """A bar."""
    look = {"facecolor": BODIES[kind]["colour"], "edgecolor": MARKS[kind].colour, "hatch": MARKS[kind].hatch}
    axes.barh(at, share, height=THICK, linewidth=0, clip_on=False, **look)
