"""The phases of a cycle, each with its loop and its flow.

Each flow is solved anew, from rest: one that goes on from the phase before still has that one's currents in it, and
the phases are to be taken as steady. Where a phase has the shares of one that is solved already, the flow is scaled
from it instead: a fully turbulent flow changes by the same factor everywhere.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from flowviz.errors import InputError
from flowviz.flow.field import Field
from flowviz.formulas.water import kinematic_viscosity
from flowviz.grid.grid import Grid
from flowviz.plumbing.loop import Loop
from flowviz.plumbing.mouths import jet_reynolds
from flowviz.plumbing.phases import in_turn, phase_cautions, solve_phase
from flowviz.scene.model import Caution, Phase, Scene

ALIKE = 0.01  # of each opening's flow: how far from one common factor it may be; pipes are not known so well
TURBULENT = 1e4  # least Reynolds number of a jet that is scaled (common practice, no source)

Flow = Callable[[int, Mapping[str, float]], Field]  # of the n-th flow that is solved and its rates


@dataclass(frozen=True, slots=True, eq=False)
class Moment:
    """A phase with its loop and its flow."""

    phase: Phase
    loop: Loop
    field: Field
    way: Literal["computed", "scaled", "at rest"]
    scaled_from: str | None = None  # name of the phase


def solve_cycle(scene: Scene, flow: Flow) -> tuple[Moment, ...]:
    """The phases of a scene in their order; the flow of the main one is solved first, with the number 0.

    Raises InputError where a phase cannot be, and what flow raises.
    """
    loops = [solve_phase(scene, phase) for phase in scene.phases]
    if not any(loop.total for loop in loops):
        raise InputError("phases", "no water moves in any of them", "Let a pump turn and leave its valves open in one")
    found: dict[int, Moment] = {}
    for number in in_turn(scene.phases, loops):
        found[number] = moment(scene, scene.phases[number], loops[number], tuple(found.values()), flow)
    return tuple(found[number] for number in range(len(loops)))


def solved(moments: Sequence[Moment]) -> list[Moment]:
    """Those whose flow was solved, in the order in which it was: the main one first."""
    if not moments:
        return []
    turn = in_turn([each.phase for each in moments], [each.loop for each in moments])
    return [moments[number] for number in turn if moments[number].way == "computed"]


def moment(scene: Scene, phase: Phase, loop: Loop, before: Sequence[Moment], flow: Flow) -> Moment:
    """A phase after others that are solved already."""
    if loop.total == 0:
        return Moment(phase, loop, scaled(before[0].field, 0.0), "at rest")
    computed = [other for other in before if other.way == "computed"]
    for other in computed:
        if may_scale(scene, other.loop, loop):
            return Moment(phase, loop, scaled(other.field, loop.total / other.loop.total), "scaled", other.phase.name)
    return Moment(phase, loop, flow(len(computed), loop.rates), "computed")


def may_scale(scene: Scene, one: Loop, other: Loop) -> bool:
    """Whether the flow of a loop is that of another but for its strength.

    The flows of all openings change by one factor, to within 1 %, and all jets are turbulent both before and after.
    """
    factor = other.total / one.total
    alike = all(
        abs(other.rates[name] - factor * rate) <= ALIKE * factor * abs(rate) for name, rate in one.rates.items()
    )
    return alike and all(least_reynolds(scene, loop) >= TURBULENT for loop in (one, other))


def least_reynolds(scene: Scene, loop: Loop) -> float:
    """Of the jets that run [-]."""
    viscosity = kinematic_viscosity(scene.water.temperature, scene.water.salinity)
    running_jets = (outlet for outlet in scene.outlets if loop.rates[outlet.name] > 0)
    return min(jet_reynolds(outlet, loop.rates[outlet.name], viscosity) for outlet in running_jets)


def scaled(field: Field, factor: float) -> Field:
    """A flow with all its speeds changed by a factor, and the times that it was marched for by the inverse."""
    names = ("u", "v", "w", "speed", "fluctuation", "batches")
    told, slower = field.quality, 1 / factor if factor else 1.0
    quality = replace(told, simulated=slower * told.simulated, averaged=slower * told.averaged)
    return replace(field, **{name: np.float32(factor) * getattr(field, name) for name in names}, quality=quality)


def running(grid: Grid, rates: Mapping[str, float]) -> Grid:
    """A grid without the openings that pass nothing."""
    return replace(grid, patches=tuple(patch for patch in grid.patches if rates[patch.name]))


def loop_cautions(scene: Scene, moments: Sequence[Moment]) -> Iterator[Caution]:
    """Of the loops of all phases, each told once, for the main phase if it holds there."""
    return phase_cautions(scene, {each.phase.name: each.loop for each in moments})
