"""The door: from a grid and the flow of each opening to a velocity field, at one of three levels of detail."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Literal

from flowviz.flow.field import Field
from flowviz.flow.levels import Case, coarse, fine, sketch
from flowviz.flow.state import FORGETFUL, Keeper
from flowviz.flow.together import together
from flowviz.grid.grid import Grid
from flowviz.progress import Listener, silent

LEVELS = {"sketch": sketch, "coarse": coarse, "fine": fine}


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
    tells = (of_several(progress, number, marches) for number in range(1, marches + 1))
    cases = (replace(case, progress=tell, seed=seed + n, keeper=FORGETFUL) for n, tell in enumerate(tells))
    return together(level(each, start) for each in cases)


def of_several(progress: Listener, number: int, marches: int) -> Listener:
    """A listener that says too which of several marches it is that has come so far; the first is 1."""
    return lambda stage: progress(replace(stage, doing=f"march {number} of {marches}, {stage.doing}"))
