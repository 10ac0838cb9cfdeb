"""The marched levels: on how large cells, and for how long.

Each starts from the motion that the one below has come to: the large circulation, which takes a minute to form, forms
on the largest cells, where a minute costs little.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np

from flowviz.flow.counting import Counting
from flowviz.flow.field import Field, Quality
from flowviz.flow.intervals import half_widths
from flowviz.flow.march import March
from flowviz.flow.memory import alike
from flowviz.flow.momentum import Closure
from flowviz.flow.refine import Cells, balanced, refine, refine_velocity
from flowviz.flow.restore import restore
from flowviz.flow.state import Keeper, State
from flowviz.flow.statistics import Record, gather
from flowviz.flow.velocity import Velocity, still
from flowviz.flow.walls import TANK
from flowviz.formulas.turbulence import subgrid_rms
from flowviz.grid.coarsen import coarsen
from flowviz.grid.grid import Grid
from flowviz.progress import Listener, Stage

USUAL = 30.0  # turn of a tank up to which the times below are long enough; what turns more slowly gets longer ones [s]
SKETCH_CELLS = 2800  # water cells that a sketch is marched on
THINNEST = 3  # cells that it has along the shortest side at least
COARSE_CELL = 2.0  # edge of the cells that a coarse field is marched on, over the grid's
STRETCH, CHANGE = 8.0, 0.02  # spun up when the mean speed changes less than that from one such stretch to the next [s]
FAINT = 0.002  # the same while it grows steadily, as where water circles freely: that has far to go when it changes so
HASTE = 4.0  # further such stretches that the motion is then made to grow by at once: it nears its end by 1/20 in each
STEADY = 4  # stretches of growth that are steady where the last one brings more than half of the most in any of them
HALFWAY, LONGEST_SPIN = 40.0, 480.0  # what a tank may take of that, and the longest that any is given [s]
CIRCLING = 160.0  # what takes longer circles freely; fine runs of it are given as much to settle [s]
FEWEST, MOST = 8, 16  # windows; at the most they are joined in pairs
PRECISION = {"below": 0.01, "above": 0.01, "mean": 0.03}  # half-widths of the 95 % intervals of a fine run's figures
LONGEST = 240.0  # time averaged over before a fine run gives up on that [s]
SPINNING_UP, MARCHING = "spinning up", "marching"
ALMOST = 1 - 1e-9  # of it: the time is a sum of steps, and rounded


@dataclass(frozen=True, slots=True)
class Case:
    """What is to be solved, and who wants to hear of it."""

    grid: Grid
    rates: Mapping[str, float]  # into the tank, by opening [m³/s]
    viscosity: float  # [m²/s]
    watch: tuple[float, float]  # speeds whose shares of the water are to be steady [m/s]
    progress: Listener
    seed: int
    keeper: Keeper  # of a fine run's state

    @property
    def pace(self) -> float:
        """How many times as long everything takes as in a usual tank, at least 1 [-]; by V^(2/3) / √(Σ Q U0)."""
        jets = [patch for patch in self.grid.patches if patch.inflow]
        momentum = sum(self.rates[patch.name] ** 2 / patch.area for patch in jets)
        turn = self.grid.water_volume ** (2 / 3) / sqrt(momentum) if momentum else 0.0
        return max(1.0, turn / USUAL)

    def tell(self, doing: str, share: float, march: March) -> None:
        """Tell how far a march has come."""
        self.progress(Stage(doing, share, march.time, np.count_nonzero(march.grid.water)))


@dataclass(frozen=True, slots=True)
class Level:
    """How one level is marched."""

    closure: Closure
    settle: float  # marched before anything is counted, once it has spun up or was taken over [s]
    window: float  # length of a window [s]


SKETCH = Level(Closure(upwind=0.15), 0.0, 4.0)  # less upwind: large cells smooth enough by themselves
DRAGGED = Level(SKETCH.closure, 4.0, 1.0)
COARSE = Level(Closure(), 10.0, 4.0)  # settled in less, a wake is still much as short as on the sketch's cells
FINE = Level(Closure(), 15.0, 4.0)


def sketch(case: Case, start: Field | None) -> Field:
    """The flow on two or three thousand cells, read on the grid of the case."""
    if start is None:
        return averaged(case, spun_up(case), SKETCH)
    march = begun(case, sketch_grid(case.grid), SKETCH, (start.u, start.v, start.w), case.grid)
    gather(march, case.pace * DRAGGED.settle)
    return averaged(case, march, DRAGGED)


def coarse(case: Case, start: Field | None) -> Field:
    """The flow on cells twice as large, read on the grid of the case."""
    march, _ = on_coarse_cells(case, start)
    return averaged(case, march, COARSE)


def fine(case: Case, start: Field | None) -> Field:
    """The flow on the grid of the case, marched until its statistics are steady or the time is up."""
    return given_back(case, Record.field(*marched(case, start)), case.grid, 0.0)


def marched(case: Case, start: Field | None) -> tuple[Record, Quality]:
    """What a fine run comes to."""
    counting = ready(case, start)
    march, record, doubt, done = counting.march, counting.record, np.inf, 0.0
    end = march.time + record.sums.left + case.pace * LONGEST - record.time  # at the latest

    def look() -> None:
        nonlocal done
        done = max(done, min(march.time / end, 1.0), 1 / max(doubt, 1.0) ** 2)
        case.tell(MARCHING, done, march)
        case.keeper.offer(counting.state)

    while True:
        counting.go_on(MOST, look)
        if len(record.speeds) >= FEWEST:
            doubt = unsteadiness(case, record)
        if doubt <= 1 or record.time >= case.pace * LONGEST * ALMOST:
            return record, record.quality(march, steady=doubt <= 1)


def ready(case: Case, start: Field | None) -> Counting:
    """A fine run where an earlier one was left, or at its beginning."""
    kept = case.keeper.last()
    return begun_fine(case, start) if kept is None else taken_up(case, kept)


def begun_fine(case: Case, start: Field | None) -> Counting:
    """A fine run, from what coarse cells come to."""
    below, circles = on_coarse_cells(case, start)
    march = begun(case, case.grid, FINE, below.velocity, below.grid)
    return counted(case, march, case.pace * (CIRCLING if circles else FINE.settle))


def taken_up(case: Case, kept: State) -> Counting:
    """A fine run, from where an earlier one was left."""
    counting = counted(case, begun(case, case.grid, FINE, still(case.grid), case.grid), 0.0)
    counting.take_up(kept)  # with what was left of its settling
    return counting


def counted(case: Case, march: March, settle: float) -> Counting:
    """A march whose windows are those of a fine run, once it has settled for so long [s]."""
    return Counting(march, settle, case.pace * FINE.window)


def spun_up(case: Case) -> March:
    """A march on the sketch's cells, from rest until its large circulation has formed."""
    grid = sketch_grid(case.grid)
    march = begun(case, grid, SKETCH, still(grid), grid)
    spin(case, march, 0.0)
    return march


