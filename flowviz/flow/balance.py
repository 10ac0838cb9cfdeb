"""How well water is kept: what comes in somewhere and does not go out."""

from collections.abc import Mapping

import numpy as np

from flowviz.flow.velocity import Velocity
from flowviz.grid.grid import Grid


def balance_error(grid: Grid, rates: Mapping[str, float], velocity: Velocity) -> float:
    """The larger of the openings' net flow and the worst cell's, against total inflow [-]."""
    left = grid.source(rates)
    net, inflow = abs(left.sum()), left[left > 0].sum()
    for axis, (along, share) in enumerate(zip(velocity, grid.shares, strict=True)):
        flow = np.moveaxis(np.float64(grid.cell_volume / grid.spacing[axis]) * (along * share), axis, 0)
        lack = np.moveaxis(left, axis, 0)
        lack += flow[:-1]
        lack -= flow[1:]
    return float(max(net, np.abs(left, out=left).max()) / inflow) if inflow else 0.0
