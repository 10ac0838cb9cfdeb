"""What is on the floor when plumbing fails: how much, how fast, how deep.

An opening fails by its bulkhead, which leaves a sharp hole in the panel, or by its pipe, sheared off behind the panel
or the rim, which leaves a short tube; the one that lets more through is told. A pump lets go of its pipes, and all of
them run out, each as a short tube. A tube is as wide as its narrowest place, mouth or pipe.

Rock and sand count as water, the pipe's friction is left out and check valves are taken as stuck open: all three make a
leak look larger and faster than it will be. A pump that runs on makes it larger; that stands beside it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import pi

from flowviz.formulas.drain import SHARP_EDGE, SHORT_TUBE, drain_time, hole_flow
from flowviz.plumbing.heights import heights
from flowviz.plumbing.pipes import pipe_area
from flowviz.scene.model import Intake, Outlet, Scene


@dataclass(frozen=True, slots=True)
class Breach:
    """What the water runs out by."""

    coefficient: float  # of discharge [-]
    area: float  # [m²]


@dataclass(frozen=True, slots=True)
class Leak:
    """One failure."""

    where: str  # 'outlet "left high"', 'pump "loop pump"'
    level: float  # that the tank's water falls to, over its floor [m]
    lost: float  # [m³]
    flow: float  # at first [m³/s]
    time: float  # that it takes [s]
    running_lost: float  # if a pump goes on pushing water out there, until its lowest intake draws air [m³]
    running_floor: float | None  # depth in the room then [m]
    on_floor: float | None  # depth in the room [m]; None where the room is not told


@dataclass(frozen=True, slots=True)
class Leaks:
    """All failures, once as the loop stands and once with a siphon break in every pipe over the rim."""

    as_built: tuple[Leak, ...]
    with_breaks: tuple[Leak, ...]
    runs_back: tuple[str, ...]  # outlets over the water surface, whose pipes run empty when the pump stops
    above_volume: float  # water in pipes over the water surface, which falls back when air gets in [m³]
    siphons: tuple[str, ...]  # openings over the rim: opened below the surface, their pipes draw the tank down


def leaks(scene: Scene) -> Leaks:
    """What each opening's plumbing and each pump would spill if it failed."""
    bare = {opening.name: _lip(opening) for opening in scene.openings}
    broken = scene.tank.depth - scene.site.siphon_break
    held = {
        opening.name: max(bare[opening.name], broken) if opening.panel is None else bare[opening.name]
        for opening in scene.openings
    }
    above = tuple(outlet.name for outlet in scene.outlets if outlet.centre[2] > scene.tank.depth)
    siphons = tuple(opening.name for opening in scene.openings if opening.panel is None)
    return Leaks(tuple(_all(scene, bare)), tuple(_all(scene, held)), above, _above(scene), siphons)


def pipe_volume(scene: Scene, numbers: Iterator[int]) -> float:
    """Water in some of the scene's pipes [m³]."""
    return sum(pipe_area(scene.pipes[number]) * scene.pipes[number].length for number in numbers)


def _above(scene: Scene) -> float:
    """Water in the parts of the pipes that lie over the tank's surface, the pipes taken as straight [m³]."""
    place = heights(scene)
    return sum(
        pipe_area(pipe) * pipe.length * _share_above(place[pipe.start], place[pipe.end], scene.tank.depth)
        for pipe in scene.pipes
    )


def _share_above(start: float, end: float, surface: float) -> float:
    """Share of a straight line between two heights that lies over a third [-]."""
    low, high = min(start, end), max(start, end)
    return (1.0 if low > surface else 0.0) if high == low else min(1.0, max(0.0, (high - surface) / (high - low)))


def joined(scene: Scene, place: str) -> frozenset[str]:
    """Everything that hangs together with a place by pipes and pumps."""
    found, edge = {place}, {place}
    while edge:
        ends = ({pipe.start, pipe.end} for pipe in scene.pipes if {pipe.start, pipe.end} & edge)
        edge = set().union(*ends) - found
        found |= edge
    return frozenset(found)


