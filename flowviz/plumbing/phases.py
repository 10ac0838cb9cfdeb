"""The loop in a phase of its cycle."""

from flowviz.errors import InputError
from flowviz.plumbing.catalogue import fitting
from flowviz.plumbing.loop import Loop
from flowviz.plumbing.pipes import is_reducer, pipe_name
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import State
from flowviz.scene.model import Phase, Pipe, Scene


def solve_phase(scene: Scene, phase: Phase) -> Loop:
    """The flow at every opening while pumps and valves stand as a phase has them.

    Raises InputError and ConvergenceError as solve_loop does, and where a pipe has no valve to shut.
    """
    try:
        valves = {number: {valve(scene.pipes[number]): opening} for number, opening in phase.valves.items()}
        return solve_loop(scene, State(speeds=phase.speeds, valves=valves))
    except InputError as error:
        raise InputError(f'phase "{phase.name}", {error.where}', error.fault, error.remedy) from error


def valve(pipe: Pipe) -> str:
    """The fitting that opens and shuts a pipe; of several the first."""
    where = pipe_name(pipe)
    for name in pipe.fittings:
        if not is_reducer(name) and "valve" in fitting(name, where).roles:
            return name
    raise InputError(where, "has no valve to open or shut", 'Write one among its fittings, as "ball valve" = 1')
