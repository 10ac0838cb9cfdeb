"""The network of a scene: its pipes, pumps and openings as nodes and links."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from flowviz.errors import InputError
from flowviz.formulas.water import kinematic_viscosity
from flowviz.plumbing.graph import TANK, Leg, Link, Network, Tee
from flowviz.plumbing.laws import PipeLaw, PumpLaw, Shut
from flowviz.plumbing.mouths import Basin, Mouth, mouth
from flowviz.plumbing.pipes import (
    AFTER,
    BEFORE,
    BothWays,
    fitting_losses,
    joint_area,
    pipe_area,
    pipe_name,
    straight_law,
    whole_law,
)
from flowviz.plumbing.state import AS_BUILT, State
from flowviz.plumbing.ways import check_ways
from flowviz.scene.model import Junction, Scene

THE_TANK = "the tank"  # name of the first node


@dataclass(frozen=True, slots=True)
class Layout:
    """A network whose links are, in this order, the scene's pipes, pumps and openings."""

    scene: Scene
    state: State
    network: Network
    losses: tuple[Mapping[str, BothWays], ...]  # of each pipe, by fitting
    pipes: tuple[PipeLaw, ...]
    pumps: tuple[PumpLaw, ...]
    mouths: Mapping[str, Mouth]  # by opening, outlets first

    def pump_link(self, index: int) -> int:
        """The link of a pump."""
        return len(self.pipes) + index

    def opening_link(self, index: int) -> int:
        """The link of an opening, outlets first."""
        return len(self.pipes) + len(self.pumps) + index


def suction(pump: str) -> str:
    """Name of the node before a pump."""
    return f"{pump} suction"


def delivery(pump: str) -> str:
    """Name of the node behind a pump."""
    return f"{pump} delivery"


def network(scene: Scene, state: State = AS_BUILT) -> Layout:
    """The network of a scene in a state.

    Raises InputError where a size or a fitting is unknown, or where water cannot come and go.
    """
    layout = unchecked_network(scene, state)
    check_ways(layout.network)
    return layout


def unchecked_network(scene: Scene, state: State) -> Layout:
    """The network of a scene in a state in which water may be cut off from some pump or opening."""
    viscosity = kinematic_viscosity(scene.water.temperature, scene.water.salinity)
    losses = tuple(
        fitting_losses(pipe, {**pipe.valves, **state.valves.get(i, {})}) for i, pipe in enumerate(scene.pipes)
    )
    pipes = tuple(
        straight_law(pipe, viscosity, each, state.throttled.get(i, 0.0))
        for i, (pipe, each) in enumerate(zip(scene.pipes, losses, strict=True))
    )
    pumps = tuple(PumpLaw(pump.curve, state.speeds.get(pump.name, pump.speed)) for pump in scene.pumps)
    mouths = _mouths(scene, state, viscosity)
    nodes = _nodes(scene)
    place = {name: number for number, name in enumerate(nodes)}
    links = (
        *_pipe_links(scene, pipes, place),
        *_pump_links(scene, pumps, place),
        *_opening_links(mouths, state, place),
    )
    whole = Network(nodes, links, tuple(_tee(scene, pipes, junction) for junction in scene.junctions))
    return Layout(scene, state, whole, losses, pipes, pumps, mouths)


def _nodes(scene: Scene) -> tuple[str, ...]:
    """Names of all nodes, in the order in which the scene names them.

    Raises InputError where a place has the name of another node, with which it would be one.
    """
    own = (THE_TANK, *(side(pump.name) for pump in scene.pumps for side in (suction, delivery)))
    openings = [opening.name for opening in scene.openings]
    pumps = {pump.name for pump in scene.pumps}
    ends = (name for pipe in scene.pipes for name in (pipe.start, pipe.end) if name not in pumps)
    places = dict.fromkeys((*openings, *ends))
    for name in own:
        if name in places:
            raise InputError(name, "names a place, and is what flowviz itself calls another", "Give it another name")
    return (THE_TANK, *openings, *own[1:], *list(places)[len(openings) :])


def _pipe_links(scene: Scene, laws: tuple[PipeLaw, ...], place: Mapping[str, int]) -> list[Link]:
    pumps = {pump.name for pump in scene.pumps}
    links = []
    for pipe, law in zip(scene.pipes, laws, strict=True):
        start = place[delivery(pipe.start) if pipe.start in pumps else pipe.start]
        end = place[suction(pipe.end) if pipe.end in pumps else pipe.end]
        links.append(Link(pipe_name(pipe), start, end, whole_law(pipe, law)))
    return links


def _pump_links(scene: Scene, laws: tuple[PumpLaw, ...], place: Mapping[str, int]) -> list[Link]:
    return [
        Link(f'pump "{pump.name}"', place[suction(pump.name)], place[delivery(pump.name)], law)
        for pump, law in zip(scene.pumps, laws, strict=True)
    ]


def _mouths(scene: Scene, state: State, viscosity: float) -> Mapping[str, Mouth]:
    water = Basin(scene.tank.depth, viscosity)
    areas = {end: pipe_area(pipe) for pipe in scene.pipes for end in (pipe.start, pipe.end)}
    return {
        each.name: mouth(each, areas.get(each.name, each.aperture.area), water, state.fouled.get(each.name, 0.0))
        for each in scene.openings
    }


def _opening_links(mouths: Mapping[str, Mouth], state: State, place: Mapping[str, int]) -> list[Link]:
    return [
        Link(f'opening "{name}"', place[name], TANK, Shut() if name in state.blocked else each.law())
        for name, each in mouths.items()
    ]


def _tee(scene: Scene, laws: tuple[PipeLaw, ...], junction: Junction) -> Tee:
    """The pipes at a junction, those to its two in-line neighbours first."""
    legs = list(_legs(scene, laws, junction.name))
    run = []
    for neighbour in junction.in_line:
        found = next(leg for leg in legs if leg[0] == neighbour)
        legs.remove(found)
        run.append(found[1])
    ((_, branch),) = legs
    return Tee(junction.name, (run[0], run[1]), branch)


def _legs(scene: Scene, laws: tuple[PipeLaw, ...], junction: str) -> Iterator[tuple[str, Leg]]:
    """Neighbours of a junction with the pipes between."""
    for number, (pipe, law) in enumerate(zip(scene.pipes, laws, strict=True)):
        if pipe.end == junction:
            yield pipe.start, Leg(number, 1.0, joint_area(pipe, AFTER) or law.area)
        elif pipe.start == junction:
            yield pipe.end, Leg(number, -1.0, joint_area(pipe, BEFORE) or law.area)
