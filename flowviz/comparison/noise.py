"""How well the figures of a study are known."""

from math import nan

import numpy as np

from flowviz.flow.intervals import Doubt, half_width
from flowviz.flow.memory import likeness, looks
from flowviz.study import Study

FEWEST = 2.0  # looks at the flow that a study counts for at least


def doubt(width: float, study: Study) -> Doubt:
    """That of a figure of a study whose 95 % interval has this half-width."""
    return Doubt(width, len(study.field.batches), max(looks(study.grid, study.field), FEWEST))


def mean_over(values: np.ndarray, study: Study) -> tuple[float, Doubt]:
    """The mean of what a study's windows say, and how well it is known."""
    width = half_width(values, likeness(study.grid, study.field)) if values.size > 1 else nan
    return float(values.mean()), doubt(width, study)