def spin(case: Case, march: March, earlier: float) -> None:
    """March on until the mean speed changes no more, or for the longest time.

    earlier    time that others took to spin up [s]; after that a march begins with a motion that gains in few steps,
               and is watched for long enough to tell whether it does so steadily
    """
    changes, before = [], 0.0 if earlier == 0 else stretch(case, march, earlier)
    while march.time < case.pace * LONGEST_SPIN:
        circles = earlier + march.time > case.pace * CIRCLING
        if len(changes) >= STEADY * (earlier > 0) and not gaining(changes, circles):
            return
        if circles and growing(changes):
            before *= hasten(march, 1 + HASTE * changes[-1])
        now = stretch(case, march, earlier)
        changes.append((now - before) / max(now, 1e-9))
        before = now


def stretch(case: Case, march: March, earlier: float) -> float:
    """March on for one, and the mean speed in it [m/s]."""
    taken = earlier + march.time
    case.tell(SPINNING_UP, taken / (taken + case.pace * HALFWAY), march)
    window = gather(march, case.pace * STRETCH)
    return float((window.path[march.grid.water] / window.time).mean())


def hasten(march: March, factor: float) -> float:
    """Make all of the water so many times as fast; what that leaves out of balance, and jets, come right in seconds."""
    for along in march.velocity:
        along *= np.float32(factor)
    return factor


def growing(changes: Sequence[float]) -> bool:
    """Whether the mean speed grew in each of the last successive stretches, by its relative changes [-]."""
    return len(changes) >= STEADY and min(changes[-STEADY:]) > 0


