"""The door: from a grid and the flow of each opening to a velocity field, at one of three levels of detail."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import closing
from dataclasses import replace
from functools import partial
from typing import Literal

from flowviz.flow.field import Field
from flowviz.flow.levels import SPINNING_UP, Case, coarse, fine, sketch
from flowviz.flow.processes import in_order, made
from flowviz.flow.state import FORGETFUL, Keeper
from flowviz.flow.together import together
from flowviz.grid.grid import Grid
from flowviz.progress import Listener, Stage, silent

Level = Callable[[Case, Field | None], Field]
LEVELS: Mapping[str, Level] = {"sketch": sketch, "coarse": coarse, "fine": fine}


def solve_flow(
    grid: Grid,
    rates: Mapping[str, float],
    viscosity: float,
    detail: Literal["sketch", "coarse", "fine"],
    *,
    watch: tuple[float, float] = (0.03, 0.5),
    progress: Listener = silent,
    keeper: Keeper = FORGETFUL,
    seed: int = 0,
    marches: int = 1,
    start: Field | None = None,
) -> Field:
    """How the water moves.

    rates        into the tank, by opening [m³/s]; they sum to zero
    viscosity    of the water [m²/s]
    watch        a fine run ends when the shares of water below the first and above the second speed are known [m/s]
    keeper       keeps a single fine march's state from time to time, and has what an earlier one left
    seed         of the random disturbance
    marches      independent ones, each with a seed of its own, whose mean is taken
    start        a field of the same grid, perhaps with other rates, to go on from instead of from rest
    """
    assert start is None or start.speed.shape == grid.shape, "a field of another grid cannot be gone on from"
    case, level = Case(grid, rates, viscosity, watch, progress, seed, keeper), LEVELS[detail]
    if marches == 1:
        return level(case, start)
    tally, case = Tally(progress, marches), replace(case, keeper=FORGETFUL)
    anywhere, here = (partial(one_of_several, level, replace(case, progress=told), start) for told in (silent, tally))
    with closing(made(marches, grid.kind.size, anywhere, here)) as come:  # so that an interruption ends it at once
        return together(in_order(tally.counted(come)))


def one_of_several(level: Level, case: Case, start: Field | None, number: int) -> Field:
    """The field of one of several independent marches; the first is 0."""
    return level(replace(case, seed=case.seed + number), start)


class Tally:
    """Listens to one of several marches at a time, and tells how far all of them have come."""

    def __init__(self, progress: Listener, marches: int) -> None:
        self._progress, self._marches = progress, marches
        self._made, self._simulated = 0, 0.0

    def __call__(self, stage: Stage) -> None:
        """Tell it; of one that spins up it is not known how far it has come."""
        share = self._made + (0.0 if stage.doing == SPINNING_UP else stage.share)
        doing, simulated = f"marching {self._marches} times", self._simulated + stage.simulated
        self._progress(Stage(doing, share / self._marches, simulated, stage.cells))

    def counted(self, numbered: Iterable[tuple[int, Field]]) -> Iterator[tuple[int, Field]]:
        """The same, each counted as it comes."""
        for number, field in numbered:
            self._made += 1
            self._simulated += field.quality.simulated
            yield number, field
            del field
