"""What drives the water: pumps and pipes that hang together, or flows that the scene fixes."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace

from flowviz.errors import InputError
from flowviz.scene.apertures import widths
from flowviz.scene.faults import placed, suggested
from flowviz.scene.model import Intake, Junction, Outlet, Pipe, Pump, Scene
from flowviz.scene.schema.loop import THREE
from flowviz.scene.schema.values import nearest
from flowviz.units import System, shown

BALANCE = 1e-6  # of the larger sum of fixed flows
FASTEST = 20.0  # at an opening, beyond which a unit is wrong [m/s]: common practice, no source
ROUNDING = 1e-9  # of lengths that are written in two units


def driven(scene: Scene, file: str) -> Scene:
    """The scene once what drives it is known to hang together; the flow that was left open is filled in."""
    if scene.pumps or scene.pipes:
        _no_flow_is_fixed(scene, file)
        _hangs_together(scene, file)
        return scene
    scene = _with_fixed_flows(scene, file)
    _speeds_are_possible(scene, file)
    return scene


def _keys(scene: Scene, file: str) -> dict[str, str]:
    """Where each opening stands in the file, by name."""
    places = (*placed(scene.outlets, "outlet", file), *placed(scene.intakes, "intake", file))
    return {opening.name: where for opening, where in places}


def _no_flow_is_fixed(scene: Scene, file: str) -> None:
    keys = _keys(scene, file)
    for opening in scene.openings:
        if opening.flow is not None:
            fault = "is fixed, and pumps and pipes that decide the flow are described too"
            remedy = "Keep one: leave flow out of every opening, or leave out every [[pump]] and [[pipe]]"
            raise InputError(f"{keys[opening.name]}.flow", fault, remedy)


def _with_fixed_flows(scene: Scene, file: str) -> Scene:
    keys = _keys(scene, file)
    unknown = [opening for opening in scene.openings if opening.flow is None]
    if len(unknown) == len(scene.openings):
        fault = "nothing drives the water: there is no [[pump]] and no flow at any opening"
        remedy = 'Describe pump and pipes, or write flow = "3000 L/h" at the openings'
        raise InputError(file, fault, suggested(remedy, scene.show))
    if len(unknown) > 1:
        remedy = "Write it; only one opening may be left without, which takes the difference"
        raise InputError(f"{keys[unknown[1].name]}.flow", "is missing", remedy)
    into, out = _sum(scene.outlets), _sum(scene.intakes)
    if not unknown:
        _balanced(into, out, scene, file)
        return scene
    return _filled(scene, unknown[0], into, out, keys)


def _sum(openings: Iterable[Outlet | Intake]) -> float:
    return sum(opening.flow for opening in openings if opening.flow is not None)


def _balanced(into: float, out: float, scene: Scene, file: str) -> None:
    if abs(into - out) > BALANCE * max(into, out):
        sums = f"{shown(into, 'flow', scene.show)} in and {shown(out, 'flow', scene.show)} out"
        fault = f"the fixed flows do not balance: {sums}"
        raise InputError(file, fault, "Correct one, or leave flow out of one opening, which then takes the difference")


def _filled(scene: Scene, open_one: Outlet | Intake, into: float, out: float, keys: dict[str, str]) -> Scene:
    """The scene with the last flow as the difference of the others."""
    difference = out - into if isinstance(open_one, Outlet) else into - out
    if difference <= BALANCE * max(into, out):
        fault = "is left open, and the other flows leave nothing for it"
        remedy = "Check the flows: outlets and intakes must come to the same sum"
        raise InputError(f"{keys[open_one.name]}.flow", fault, remedy)
    done = replace(open_one, flow=difference)
    outlets = tuple(done if opening is open_one else opening for opening in scene.outlets)
    intakes = tuple(done if opening is open_one else opening for opening in scene.intakes)
    return replace(scene, outlets=outlets, intakes=intakes)


def _speeds_are_possible(scene: Scene, file: str) -> None:
    """Refuse flows that their openings cannot pass: a unit is wrong."""
    keys = _keys(scene, file)
    for opening in scene.openings:
        fault = impossible_speed(opening, opening.flow, scene.show)
        if fault is not None:
            most = shown(FASTEST * opening.aperture.area, "flow", scene.show)
            remedy = f"Check the units of both: at most {most} can pass it"
            raise InputError(f"{keys[opening.name]}.flow", fault, remedy)


def impossible_speed(opening: Outlet | Intake, flow: float, show: System) -> str | None:
    """What is wrong with a flow [m³/s] that an opening cannot pass; None if it can."""
    speed = abs(flow) / opening.aperture.area
    if speed <= FASTEST:
        return None
    told, fast = shown(abs(flow), "flow", show), shown(speed, "speed", show)
    return f"{told} through {_mouth(opening, show)} would run at {fast}, which no tank's loop gives"


def _mouth(opening: Outlet | Intake, show: System) -> str:
    """What an opening is, with its size."""
    if isinstance(opening, Outlet) and opening.bar is not None:
        return f"{opening.bar.holes} holes of {shown(opening.bar.hole, 'length', show)}"
    size = " by ".join(shown(width, "length", show) for width in widths(opening.aperture))
    return f"{opening.aperture.called} of {size}"


def _hangs_together(scene: Scene, file: str) -> None:
    _pipes_run_the_right_way(scene, file)
    _pipes_lead_somewhere(scene, file)
    _pumps_are_joined(scene, file)
    _openings_are_joined(scene, file)
    _junctions_are_sound(scene, file)
    _every_pipe_is_joined(scene, file)
    _every_part_is_pumped(scene, file)


def _pipes_run_the_right_way(scene: Scene, file: str) -> None:
    outlets, intakes = _names(scene.outlets), _names(scene.intakes)
    for number, pipe in enumerate(scene.pipes, start=1):
        where = f"{file}: pipe[{number}]"
        if pipe.start == pipe.end:
            raise InputError(f"{where}.to", f"ends where it begins, at {pipe.end!r}", "Write where the water goes next")
        if pipe.start in outlets:
            raise InputError(f"{where}.from", f"{pipe.start!r} is an outlet, which ends a pipe", "Swap from and to")
        if pipe.end in intakes:
            raise InputError(f"{where}.to", f"{pipe.end!r} is an intake, where a pipe begins", "Swap from and to")
        if abs(pipe.rise) > pipe.length * (1 + ROUNDING):
            rise, length = (shown(value, "length", scene.show) for value in (abs(pipe.rise), pipe.length))
            raise InputError(f"{where}.rise", f"is {rise} in {length} of pipe", "Write a rise within the pipe's length")


def _pipes_lead_somewhere(scene: Scene, file: str) -> None:
    known = {*_names(scene.openings), *_names(scene.pumps)}
    ends = Counter(end for pipe in scene.pipes for end in (pipe.start, pipe.end))
    for number, pipe in enumerate(scene.pipes, start=1):
        for key, end in (("from", pipe.start), ("to", pipe.end)):
            if end not in known and ends[end] == 1:
                others = sorted({*known, *ends} - {end})
                fault = f"leads nowhere: {end!r} has no other pipe"
                raise InputError(f"{file}: pipe[{number}].{key}", fault, nearest(end, others))


def _names(parts: Iterable[Outlet | Intake | Pump | Junction]) -> set[str]:
    return {part.name for part in parts}


def _pumps_are_joined(scene: Scene, file: str) -> None:
    if not scene.pumps:
        raise InputError(f"{file}: pump", "is missing: nothing drives the water in the pipes", "Write a [[pump]]")
    starts, ends = {pipe.start for pipe in scene.pipes}, {pipe.end for pipe in scene.pipes}
    for pump, where in placed(scene.pumps, "pump", file):
        if pump.name not in ends:
            raise InputError(where, "has no way in", f"Write a [[pipe]] with to = '{pump.name}'")
        if pump.name not in starts:
            raise InputError(where, "has no way out", f"Write a [[pipe]] with from = '{pump.name}'")


def _openings_are_joined(scene: Scene, file: str) -> None:
    joined = {end for pipe in scene.pipes for end in (pipe.start, pipe.end)}
    for name, where in _keys(scene, file).items():
        if name not in joined:
            key = "to" if name in _names(scene.outlets) else "from"
            raise InputError(where, "has no pipe", f"Write a [[pipe]] with {key} = '{name}'")


def _junctions_are_sound(scene: Scene, file: str) -> None:
    for junction, where in placed(scene.junctions, "junction", file):
        around = [
            pipe.end if pipe.start == junction.name else pipe.start
            for pipe in scene.pipes
            if junction.name in (pipe.start, pipe.end)
        ]
        if len(around) != 3:
            raise InputError(where, f"is a tee that {len(around)} pipes meet at", THREE)
        for neighbour in junction.in_line:
            if neighbour not in around:
                fault = f"{neighbour!r} is no neighbour of this tee"
                raise InputError(f"{where}.in_line", fault, nearest(neighbour, sorted(set(around))))
        if junction.in_line[0] == junction.in_line[1] and around.count(junction.in_line[0]) < 2:
            raise InputError(f"{where}.in_line", "names one neighbour twice", "Name both ends of the straight run")


def _every_pipe_is_joined(scene: Scene, file: str) -> None:
    """A ring of pipes may hang together and yet lead nowhere."""
    part = _parts(scene.pipes)
    joined = {part[member.name] for member in (*scene.openings, *scene.pumps)}
    for number, pipe in enumerate(scene.pipes, start=1):
        if part[pipe.start] not in joined:
            fault = f"{pipe.start!r} and the pipes it hangs on are joined to no opening and no pump"
            remedy = "Join them to the rest of the loop, or leave them out"
            raise InputError(f"{file}: pipe[{number}].from", fault, remedy)


def _every_part_is_pumped(scene: Scene, file: str) -> None:
    """Each set of pipes that hang together needs an intake, a pump and an outlet."""
    keys, part = _keys(scene, file), _parts(scene.pipes)
    kinds = (("pump", scene.pumps), ("intake", scene.intakes), ("outlet", scene.outlets))
    for opening in scene.openings:
        for kind, members in kinds:
            if all(part[member.name] != part[opening.name] for member in members):
                fault = f"hangs on a loop of pipes without {'an' if kind[0] in 'io' else 'a'} {kind}"
                raise InputError(keys[opening.name], fault, "Join its pipes to the rest of the loop")
    for pump, where in placed(scene.pumps, "pump", file):
        if all(part[opening.name] != part[pump.name] for opening in scene.openings):
            raise InputError(where, "drives pipes that never reach the tank", "Join them to an intake and an outlet")


def _parts(pipes: Iterable[Pipe]) -> dict[str, int]:
    """For each end of a pipe the number of the set of pipes that it hangs together with."""
    part: dict[str, int] = {}
    members: dict[int, list[str]] = {}
    for number, pipe in enumerate(pipes):
        joined = {part[end] for end in (pipe.start, pipe.end) if end in part}
        members[number] = [pipe.start, pipe.end, *(end for old in joined for end in members.pop(old))]
        part |= dict.fromkeys(members[number], number)
    return part
