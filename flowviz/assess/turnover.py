"""How often the loop passes the tank's water, and how often the currents that it drives do."""

import numpy as np

from flowviz.flow.field import Field
from flowviz.grid.grid import Grid


def turnover(grid: Grid, field: Field) -> float:
    """Times an hour that the outlets bring what the tank holds [1/h]; not every litre is renewed as often."""
    return 3600 * inflow(grid, field) / grid.water_volume


def circulation(grid: Grid, field: Field) -> float:
    """Times an hour that the mean currents carry the tank's water past one place [1/h]; 0 where nothing moves.

    Half of what the mean flow carries to and fro through a cross-section, averaged over all cross-sections along the
    length, the width or the height of the tank, whichever is most, over the water's volume. An own definition: it tells
    how many times over the jets set in motion what the loop itself brings.
    """
    faces = zip((field.u, field.v, field.w), grid.shares, grid.spacing, strict=True)
    carried = [
        np.abs(speed * share).sum(dtype=np.float64) / 2 * grid.cell_volume / h / max(share.shape[axis] - 2, 1)
        for axis, (speed, share, h) in enumerate(faces)
    ]
    return 3600 * float(max(carried)) / grid.water_volume


def inflow(grid: Grid, field: Field) -> float:
    """What enters by all outlets [m³/s], read from the field: what leaves their cells through the faces."""
    cells = np.unique(np.concatenate([patch.cells for patch in grid.patches if patch.inflow]), axis=0)
    hx, hy, hz = grid.spacing
    across = (
        (field.u, grid.open_x, (1, 0, 0), hy * hz),
        (field.v, grid.open_y, (0, 1, 0), hx * hz),
        (field.w, grid.open_z, (0, 0, 1), hx * hy),
    )
    return sum(
        face * (flux(velocity, share, cells + step) - flux(velocity, share, cells))
        for velocity, share, step, face in across
    )


def flux(velocity: np.ndarray, share: np.ndarray, faces: np.ndarray) -> float:
    """Sum over faces (n, 3) of velocity times open share [m/s]."""
    at = tuple(faces.T)
    return float(np.sum(velocity[at] * share[at], dtype=np.float64))
