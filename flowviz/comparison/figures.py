"""The figures that two layouts are compared by, each with what is known of its noise."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import nan, pi
from typing import Literal

import numpy as np

from flowviz.study import Study

Good = Literal["less", "more"]
THE_PUMP = "the pump"  # of a loop that has one: another in its place is the same figure
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

    @property
    def settled(self) -> bool:
        """Whether no window said anything else."""
        return self.half_width == self.least


Named = Iterator[tuple[str, Figure]]


def figures(study: Study) -> Mapping[str, Figure]:
    """Everything of a study that is compared, by name, in the order of a table."""
    return dict((*water(study), *corals(study), *bed(study), *renewal(study), *loop(study), *holes(study)))


def water(study: Study) -> Named:
    """How the water as a whole moves."""
    measures, cells = study.measures, np.count_nonzero(study.grid.clear)
    unsure = measures.uncertainty
    dead, over = measures.dead_fraction, measures.over_fraction
    yield "dead_fraction", share("the water", "dead water", "less", dead, unsure["dead_fraction"], cells)
    yield "over_fraction", share("the water", "over-strong water", "less", over, unsure["over_fraction"], cells)
    yield "mean_speed", Figure("the water", "mean speed", "speed", None, measures.speed.mean, unsure["mean"])


def corals(study: Study) -> Named:
    """What each group of corals gets of what it wants."""
    sides: Mapping[str, tuple[str, Good]] = {
        "under_fraction": ("too still", "less"),
        "over_fraction": ("too strong", "less"),
        "in_band_fraction": ("in the current it wants", "more"),
    }
    for group, found in study.measures.corals.items():
        for name, (label, good) in sides.items():
            value, unsure = getattr(found, name), found.uncertainty[name]
            yield f"{group}/{name}", share(group, label, good, value, unsure, found.cells)


def bed(study: Study) -> Named:
    """What the current does to the bed."""
    shares: Mapping[str, tuple[str, Good]] = {
        "settling_fraction": ("detritus settles", "less"),
        "blown_fraction": ("sand is blown out", "less"),
        "moving_fraction": ("detritus is kept moving", "more"),
    }
    found = study.measures.bed
    for name, (label, good) in shares.items():
        if name != "blown_fraction" or study.scene.sand:
            value, unsure = getattr(found, name), found.uncertainty[name]
            yield f"bed/{name}", share("the bed", label, good, value, unsure, found.cells)


def share(subject: str, label: str, good: Good, value: float, half_width: float, cells: int) -> Figure:
    """A share of cells, known to three of them at best: what no window took over the limit the next one might."""
    least = UNSEEN / max(cells, 1)
    return Figure(subject, label, "share", good, value, max(half_width, least), least)


def renewal(study: Study) -> Named:
    """How old the water is; nothing where that was not computed."""
    if study.renewal is not None:
        yield "mean_age", Figure("the water", "mean age", "time", "less", study.renewal.mean_age, nan)


def loop(study: Study) -> Named:
    """What the pumps do, and what comes out of each outlet."""
    yield "total_flow", Figure("the loop", "flow of all outlets", "flow", None, study.loop.total)
    for outlet in study.scene.outlets:
        yield (
            f"{outlet.name}/flow",
            Figure("the loop", f"flow at {outlet.name}", "flow", None, study.loop.rates[outlet.name]),
        )
    for name, duty in study.loop.pumps.items():
        pump = name if len(study.loop.pumps) > 1 else THE_PUMP
        yield f"{pump}/head", Figure("the loop", f"head of {pump}", "head", None, duty.head)
        if duty.power is not None:
            yield f"{pump}/power", Figure("the loop", f"power of {pump}", "power", "less", duty.power)


def holes(study: Study) -> Named:
    """What is drilled."""
    drilled = [opening for opening in study.scene.openings if opening.panel is not None]
    glass = sum(nan if opening.hole is None else pi / 4 * opening.hole**2 for opening in drilled)
    yield "holes", Figure("the glass", "holes drilled", None, "less", float(len(drilled)))
    yield "glass_removed", Figure("the glass", "glass removed", "area", "less", glass)
