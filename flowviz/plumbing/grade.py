"""Where the head goes: every loss by part, the grade line along each path, and what one size larger would bring."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from flowviz.plumbing.catalogue import larger, pipe_size
from flowviz.plumbing.loop import Loop, PipeFlow
from flowviz.plumbing.pipes import pipe_name
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import AS_BUILT, State
from flowviz.scene.model import Scene

FRICTION = "friction"


@dataclass(frozen=True, slots=True)
class Loss:
    """Head that one part takes from the water that passes it."""

    where: str  # 'pipe "tee" to "left high"', 'intake "left low"'
    part: str  # trade name of the fittings, "friction", "strainer", "exit"
    head: float  # [m]; negative where a tee gives head
    share: float  # of the power that the pumps give the water [-]; they sum to 1


@dataclass(frozen=True, slots=True)
class Station:
    """A place on the way of the water."""

    name: str  # what has just been passed
    where: str  # the place that it belongs to: 'pipe "tee" to "left high"', 'pump "loop pump"', "the tank"
    distance: float  # along the pipes from the intake [m]
    head: float  # total head above the tank's water surface [m]


@dataclass(frozen=True, slots=True)
class GradeLine:
    """The total head on the way that brings most of an outlet's water."""

    intake: str
    outlet: str
    pipes: tuple[int, ...]  # numbers of those on the way
    stations: tuple[Station, ...]


@dataclass(frozen=True, slots=True)
class Upsize:
    """What one pipe would bring in the next larger size."""

    pipe: str
    size: str
    larger: str
    saved: float  # head lost in it today less what is lost in the larger one, each at its own flow [m]
    gained: float  # flow of all outlets together [m³/s]
    weakest: float  # flow of the outlet of its circuit that has least today [m³/s]


def losses(loop: Loop) -> tuple[Loss, ...]:
    """Every loss of a loop with pumps, the costliest first; none where no water moves."""
    power = sum(duty.flow * duty.head for duty in loop.pumps.values())
    if power == 0:
        return ()
    found = (
        Loss(where, part, head, flow * head / power)
        for where, flow, parts in _parts(loop)
        for part, head in parts.items()
    )
    return tuple(sorted(found, key=lambda loss: -loss.share))


def grade_lines(scene: Scene, loop: Loop) -> tuple[GradeLine, ...]:
    """One for each outlet that gets water by pipes, in the scene's order."""
    ways = ((outlet.name, _way_to(outlet.name, loop)) for outlet in scene.outlets)
    return tuple(_grade_line(scene, loop, outlet, way) for outlet, way in ways if way)


def one_size_larger(scene: Scene, state: State = AS_BUILT) -> tuple[Upsize, ...]:
    """What each pipe of a trade size would bring in the next larger one, the best first."""
    loop = solve_loop(scene, state)
    found = (_upsize(scene, state, loop, number) for number in range(len(scene.pipes)))
    return tuple(sorted((one for one in found if one is not None), key=lambda one: -one.gained))


def in_flow(pipe: PipeFlow) -> Mapping[str, float]:
    """Head lost [m] by part on the way of the water."""
    sign = 1.0 if pipe.flow >= 0 else -1.0
    tees = {f"tee {name}": head for name, head in pipe.tees.items()}
    return {part: sign * head for part, head in {FRICTION: pipe.friction, **pipe.fittings, **tees}.items()}


def _parts(loop: Loop) -> Iterator[tuple[str, float, Mapping[str, float]]]:
    """Places with the flow through them [m³/s] and the head lost there [m] by part."""
    for name, intake in loop.intakes.items():
        yield _opening_name(name, loop), abs(intake.flow), intake.losses
    for pipe in loop.pipes:
        yield pipe_name(pipe), abs(pipe.flow), in_flow(pipe)
    for name, outlet in loop.outlets.items():
        yield _opening_name(name, loop), abs(outlet.flow), outlet.losses


def _opening_name(name: str, loop: Loop) -> str:
    return f'{"outlet" if name in loop.outlets else "intake"} "{name}"'


def _way_to(outlet: str, loop: Loop) -> tuple[int, ...]:
    """Numbers of the pipes from an intake to an outlet, each upstream one the fullest that feeds the next and leads
    back to an opening; water that goes in a circle through a bypass does not.
    """
    seen = {outlet}

    def upstream(place: str) -> tuple[int, ...]:
        feeding = [i for i, pipe in enumerate(loop.pipes) if pipe.flow and pipe.goes_to == place]
        for number in sorted(feeding, key=lambda i: -abs(loop.pipes[i].flow)):
            source = loop.pipes[number].comes_from
            if source in loop.rates:
                return (number,)
            if source not in seen:
                seen.add(source)
                if way := upstream(source):
                    return (*way, number)
        return ()

    return upstream(outlet)


def _grade_line(scene: Scene, loop: Loop, outlet: str, way: tuple[int, ...]) -> GradeLine:
    intake = loop.pipes[way[0]].comes_from
    stations = [Station("the tank", "the tank", 0.0, 0.0)]
    for name, where, loss, length in _steps(scene, loop, intake, outlet, way):
        stations.append(Station(name, where, stations[-1].distance + length, stations[-1].head - loss))
    return GradeLine(intake, outlet, way, tuple(stations))


def _steps(
    scene: Scene, loop: Loop, intake: str, outlet: str, way: tuple[int, ...]
) -> Iterator[tuple[str, str, float, float]]:
    """What is passed on a way, the place that it belongs to, the head lost there [m] and the length of pipe [m]."""
    openings = {**loop.outlets, **loop.intakes}
    yield from ((part, _opening_name(intake, loop), loss, 0.0) for part, loss in openings[intake].losses.items())
    for number in way:
        pipe = loop.pipes[number]
        start = pipe.comes_from
        if start in loop.pumps:
            duty = loop.pumps[start]
            yield start, f'pump "{start}"', -duty.head if duty.flow >= 0 else duty.head, 0.0
        for part, loss in in_flow(pipe).items():
            yield part, pipe_name(pipe), loss, scene.pipes[number].length if part == FRICTION else 0.0
    yield from ((part, _opening_name(outlet, loop), loss, 0.0) for part, loss in openings[outlet].losses.items())


def _upsize(scene: Scene, state: State, loop: Loop, number: int) -> Upsize | None:
    pipe = scene.pipes[number]
    size = None if pipe.size is None else pipe_size(pipe.size, pipe_name(pipe))
    above = None if size is None else larger(size)
    circuit = next(each for each in loop.circuits if number in each.pipes)
    fed = [outlet.name for outlet in scene.outlets if outlet.name in circuit.openings]
    if above is None or not fed:
        return None
    pipes = (*scene.pipes[:number], replace(pipe, size=above.name), *scene.pipes[number + 1 :])
    changed = solve_loop(replace(scene, pipes=pipes), state)
    weakest = min(fed, key=loop.rates.__getitem__)
    return Upsize(
        pipe_name(pipe),
        size.name,
        above.name,
        abs(loop.pipes[number].loss) - abs(changed.pipes[number].loss),
        changed.total - loop.total,
        changed.rates[weakest] - loop.rates[weakest],
    )
