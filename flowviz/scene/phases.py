"""The cycle that pumps and valves go through, from its tables."""

from collections.abc import Mapping

from flowviz.errors import InputError
from flowviz.scene.model import Phase, Scene
from flowviz.scene.schema.phases import EVERY, PhaseTable
from flowviz.scene.schema.values import nearest


def phases(tables: tuple[PhaseTable, ...], scene: Scene, file: str) -> tuple[Phase, ...]:
    """The phases of a scene whose loop is known to hang together.

    Raises InputError where a pump or pipe is unknown, or where no phase moves any water.
    """
    if tables and not scene.pumps:
        remedy = "Describe pump and pipes in place of the fixed flows, or leave the phases out"
        raise InputError(f"{file}: phase", "needs a pump, and the flows of this scene are fixed", remedy)
    found = tuple(_phase(table, number, scene, file) for number, table in enumerate(tables, start=1))
    _names_differ(found, file)
    if found and not any(any(phase.speeds.values()) for phase in found):
        raise InputError(f"{file}: phase", "has every pump at rest all the time", "Let one turn in one phase at least")
    return found


def _names_differ(found: tuple[Phase, ...], file: str) -> None:
    names = [phase.name for phase in found]
    for number, name in enumerate(names, start=1):
        if name in names[: number - 1]:
            fault = f"{name!r} is the name of phase[{names.index(name) + 1}] too"
            raise InputError(f"{file}: phase[{number}].name", fault, "Give each phase a name of its own")


def _phase(table: PhaseTable, number: int, scene: Scene, file: str) -> Phase:
    where = f"{file}: phase[{number}]" + (f" {table.name!r}" if table.name else "")
    valves = {_pipe(name, scene, f"{where}.valves.{name!r}"): opening for name, opening in table.valves.items()}
    return Phase(table.name or f"phase {number}", table.lasts, _speeds(table.speed, scene, where), valves)


def _speeds(written: Mapping[str, float], scene: Scene, where: str) -> Mapping[str, float]:
    """Share of its full speed of each pump; one that is not named turns as the scene says."""
    own = {pump.name: pump.speed for pump in scene.pumps}
    if EVERY in written:
        return dict.fromkeys(own, written[EVERY])
    for name in written:
        if name not in own:
            raise InputError(f"{where}.speed", f"no pump is called {name!r}", nearest(name, list(own)))
    return own | written


def _pipe(name: str, scene: Scene, where: str) -> int:
    """Number of the pipe that is called "A to B", or has a valve and begins or ends at what is called so."""
    whole = {f"{pipe.start} to {pipe.end}": number for number, pipe in enumerate(scene.pipes)}
    if name in whole:
        return whole[name]
    ends = {end for pipe in scene.pipes for end in (pipe.start, pipe.end)}
    if name not in ends:
        raise InputError(where, "no pipe is called so or leads there", nearest(name, [*sorted(ends), *whole]))
    here = [number for number, pipe in enumerate(scene.pipes) if name in (pipe.start, pipe.end)]
    if len(here) > 1:
        raise InputError(where, "several pipes meet there", f"Write which is meant, as '{list(whole)[here[0]]}'")
    return here[0]
