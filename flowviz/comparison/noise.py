"""How well the figures of a study are known."""

from dataclasses import dataclass
from math import nan

import numpy as np

from flowviz.flow.field import Field
from flowviz.flow.intervals import Doubt, half_width
from flowviz.flow.memory import likeness, looks
from flowviz.grid.grid import Grid
from flowviz.study import Study

FEWEST = 2.0  # independent looks at the flow, below which its scatter is no measure of what another would show


@dataclass(frozen=True, slots=True)
class Known:
    """A figure and how well it is known."""

    value: float
    doubt: Doubt


def glimpsed(study: Study) -> bool:
    """Whether any of its flows was averaged for so short a time that its noise is unknown."""
    return any(looks(study.grid, field) < FEWEST for field in flowing(study))


def flowing(study: Study) -> tuple[Field, ...]:
    """Its flow, or that of every phase in which water moves."""
    return tuple(each.field for each in study.moments if each.way != "at rest") or (study.field,)


def doubt(width: float, study: Study) -> Doubt:
    """That of a figure of all flows of a study together whose 95 % interval has this half-width."""
    return doubt_in(width, study.grid, *flowing(study))


def doubt_in(width: float, grid: Grid, *fields: Field) -> Doubt:
    """The same of some flows; of the one that was looked at least."""
    seen, windows = min(looks(grid, field) for field in fields), max(len(field.batches) for field in fields)
    return Doubt(nan if width and seen < FEWEST else width, windows, max(seen, FEWEST))


def mean_over(values: np.ndarray, study: Study) -> Known:
    """The mean of what a study's windows say."""
    width = half_width(values, likeness(study.grid, study.field)) if values.size > 1 else nan
    return Known(float(values.mean()), doubt_in(width, study.grid, study.field))
