"""The figures that two layouts are compared by, each with what is known of its noise."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import nan, pi
from typing import Literal

import numpy as np

from flowviz.assess.bed import shares_of
from flowviz.assess.corals import CoralFigures, cells_of, figures_of
from flowviz.assess.cycle import over_time
from flowviz.assess.speeds import share_over, share_under
from flowviz.comparison.floods import worst_break, worth_telling
from flowviz.cycle import Moment
from flowviz.flow.field import Field
from flowviz.flow.intervals import Statistics
from flowviz.plumbing.holes import cut_out, holes_drilled
from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Scene
from flowviz.study import Study

Good = Literal["less", "more"]
THE_LOOP = "the loop"  # what a figure of pumps and pipes is about
THE_PUMP = "the pump"  # of a loop that has one: another in its place is the same figure
BED: Mapping[str, tuple[str, Good]] = {
    "settling_fraction": ("detritus settles", "less"),
    "blown_fraction": ("sand is blown out", "less"),
    "moving_fraction": ("detritus is kept moving", "more"),
}
ALWAYS_DEAD = "always_dead_fraction"  # name of a figure, as in assess/cycle.py
WORST_BREAK = "worst_break_loss"  # name of another
CUTS = "cuts"  # name of a figure that is told only where there are any
EXACT = 0.0  # half-width of what no average decides
UNSEEN = 3.0  # cells: of n that never showed a thing up to 3/n may, 95 times in 100 (the rule of three)


@dataclass(frozen=True, slots=True)
class Figure:
    """One number of a study."""

    subject: str  # what it is about, in a table's words
    label: str  # in plain words
    quantity: str | None  # its kind for units.shown; None: a count or a plain number
    good: Good | None  # which of two is the better; None: neither is
    value: float  # in SI units; NaN: unknown
    half_width: float = EXACT  # of its 95 % interval; NaN: unknown
    least: float = EXACT  # half-width that it has at least: a few cells, of a share
    matters: float = 0.0  # of what no average decides, change up to which it makes no difference to anyone
    marches: tuple[float, ...] = ()  # what each march says by itself, where several were asked

    @property
    def settled(self) -> bool:
        """Whether no window said anything else."""
        return self.half_width == self.least


Named = Iterator[tuple[str, Figure]]


def figures(study: Study) -> Mapping[str, Figure]:
    """Everything of a study that is compared, by name, in the order of a table; of phases their mean over time."""
    if study.cycle is None:
        return {**moving(study), **dict(flood(study)), **dict(holes(study))}
    return {**over_the_cycle(study), **dict(flood(study)), **dict(holes(study))}


def moving(study: Study) -> Mapping[str, Figure]:
    """What water and loop do in a study without phases."""
    measures, scene = study.measures, study.scene
    shares = {"dead_fraction": measures.dead_fraction, "over_fraction": measures.over_fraction}
    return dict(
        (
            *water(shares, measures.uncertainty, measures.speed.mean, study, study.field),
            *corals(measures.corals, study, study.field),
            *bed({name: getattr(measures.bed, name) for name in BED}, measures.bed.uncertainty, study, study.field),
            *renewal(study),
            *loop(study.loop, scene),
            *strainers(study.loop, scene),
        )
    )


def over_the_cycle(study: Study) -> Mapping[str, Figure]:
    """Means over time of what the phases have, as if all of them erred the same way (assess/cycle.py).

    Those of the water leave out the phases in which none moves.
    """
    cycle, phases = study.cycle, in_phases(study)
    lasting = {name: each.time / cycle.time for name, each in cycle.phases.items()}
    moving = {name: each.time / cycle.moving_time for name, each in cycle.phases.items() if name not in cycle.resting}
    first, *others = phases.values()
    shared = [name for name in first if all(name in other for other in others)]
    return {
        name: mean({phase: found[name] for phase, found in phases.items()}, lasting if of_loop(first[name]) else moving)
        for name in shared
    }


def of_loop(figure: Figure) -> bool:
    """Whether a figure is of pumps and pipes, not of the water in the tank."""
    return figure.subject == THE_LOOP


def mean(along: Mapping[str, Figure], lasting: Mapping[str, float]) -> Figure:
    """Of one figure in each phase; lasting is the share of the time by phase.

    Of marches only where all phases were marched equally often.
    """
    told = {
        name: over_time({phase: getattr(along[phase], name) for phase in lasting}, lasting)
        for name in ("value", "half_width", "least")
    }
    alike = len({len(along[phase].marches) for phase in lasting}) == 1
    marches = zip(*(along[phase].marches for phase in lasting), strict=True) if alike else ()
    each = tuple(over_time(dict(zip(lasting, one, strict=True)), lasting) for one in marches)
    return replace(along[next(iter(lasting))], **told, marches=each)


def in_phases(study: Study) -> Mapping[str, Mapping[str, Figure]]:
    """By phase and name, what water and loop do in it; none where the scene has no phases."""
    return {moment.phase.name: dict(phase_figures(moment, study)) for moment in study.moments}


def phase_figures(moment: Moment, study: Study) -> Named:
    """Of one phase; of water at rest no average decides anything."""
    found, scene = study.cycle.phases[moment.phase.name], study.scene
    for name, each in (
        *water(found.shares, {**found.uncertainty, "mean": found.mean_doubt}, found.mean_speed, study, moment.field),
        *corals(found.corals, study, moment.field),
        *bed(found.shares, found.uncertainty, study, moment.field),
        *loop(moment.loop, scene),
        *strainers(moment.loop, scene),
    ):
        yield name, replace(each, half_width=EXACT, least=EXACT) if moment.way == "at rest" else each


def with_always_dead(study: Study) -> Mapping[str, Figure]:
    """Everything of a study, and behind its dead water that which no phase moves."""
    dead, *others = figures(study).items()
    return dict((dead, (ALWAYS_DEAD, always_dead(study)), *others))


def always_dead(study: Study) -> Figure:
    """Water that no phase moves; where there are none, the dead water."""
    cycle, measures = study.cycle, study.measures
    value, unsure = (
        (cycle.always_dead_fraction, cycle.uncertainty[ALWAYS_DEAD])
        if cycle
        else (measures.dead_fraction, measures.uncertainty["dead_fraction"])
    )
    return share("the water", "water that is dead in every phase", "less", value, unsure, clear_cells(study))


def water(shares: Mapping[str, float], unsure: Mapping[str, float], speed: float, study: Study, field: Field) -> Named:
    """How the water as a whole moves."""
    limits, cells = study.scene.limits, np.flatnonzero(study.grid.clear)
    volumes = study.grid.open_volume.take(cells)

    def figures(speeds: np.ndarray) -> Mapping[str, float]:
        under, over = share_under(speeds, limits.dead, volumes), share_over(speeds, limits.over, volumes)
        return {"dead_fraction": under, "over_fraction": over}

    marches = in_each_march(figures, cells, field)
    for name, label in (("dead_fraction", "dead water"), ("over_fraction", "too-strong water")):
        found = share("the water", label, "less", shares[name], unsure[name], cells.size)
        yield name, replace(found, marches=marches[name])
    yield "mean_speed", Figure("the water", "mean speed", "speed", None, speed, unsure["mean"])


def in_each_march(figures: Statistics, cells: np.ndarray, field: Field) -> Mapping[str, tuple[float, ...]]:
    """What the speeds in some cells come to by each of several marches, by name; nothing of one, or of no cells.

    cells    positions (n,) in the flattened grid
    """
    marches = field.batches if field.quality.marches > 1 and cells.size else ()
    told = [figures(speed.take(cells)) for speed in marches]
    return defaultdict(tuple, {name: tuple(each[name] for each in told) for name in (told[0] if told else ())})


def clear_cells(study: Study) -> int:
    """Cells of the water that shares are of."""
    return int(np.count_nonzero(study.grid.clear))


def corals(groups: Mapping[str, CoralFigures], study: Study, field: Field) -> Named:
    """What each group of corals gets of what it wants."""
    sides: Mapping[str, tuple[str, Good]] = {
        "under_fraction": ("too still", "less"),
        "over_fraction": ("too strong", "less"),
        "in_band_fraction": ("in the current it wants", "more"),
    }
    for coral in study.scene.corals:
        found, cells = groups[coral.name], cells_of(coral, study.grid)
        marches = in_each_march(figures_of(coral, cells, study.grid), cells, field)
        for name, (label, good) in sides.items():
            each = share(coral.name, label, good, getattr(found, name), found.uncertainty[name], found.cells)
            yield f"{coral.name}/{name}", replace(each, marches=marches[name])


def bed(shares: Mapping[str, float], unsure: Mapping[str, float], study: Study, field: Field) -> Named:
    """What the current does to the bed."""
    marches = in_each_march(*reversed(shares_of(study.scene, study.grid)), field)
    for name, (label, good) in BED.items():
        if name != "blown_fraction" or study.scene.sand:
            each = share("the bed", label, good, shares[name], unsure[name], study.measures.bed.cells)
            yield f"bed/{name}", replace(each, marches=marches[name])


def share(subject: str, label: str, good: Good, value: float, half_width: float, cells: int) -> Figure:
    """A share of cells, known to three of them at best: what no window took over the limit the next one might."""
    least = UNSEEN / max(cells, 1)
    return Figure(subject, label, "share", good, value, max(half_width, least), least)


def renewal(study: Study) -> Named:
    """How old the water is; nothing where that was not computed."""
    if study.renewal is not None:
        yield "mean_age", Figure("the water", "mean age", "time", "less", study.renewal.mean_age, nan)


def loop(found: Loop, scene: Scene) -> Named:
    """What the pumps do, and what comes out of each outlet."""
    yield "total_flow", Figure(THE_LOOP, "flow of all outlets", "flow", None, found.total)
    for outlet in scene.outlets:
        label = f"flow at {outlet.name}"
        yield f"{outlet.name}/flow", Figure(THE_LOOP, label, "flow", None, found.rates[outlet.name])
    for name, duty in found.pumps.items():
        pump = name if len(found.pumps) > 1 else THE_PUMP
        yield f"{pump}/head", Figure(THE_LOOP, f"head of {pump}", "head", None, duty.head)
        if duty.power is not None:
            yield f"{pump}/power", Figure(THE_LOOP, f"power of {pump}", "power", "less", duty.power)


def strainers(found: Loop, scene: Scene) -> Named:
    """How fast the water goes through each strainer."""
    for intake in scene.intakes:
        if intake.strainer and intake.name in found.intakes:
            label = f"speed through the strainer of {intake.name}"
            speed = found.intakes[intake.name].screen_speed
            yield f"{intake.name}/screen_speed", Figure(THE_LOOP, label, "speed", "less", speed)


def flood(study: Study) -> Named:
    """What is on the floor when plumbing fails."""
    lost, label = worst_break(study.scene), "water that the worst break lets out"
    yield WORST_BREAK, Figure(THE_LOOP, label, "volume", "less", lost, matters=worth_telling(lost))


def holes(study: Study) -> Named:
    """What is drilled, and what is cut out as weirs are."""
    through = [opening for opening in study.scene.openings if opening.panel is not None]
    glass = sum(nan if opening.hole is None else pi / 4 * opening.hole**2 for opening in through)
    yield "holes", Figure("the glass", "holes drilled", None, "less", float(holes_drilled(study.scene.openings)))
    yield CUTS, Figure("the glass", "weirs and slots cut out", None, "less", float(len(cut_out(study.scene))))
    yield "glass_removed", Figure("the glass", "glass removed", "area", "less", glass)
