"""How well the figures of a study are known."""

from dataclasses import dataclass
from math import nan

import numpy as np

from flowviz.flow.intervals import Doubt, half_width
from flowviz.flow.memory import likeness, looks
from flowviz.study import Study

FEWEST = 2.0  # independent looks at the flow, below which its scatter is no measure of what another would show


@dataclass(frozen=True, slots=True)
class Known:
    """A figure and how well it is known."""

    value: float
    doubt: Doubt


def glimpsed(study: Study) -> bool:
    """Whether it was averaged for so short a time that its noise is unknown."""
    return looks(study.grid, study.field) < FEWEST


def doubt(width: float, study: Study) -> Doubt:
    """That of a figure of a study whose 95 % interval has this half-width."""
    seen = looks(study.grid, study.field)
    return Doubt(nan if width and glimpsed(study) else width, len(study.field.batches), max(seen, FEWEST))


def mean_over(values: np.ndarray, study: Study) -> Known:
    """The mean of what a study's windows say."""
    width = half_width(values, likeness(study.grid, study.field)) if values.size > 1 else nan
    return Known(float(values.mean()), doubt(width, study))
