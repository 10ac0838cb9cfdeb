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
from flowviz.flow.refine import Cells, balanced, refine, refine_velocity
from flowviz.flow.restore import restore
from flowviz.flow.statistics import Record, gather
from flowviz.flow.velocity import still
from flowviz.flow.walls import TANK
from flowviz.formulas.turbulence import subgrid_rms
from flowviz.grid.coarsen import coarsen
from flowviz.grid.grid import Grid

Progress = Callable[[str, float], None]
FEWEST, MOST = 8, 16  # windows; at the most they are joined in pairs
PRECISION = 0.01  # half-width of the 95 % interval of the watched shares
LONGEST = 240.0  # time averaged over before a fine run gives up on that [s]


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
    closure: Closure
    settle: float  # marched before anything is counted [s]
    window: float  # length of a window [s]


SKETCH = Level(4.0, Closure(0.2, 0.15), 16.0, 1.0)
COARSE = Level(2.0, Closure(0.15, 0.15), 3.0, 1.0)
FINE = Level(1.0, Closure(), 15.0, 4.0)


def sketch(case: Case) -> Field:
    """The flow on cells four times as large, read on the grid of the case."""
    return read(case, settled(case, SKETCH, None), SKETCH)


def coarse(case: Case) -> Field:
    """The flow on cells twice as large, read on the grid of the case."""
    return read(case, settled(case, COARSE, settled(case, SKETCH, None)), COARSE)


def fine(case: Case) -> Field:
    """The flow on the grid of the case, marched until its statistics are steady or the time is up."""
    march = settled(case, FINE, settled(case, COARSE, settled(case, SKETCH, None)))
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
    march = March(grid, case.rates, case.viscosity, TANK, level.closure, velocity, case.seed)
    gather(march, level.settle)
    return march


def read(case: Case, march: March, level: Level) -> Field:
    """What a march on larger cells comes to, with what those cells do not carry, on the grid of the case."""
    record, square = Record(march), np.zeros(march.grid.shape)
    for n in range(FEWEST):
        case.progress("marching", n / FEWEST)
        record.add(gather(march, level.window))
        square += subgrid(case, march) ** 2 / FEWEST
    cell = march.grid.cell_volume ** (1 / 3)
    field = refine(record.field(march, steady=False), march.grid, case.grid)
    unseen = Cells(march.grid, case.grid).read(np.sqrt(square).astype(np.float32))
    return balanced(restore(field, case.grid, case.rates, cell, unseen), case.grid, case.rates)


def subgrid(case: Case, march: March) -> np.ndarray:
    """Rms of the motion that a march does not carry now (nx, ny, nz) [m/s]."""
    return subgrid_rms(1.0, march.grid.cell_volume ** (1 / 3)) * (march.momentum.viscosity - case.viscosity)


def unsteadiness(case: Case, record: Record) -> float:
    """The wider half-width of the 95 % intervals of the shares of water below and above the watched speeds [-]."""
    cells = np.flatnonzero(case.grid.water)
    widths = half_widths(lambda speeds: shares(speeds, case.watch), record.speed, np.stack(record.speeds), cells)
    return max(widths.values())


def shares(speeds: np.ndarray, watch: tuple[float, float]) -> dict[str, float]:
    """Shares of cells below the first and above the second of two speeds."""
    return {"below": float(np.mean(speeds < watch[0])), "above": float(np.mean(speeds > watch[1]))}
