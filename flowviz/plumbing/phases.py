"""The loop in a phase of its cycle."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import replace

from flowviz.errors import InputError
from flowviz.plumbing.catalogue import fitting
from flowviz.plumbing.cautions import CHILLER, JETS, chiller_cautions, jets_in_phases
from flowviz.plumbing.heat import heating
from flowviz.plumbing.loop import Loop
from flowviz.plumbing.network import network
from flowviz.plumbing.pipes import is_reducer, pipe_name
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import State
from flowviz.scene.model import Caution, Phase, Pipe, Scene


def solve_phase(scene: Scene, phase: Phase) -> Loop:
    """The flow at every opening while pumps and valves stand as a phase has them.

    Raises InputError and ConvergenceError as solve_loop does, and where a pipe has no valve to shut.
    """
    with named_in_faults(phase):
        return solve_loop(scene, standing(scene, phase))


def check_phase(scene: Scene, phase: Phase) -> None:
    """Raise InputError where a phase cannot be, without solving it."""
    with named_in_faults(phase):
        network(scene, standing(scene, phase))


def standing(scene: Scene, phase: Phase) -> State:
    """How pumps and valves stand."""
    valves = {number: {valve(scene.pipes[number]): opening} for number, opening in phase.valves.items()}
    return State(speeds=phase.speeds, valves=valves)


def in_turn(phases: Sequence[Phase], loops: Sequence[Loop]) -> list[int]:
    """Numbers of the phases from the main one on: the longest in which water moves; of several the first."""
    first = max(range(len(phases)), key=lambda number: (loops[number].total > 0, phases[number].time))
    return [*range(first, len(phases)), *range(first)]


def phase_cautions(scene: Scene, loops: Mapping[str, Loop]) -> Iterator[Caution]:
    """Of the loops of all phases, by their names, each told once, for the main phase if it holds there and not in all.

    What is said of outlets is left out unless it holds in all: that some pass more than others, or nothing, is what
    phases are for; but that a jet stays smooth, or a bar is uneven, is told with every phase in which it is so. A
    chiller takes away what the pumps bring in the mean.
    """
    phases = scene.phases
    always = set.intersection(*(set(loop.cautions) for loop in loops.values()))
    told: set[tuple[str, str]] = set()
    for phase in (phases[number] for number in in_turn(phases, [loops[each.name] for each in phases])):
        of_one = [each for each in loops[phase.name].cautions if each.where != CHILLER and each.why not in JETS]
        found = [each for each in of_one if (each.where, each.why) not in told]
        told |= {(each.where, each.why) for each in found}
        for caution in found:
            if caution in always:
                yield caution
            elif not caution.where.startswith("outlet "):
                yield replace(caution, where=f"{caution.where}, phase {phase.name}")
    yield from jets_in_phases(scene, loops)
    brought = sum(phase.time * heating(scene, loops[phase.name]).into_water for phase in phases)  # [J]
    yield from chiller_cautions(scene, brought / sum(phase.time for phase in phases))


@contextmanager
def named_in_faults(phase: Phase) -> Iterator[None]:
    """Say of a fault in which phase it is."""
    try:
        yield
    except InputError as error:
        raise InputError(f'phase "{phase.name}", {error.where}', error.fault, error.remedy) from error


def valve(pipe: Pipe) -> str:
    """The fitting that opens and shuts a pipe; of several the first."""
    where = pipe_name(pipe)
    for name in pipe.fittings:
        if not is_reducer(name) and "valve" in fitting(name, where).roles:
            return name
    raise InputError(where, "has no valve to open or shut", 'Write one among its fittings, as "ball valve" = 1')
