"""What is written beside each place and pipe of a loop, in the scene's units."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.wording import badges
from flowviz.plumbing.catalogue import fitting
from flowviz.plumbing.cautions import FLOOD, TRICKLE
from flowviz.plumbing.circuits import even_shares
from flowviz.plumbing.loop import Loop, PumpDuty
from flowviz.plumbing.network import delivery, suction
from flowviz.plumbing.pipes import is_reducer, pipe_name
from flowviz.scene.model import Pipe, Scene
from flowviz.units import System, percent, shown

FOLD = re.compile(r", | (?=in the )")  # where a line may be broken
LONGEST, TEE = 22, 14  # letters of a name beside its place, and of a junction's in the name of its split


@dataclass(frozen=True, slots=True)
class Note:
    """What is written beside a place or a pipe, a line each."""

    name: str  # in bold
    lines: tuple[str, ...]
    alarm: str = ""  # what stands out about it, white on black
    valves: tuple[str, ...] = ()  # that are drawn in a pipe: "check", "valve"
    upright: bool = False  # whether the name runs up the pipe


def subject(scene: Scene, most: int = 80) -> str:
    """The scene, cut to so many letters, as it stands under titles; where it has phases, that none of them is drawn."""
    return f"{short(scene.title, most)}{', everything running, not a phase' if scene.phases else ''}"


def folded(note: Note) -> Note:
    """In shorter lines, for a row that would be wider than a page."""
    return replace(note, lines=tuple(part for line in note.lines for part in FOLD.sub("\n", line).split("\n")))


def costliest(loop: Loop) -> int | None:
    """Number of the pipe, its fittings and tees included, that takes most of the pumps' power; None if none does."""
    powers = [pipe.flow * pipe.loss for pipe in loop.pipes]
    return max(range(len(powers)), key=powers.__getitem__) if any(power > 0 for power in powers) else None


def power_share(loop: Loop, number: int) -> float:
    """Of the power that the pumps give the water, what a pipe takes [-]."""
    pipe = loop.pipes[number]
    return pipe.flow * pipe.loss / sum(duty.flow * duty.head for duty in loop.pumps.values())


def notes(scene: Scene, loop: Loop) -> Mapping[str, Note]:
    """What is written beside each opening, pump and junction, by name."""
    told = {**dict(_outlets(scene, loop)), **dict(_intakes(scene, loop)), **dict(_pumps(scene, loop))}
    inner = (end for pipe in scene.pipes for end in (pipe.start, pipe.end))
    return told | {name: _junction(name, scene, loop) for name in inner if name not in told}


def pipe_notes(scene: Scene, loop: Loop) -> tuple[Note, ...]:
    """What is written beside each pipe."""
    most = costliest(loop)
    return tuple(_pipe(scene, loop, number, number == most) for number in range(len(scene.pipes)))


def pipe_size_words(pipe: Pipe, show: System) -> str:
    """A pipe's size, as the trade calls it or by its inside."""
    return pipe.size if pipe.size is not None else f"{shown(pipe.inside, 'length', show)} inside"


def pipe_length(length: float, show: System) -> str:
    """The length of a run of pipe: metres and feet, as heads are told."""
    return shown(length, "head", show)


def head_words(head: float, show: System) -> str:
    """A head as tables tell it, with a true minus sign."""
    return shown(head, "head", show).replace("-", "\N{MINUS SIGN}")


def flow_words(flow: float, show: System) -> str:
    """What goes through a pump."""
    return f"{shown(abs(flow), 'flow', show)}{' BACKWARDS' if flow < 0 else ''}"


def power_words(duty: PumpDuty) -> list[str]:
    """What a pump takes from the mains and how much of it the water gets, where that is known; watts in all systems."""
    if not duty.power:
        return []
    share = f", {percent(duty.efficiency)} of it as flow" if duty.water_power > 0 else ""
    return [f"{shown(duty.power, 'power', 'metric')}{share}"]


def part_words(part: str, scene: Scene) -> str:
    """A part that takes head: "elbow 90", "the split at ring tee"."""
    tees = {f"tee {junction.name}": f"the split at {short(junction.name, TEE)}" for junction in scene.junctions}
    return tees.get(part, part)


