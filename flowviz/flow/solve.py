"""The door: from a grid and the flow of each opening to a velocity field, at one of three levels of detail."""

from collections.abc import Callable, Mapping
from typing import Literal

from flowviz.flow.field import Field
from flowviz.flow.levels import Case, marched
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
    case = Case(grid, rates, viscosity, seed)
    factor, settle, window, count = {
        "sketch": (3.0, 6.0, 0.5, 8),
        "coarse": (2.0, 10.0, 2.0, 8),
        "fine": (1.0, 20.0, 4.0, 8),
    }[detail]
    return marched(case, factor, settle, window, count, progress)
