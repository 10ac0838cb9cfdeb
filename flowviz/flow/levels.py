"""The marched levels: on how large cells, and for how long.

Each starts from the motion that the one below has come to: the large circulation, which takes longest to form, forms on
large cells, where a second costs little.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from flowviz.flow.field import Field
from flowviz.flow.intervals import half_widths
from flowviz.flow.march import March
from flowviz.flow.momentum import Closure
from flowviz.flow.refine import refine, refine_velocity
from flowviz.flow.statistics import Record, gather
from flowviz.flow.velocity import still
from flowviz.flow.walls import TANK
from flowviz.grid.coarsen import coarsen
from flowviz.grid.grid import Grid

Progress = Callable[[str, float], None]


@dataclass(frozen=True, slots=True)
class Case:
    """What is to be solved, and who wants to hear of it."""

    grid: Grid
    rates: Mapping[str, float]  # into the tank, by opening [m³/s]
    viscosity: float  # [m²/s]
    watch: tuple[float, float]  # speeds whose shares of the water are to be steady [m/s]
    progress: Progress
    seed: int


@dataclass(frozen=True, slots=True)
class Level:
    """How one level is marched."""

    factor: float  # of its cells over those of the grid
    settle: float  # marched before anything is counted [s]
    window: float  # length of a window [s]


SPIN_UP = Level(4.0, 25.0, 0.0)
COARSE = Level(2.0, 3.0, 1.0)
FINE = Level(1.0, 6.0, 2.0)
FEWEST, MOST = 8, 16  # windows; at the most they are joined in pairs
PRECISION = 0.01  # half-width of the 95 % interval of the watched shares
LONGEST = 240.0  # time averaged over before a fine run gives up on that [s]


def coarse(case: Case) -> Field:
    """The flow on cells twice as large, read on the grid of the case."""
    march = settled(case, COARSE, settled(case, SPIN_UP, None))
    record = Record(march)
    for n in range(FEWEST):
        case.progress("marching", n / FEWEST)
        record.add(gather(march, COARSE.window))
    return refine(record.field(march, steady=False), march.grid, case.grid, case.rates)


def fine(case: Case) -> Field:
    """The flow on the grid of the case, marched until its statistics are steady or the time is up."""
    march = settled(case, FINE, settled(case, COARSE, settled(case, SPIN_UP, None)))
    record, window, begun, steady = Record(march), FINE.window, march.time, False
    while not steady and march.time - begun < LONGEST:
        if len(record.speeds) == MOST:
            record.pair()
            window *= 2
        record.add(gather(march, window))
        case.progress("marching", (march.time - begun) / LONGEST)
        steady = len(record.speeds) >= FEWEST and unsteadiness(case, record) < PRECISION
    return record.field(march, steady)


def settled(case: Case, level: Level, below: March | None) -> March:
    """A march that starts from where the one below stands, once it has forgotten that."""
    grid = case.grid if level.factor == 1 else coarsen(case.grid, level.factor)
    velocity = still(grid) if below is None else refine_velocity(below.velocity, below.grid, grid)
    march = March(grid, case.rates, case.viscosity, TANK, Closure(), velocity, case.seed)
    gather(march, level.settle)
    return march


def unsteadiness(case: Case, record: Record) -> float:
    """The wider half-width of the 95 % intervals of the shares of water below and above the watched speeds [-]."""
    cells = np.flatnonzero(case.grid.water)
    widths = half_widths(lambda speeds: shares(speeds, case.watch), record.speed, np.stack(record.speeds), cells)
    return max(widths.values())


def shares(speeds: np.ndarray, watch: tuple[float, float]) -> dict[str, float]:
    """Shares of cells below the first and above the second of two speeds."""
    return {"below": float(np.mean(speeds < watch[0])), "above": float(np.mean(speeds > watch[1]))}