def _outlets(scene: Scene, loop: Loop) -> Iterator[tuple[str, Note]]:
    shares, letters = even_shares(scene, loop), badges(scene)
    for name, figures in loop.outlets.items():
        lines = (shown(figures.flow, "flow", scene.show), f"{shown(figures.speed, 'speed', scene.show)} out")
        heads, alarm = _head_line(loop, name, scene.show), _alarm(figures.flow, shares[name])
        yield name, Note(f"{letters[name]}  {short(name, LONGEST)}", (*lines, *heads), alarm)


def _alarm(flow: float, share: float) -> str:
    """What stands out about an outlet."""
    if flow <= 0:
        return "DRAWS WATER" if flow < 0 else "NO WATER"
    if share < TRICKLE:
        return f"TRICKLE: {percent(share)} of its share"
    return f"HOG: {percent(share)} of its share" if share > FLOOD else ""


def _intakes(scene: Scene, loop: Loop) -> Iterator[tuple[str, Note]]:
    letters = badges(scene)
    strained = {intake.name for intake in scene.intakes if intake.strainer is not None}
    for name, figures in loop.intakes.items():
        where = "in the slots" if name in strained else "at the mouth"
        lines = (shown(figures.flow, "flow", scene.show), f"{shown(figures.screen_speed, 'speed', scene.show)} {where}")
        alarm = "GIVES WATER" if figures.flow < 0 else "NO WATER" if figures.flow == 0 else ""
        heads = _head_line(loop, name, scene.show)
        yield name, Note(f"{letters[name]}  {short(name, LONGEST)}", (*lines, *heads), alarm)


def _pumps(scene: Scene, loop: Loop) -> Iterator[tuple[str, Note]]:
    for name, duty in loop.pumps.items():
        flow, head = flow_words(duty.flow, scene.show), shown(duty.head, "head", scene.show)
        before, behind = (_signed(loop.nodes[side(name)], scene.show) for side in (suction, delivery))
        lines = [f"{flow}, gives {head}", f"head {before} before, {behind} behind"]
        if duty.speed_share != 1:
            lines.append(f"at {percent(duty.speed_share)} of full speed" if duty.speed_share else "at rest")
        lines += power_words(duty)
        yield name, Note(short(name, LONGEST), tuple(lines), "RUNS BACKWARDS" if duty.flow < 0 else "")


def _junction(name: str, scene: Scene, loop: Loop) -> Note:
    return Note(short(name, LONGEST), _head_line(loop, name, scene.show))


def _head_line(loop: Loop, name: str, show: System) -> tuple[str, ...]:
    return (f"head {_signed(loop.nodes[name], show)}",) if name in loop.nodes else ()


def _pipe(scene: Scene, loop: Loop, number: int, most: bool) -> Note:
    pipe, found, show = scene.pipes[number], loop.pipes[number], scene.show
    size = f"{pipe_size_words(pipe, show)}, {pipe_length(pipe.length, show)}"
    if found.flow == 0:
        return Note("no flow", (size, *_openings(pipe)), valves=valve_kinds(pipe))
    speed = shown(abs(found.speed), "speed", show)
    taken = head_words(found.loss if found.flow > 0 else -found.loss, show)
    lines = (f"{speed}, takes {taken}", size, *_openings(pipe))
    whose = "pumps' power" if len(loop.pumps) > 1 else "power"
    alarm = f"COSTS MOST: {percent(power_share(loop, number))} of the {whose}" if most else ""
    return Note(shown(abs(found.flow), "flow", show), lines, alarm, valve_kinds(pipe))


def _openings(pipe: Pipe) -> Iterator[str]:
    """How far a pipe's valves are open, where they are not fully."""
    return (f"{name} {percent(share)} open" for name, share in pipe.valves.items() if share < 1)


def valve_kinds(pipe: Pipe) -> tuple[str, ...]:
    """Which of "check" and "valve" a pipe has."""
    names = (name for name in pipe.fittings if not is_reducer(name))
    roles = {role for name in names for role in fitting(name, pipe_name(pipe)).roles}
    return tuple(sorted(roles & {"check", "valve"}))


def _signed(head: float, show: System) -> str:
    """A head to the millimetre, with a true minus sign."""
    return shown(round(head, 3), "head", show).replace("-", "\N{MINUS SIGN}")
