"""The door: from a grid and the flow of each opening to a velocity field, at one of three levels of detail."""

from collections.abc import Callable, Mapping
from typing import Literal

import numpy as np

from flowviz.flow.field import Field
from flowviz.flow.march import March
from flowviz.flow.momentum import Closure
from flowviz.flow.statistics import field, gather
from flowviz.flow.walls import TANK
from flowviz.grid.grid import Grid

Progress = Callable[[str, float], None]


def silent(doing: str, share: float) -> None:
    """Tell nobody."""


def solve_flow(
    grid: Grid,
    rates: Mapping[str, float],
    viscosity: float,
    detail: Literal["sketch", "coarse", "fine"],
    *,
    watch: tuple[float, float] = (0.03, 0.5),
    progress: Progress = silent,
    seed: int = 0,
    start: Field | None = None,
) -> Field:
    """How the water moves."""
    velocity = tuple(np.zeros(share.shape, np.float32) for share in (grid.open_x, grid.open_y, grid.open_z))
    march = March(grid, rates, viscosity, TANK, Closure(), velocity)
    settle, window, count = {"sketch": (10.0, 2.0, 4), "coarse": (20.0, 4.0, 8), "fine": (30.0, 8.0, 8)}[detail]
    gather(march, settle, 4)
    windows = []
    for n in range(count):
        progress("marching", n / count)
        windows.append(gather(march, window, 4))
    return field(windows, march, steady=False)