def _lip(opening: Outlet | Intake) -> float:
    """The lowest place of an opening, where the tank stops to run out by it [m]."""
    x, y, _ = opening.normal
    _, tall = opening.aperture.extent
    if opening.panel is not None and opening.hole is not None:
        tall = max(tall, opening.hole)
    level = (x * x + y * y) ** 0.5  # an opening in the floor has its lip at its own height
    return max(0.0, opening.centre[2] - tall / 2 * level)


def _all(scene: Scene, lips: Mapping[str, float]) -> Iterator[Leak]:
    for opening in scene.openings:
        kind = "outlet" if isinstance(opening, Outlet) else "intake"
        pumped = _pumped_to(scene, opening, lips) if kind == "outlet" else scene.tank.depth
        yield _leak(scene, f'{kind} "{opening.name}"', lips[opening.name], _breach(scene, opening), 0.0, pumped)
    place = heights(scene) if scene.pipes else {}
    for pump in scene.pumps:
        together = joined(scene, pump.name)
        ends = [opening for opening in scene.openings if opening.name in together]
        level = max(place[pump.name], min(lips[opening.name] for opening in ends))
        below = level - place[pump.name]
        numbers = (i for i, pipe in enumerate(scene.pipes) if pipe.start in together)
        mouths = sum(_tube(scene, opening) for opening in ends)
        stubs = sum(pipe_area(pipe) for pipe in scene.pipes if pump.name in (pipe.start, pipe.end))
        yield _leak(
            scene,
            f'pump "{pump.name}"',
            level,
            Breach(SHORT_TUBE, min(mouths, stubs)),
            pipe_volume(scene, numbers),
            level,
            below,
        )


def _pumped_to(scene: Scene, outlet: Outlet, lips: Mapping[str, float]) -> float:
    """Level at which the lowest intake that feeds an outlet draws air [m]; without pipes any may."""
    together = joined(scene, outlet.name) if scene.pipes else {intake.name for intake in scene.intakes}
    return min((lips[intake.name] for intake in scene.intakes if intake.name in together), default=scene.tank.depth)


def _tube(scene: Scene, opening: Outlet | Intake) -> float:
    """Area of the narrowest place of an opening and its pipe [m²]."""
    pipes = (pipe_area(pipe) for pipe in scene.pipes if opening.name in (pipe.start, pipe.end))
    return min((opening.aperture.area, *pipes))


def _breach(scene: Scene, opening: Outlet | Intake) -> Breach:
    """The worse of a sheared pipe and, where the drilled hole is known, a bulkhead that falls out."""
    sheared = Breach(SHORT_TUBE, _tube(scene, opening))
    if opening.panel is None or opening.hole is None:
        return sheared
    fallen = Breach(SHARP_EDGE, pi / 4 * opening.hole**2)
    return max(sheared, fallen, key=lambda breach: breach.coefficient * breach.area)


def _leak(
    scene: Scene, where: str, level: float, breach: Breach, in_pipes: float, pumped: float, below: float = 0.0
) -> Leak:
    """A tank that runs out to a level [m], and what the pipes hold [m³] with it.

    pumped  level that running pumps would draw the tank down to [m]
    below   how far under the level the broken end lies, by which the water is driven the faster [m]
    """
    head = max(0.0, scene.tank.depth - level)
    area = scene.tank.plan.area
    lost = area * head + in_pipes
    first = hole_flow(breach.coefficient, breach.area, head + below)
    time = drain_time(area, breach.coefficient, breach.area, head + below, below)
    running = max(lost, area * (scene.tank.depth - pumped))
    on_floor, deepest = (None if scene.site.room is None else spilt / scene.site.room for spilt in (lost, running))
    return Leak(where, scene.tank.depth - head, lost, first, time, running, deepest, on_floor)
