"""How well water is kept: what comes in somewhere and does not go out."""

from collections.abc import Mapping

import numpy as np

from flowviz.flow.velocity import Velocity
from flowviz.grid.grid import Grid


def balance_error(grid: Grid, rates: Mapping[str, float], velocity: Velocity) -> float:
    """The larger of the openings' net flow and the worst cell's, against total inflow [-]."""
    source = grid.source(rates)
    left = -source
    for axis, (along, share) in enumerate(zip(velocity, (grid.open_x, grid.open_y, grid.open_z), strict=True)):
        flow = np.float64(grid.cell_volume / grid.spacing[axis]) * (along * share)
        left += np.diff(flow, axis=axis)
    inflow = source[source > 0].sum()
    return float(max(abs(source.sum()), np.abs(left).max()) / inflow) if inflow else 0.0
