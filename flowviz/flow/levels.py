"""The marched levels: how large their cells are, and for how long they march."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from flowviz.flow.field import Field
from flowviz.flow.march import March
from flowviz.flow.momentum import Closure
from flowviz.flow.refine import refine
from flowviz.flow.statistics import field, gather
from flowviz.flow.velocity import still
from flowviz.flow.walls import TANK
from flowviz.grid.coarsen import coarsen
from flowviz.grid.grid import Grid

Progress = Callable[[str, float], None]


@dataclass(frozen=True, slots=True)
class Case:
    """What is to be solved."""

    grid: Grid
    rates: Mapping[str, float]
    viscosity: float
    seed: int


def marched(case: Case, factor: float, settle: float, window: float, count: int, progress: Progress) -> Field:
    """The flow marched on cells larger by a factor, on the grid of the case."""
    coarse = coarsen(case.grid, factor)
    march = March(coarse, case.rates, case.viscosity, TANK, Closure(), still(coarse), case.seed)
    gather(march, settle, 4)
    windows = []
    for n in range(count):
        progress("marching", n / count)
        windows.append(gather(march, window, 4))
    return refine(field(windows, march, steady=False), coarse, case.grid, case.rates)