def gaining(changes: Sequence[float], circles: bool) -> bool:
    """Whether it still changes much, or grows steadily."""
    if not changes or abs(changes[-1]) > CHANGE:
        return True
    return growing(changes) and changes[-1] > (FAINT if circles else max(FAINT, max(changes[-STEADY:]) / 2))


def on_coarse_cells(case: Case, start: Field | None) -> tuple[March, bool]:
    """A settled march on cells twice as large, from the field of an earlier one or from rest; whether it circles."""
    grid, circles = coarsen(case.grid, COARSE_CELL), False
    if start is None:
        below = spun_up(case)
        march, circles = begun(case, grid, COARSE, below.velocity, below.grid), below.time > case.pace * CIRCLING
        if circles:  # on smaller cells it does so faster yet
            spin(case, march, below.time)
    else:
        march = begun(case, grid, COARSE, (start.u, start.v, start.w), case.grid)
    gather(march, case.pace * COARSE.settle)
    return march, circles


def begun(case: Case, grid: Grid, level: Level, velocity: Velocity, its_grid: Grid) -> March:
    """A march that starts with a velocity of another grid."""
    velocity = refine_velocity(velocity, its_grid, grid)
    return March(grid, case.rates, case.viscosity, TANK, level.closure, velocity, case.seed)


def sketch_grid(grid: Grid) -> Grid:
    """The grid in cells so large that there are about as many as a sketch has."""
    factor = min((np.count_nonzero(grid.water) / SKETCH_CELLS) ** (1 / 3), min(grid.shape) / THINNEST)
    return coarsen(grid, factor) if factor > 1 else grid


def averaged(case: Case, march: March, level: Level) -> Field:
    """What a march on larger cells comes to, with what those cells do not carry, on the grid of the case."""
    record, square = Record(march), np.zeros(march.grid.shape)
    for n in range(FEWEST):
        case.tell(MARCHING, n / FEWEST, march)
        record.count(march, case.pace * level.window)
        square += subgrid(case, march) ** 2 / FEWEST
    field = refine(record.field(record.quality(march, steady=False)), march.grid, case.grid)
    unseen = Cells(march.grid, case.grid).read(np.sqrt(square).astype(np.float32))
    return given_back(case, field, march.grid, unseen)


def given_back(case: Case, field: Field, marched: Grid, unseen: np.ndarray | float) -> Field:
    """The field with what the cells that it was marched on do not carry, and balanced: each in the other's room."""
    return balanced(restore(field, case.grid, marched, case.rates, unseen), case.grid, case.rates)


def subgrid(case: Case, march: March) -> np.ndarray:
    """Rms of the motion that a march does not carry now (nx, ny, nz) [m/s]."""
    return subgrid_rms(1.0, march.grid.cell_volume ** (1 / 3)) * (march.momentum.viscosity - case.viscosity)


def unsteadiness(case: Case, record: Record) -> float:
    """The widest 95 % interval of a fine run's figures, against what it is to reach [-]."""
    (low, high), grid, window = case.watch, case.grid, record.time / len(record.speeds)
    cells = slice(None)  # all, for a choice would be another copy of them, and most memory is in use by now
    volumes = (grid.open_volume if grid.rubble is None else np.where(grid.clear, grid.open_volume, 0)).reshape(-1)
    whole = volumes.sum(dtype=float)

    def average(speeds: np.ndarray) -> float:
        return float(speeds @ volumes) / whole

    def share(chosen: np.ndarray) -> float:
        return volumes.sum(where=chosen, dtype=float) / whole

    def of_all(speeds: np.ndarray) -> dict[str, float]:
        return {"below": share(speeds < low), "mean": average(speeds) / max(mean, 1e-9)}

    def of_the_fastest(speeds: np.ndarray) -> dict[str, float]:
        return {"above": share(speeds > high)}

    mean = average(record.speed.reshape(-1))

    widths = {
        **half_widths(of_all, record.speed, record.speeds, cells, alike(grid, mean, window)),
        **half_widths(of_the_fastest, record.speed, record.speeds, cells, alike(grid, max(mean, high), window)),
    }
    return max(width / PRECISION[name] for name, width in widths.items())
