"""Water among the stones of rubble: counted apart, because it is meant to be slow."""

from dataclasses import dataclass

import numpy as np

from flowviz.flow.field import Field
from flowviz.grid.grid import Grid


@dataclass(frozen=True, slots=True)
class RubbleFigures:
    """What seeps through the heaps of a tank."""

    volume: float  # of the water among their stones [m³]
    mean_speed: float  # over the whole cross-section, stones included [m/s]; among them it is faster by 1/(open share)


def rubble_figures(grid: Grid, field: Field) -> RubbleFigures | None:
    """Of all cells that lie mostly in rubble; None without any."""
    within = grid.water & ~grid.clear
    if not within.any():
        return None
    volume = float(grid.open_volume[within].sum(dtype=np.float64)) * grid.cell_volume
    return RubbleFigures(volume, float(field.speed[within].mean(dtype=np.float64)))
