"""Path lines of the mean flow.

Within a cell each velocity component goes linearly from one face to the other, so that a path through it is known
exactly: no step is too long, no line leaves the water, and lines carry the flow they start with to the end.
D. W. Pollock, Ground Water 26 (1988) 743-750, with the open share of a cell as his porosity.
"""

import numpy as np

from flowviz.flow.field import Field
from flowviz.flow.sample import locate
from flowviz.flow.tracing.kernels import follow
from flowviz.grid.grid import Grid

STRETCH = 4096  # points of a line that are kept ready at a time


def paths(grid: Grid, field: Field, seeds: np.ndarray, duration: float) -> list[np.ndarray]:
    """Where the water at each seed goes: one (m, 4) array a seed, of x, y, z [m] and the time since the start [s].

    seeds       (n, 3) [m]; one outside the water gives a line of that one point
    duration    of each line, if it does not reach an intake before [s]
    """
    stops, spacing = intake_cells(grid), np.array(grid.spacing)
    shares = grid.open_volume, grid.open_x, grid.open_y, grid.open_z
    lines = []
    for cell, at, wet in zip(*locate(grid, seeds), strict=True):
        time_left = float(duration) if wet else 0.0
        line = _line(time_left, spacing, shares, field, stops, cell, np.append(at, 0.0))
        lines.append(line * np.append(spacing, 1.0))
    return lines


def intake_cells(grid: Grid) -> np.ndarray:
    """Where water leaves the tank (nx, ny, nz) bool."""
    taken = np.zeros(grid.shape, bool)
    for patch in grid.patches:
        if not patch.inflow:
            taken[tuple(patch.cells.T)] = True
    return taken


def _line(duration, spacing, shares, field, stops, cell, at) -> np.ndarray:
    """One path line (m, 4), in cells; cell and at go along."""
    stretches = []
    while not stretches or len(stretches[-1]) == STRETCH:
        stretch = np.empty((STRETCH, 4))
        count = follow(duration, spacing, *shares, field.u, field.v, field.w, stops, cell, at, stretch)
        stretches.append(stretch[:count])
    return np.concatenate(stretches)
