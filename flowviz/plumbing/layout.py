"""From a scene's pipes, pumps and openings to the network that is solved."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from flowviz.formulas.water import kinematic_viscosity
from flowviz.plumbing.catalogue import fitting, pipe_size
from flowviz.plumbing.laws import OneWay, PipeLaw, PumpLaw
from flowviz.plumbing.mouths import Mouth, mouth
from flowviz.plumbing.network import TANK, Leg, Link, Network, Tee
from flowviz.scene.model import Junction, Pipe, Scene

PLASTIC_ROUGHNESS = 1.5e-6  # new plastic pipe and hose [m]: EPANET 2 Users Manual (2000) Table 3.2


@dataclass(frozen=True, slots=True)
class Layout:
    """A network whose links are, in this order, the scene's pipes, pumps and openings."""

    scene: Scene
    network: Network
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


def lay_out(scene: Scene) -> Layout:
    """The network of a scene."""
    viscosity = kinematic_viscosity(scene.water.temperature, scene.water.salinity)
    pipes = tuple(pipe_law(pipe, viscosity) for pipe in scene.pipes)
    pumps = tuple(PumpLaw(pump.curve, pump.speed) for pump in scene.pumps)
    mouths = _mouths(scene, pipes)
    nodes = _nodes(scene)
    place = {name: number for number, name in enumerate(nodes)}
    links = (
        *_pipe_links(scene, pipes, place),
        *_pump_links(scene, pumps, place),
        *(_opening_link(name, place[name], part) for name, part in mouths.items()),
    )
    tees = tuple(_tee(scene, pipes, junction) for junction in scene.junctions)
    return Layout(scene, Network(nodes, links, tees), pipes, pumps, mouths)


def pipe_name(pipe: Pipe) -> str:
    """A pipe as messages call it."""
    return f'pipe "{pipe.start}" to "{pipe.end}"'


def inside_diameter(pipe: Pipe) -> float:
    """Of a pipe, given or by its trade size [m]."""
    return pipe.inside if pipe.size is None else pipe_size(pipe.size, pipe_name(pipe)).inside


def fitting_losses(pipe: Pipe, diameter: float) -> Mapping[str, float]:
    """Loss coefficient [-] of all fittings of one name together, on the pipe's velocity, by the name in the scene."""
    where = pipe_name(pipe)
    return {name: count * fitting(name, where).loss(diameter) for name, count in pipe.fittings.items()}


def pipe_law(pipe: Pipe, viscosity: float) -> PipeLaw:
    """Friction and fittings of a pipe."""
    diameter = inside_diameter(pipe)
    coefficient = sum(fitting_losses(pipe, diameter).values()) + pipe.loss
    return PipeLaw(diameter, pipe.length, PLASTIC_ROUGHNESS, viscosity, coefficient, coefficient)


def _nodes(scene: Scene) -> tuple[str, ...]:
    """Names of all nodes, in the order in which the scene names them."""
    nodes = ["the tank", *(opening.name for opening in scene.openings)]
    nodes += [side(pump.name) for pump in scene.pumps for side in (suction, delivery)]
    pumps = {pump.name for pump in scene.pumps}
    ends = dict.fromkeys(name for pipe in scene.pipes for name in (pipe.start, pipe.end))
    return (*nodes, *(name for name in ends if name not in pumps and name not in nodes))


def _pipe_links(scene: Scene, laws: tuple[PipeLaw, ...], place: Mapping[str, int]) -> list[Link]:
    pumps = {pump.name for pump in scene.pumps}
    links = []
    for pipe, law in zip(scene.pipes, laws, strict=True):
        start = place[delivery(pipe.start) if pipe.start in pumps else pipe.start]
        end = place[suction(pipe.end) if pipe.end in pumps else pipe.end]
        links.append(Link(pipe_name(pipe), start, end, OneWay(law) if _checked(pipe) else law))
    return links


def _checked(pipe: Pipe) -> bool:
    return any("check" in fitting(name, pipe_name(pipe)).roles for name in pipe.fittings)


def _pump_links(scene: Scene, laws: tuple[PumpLaw, ...], place: Mapping[str, int]) -> list[Link]:
    return [
        Link(f'pump "{pump.name}"', place[suction(pump.name)], place[delivery(pump.name)], law)
        for pump, law in zip(scene.pumps, laws, strict=True)
    ]


def _mouths(scene: Scene, laws: tuple[PipeLaw, ...]) -> Mapping[str, Mouth]:
    areas = {}
    for pipe, law in zip(scene.pipes, laws, strict=True):
        areas |= {pipe.start: law.area, pipe.end: law.area}
    return {opening.name: mouth(opening, areas.get(opening.name, opening.aperture.area)) for opening in scene.openings}


def _opening_link(name: str, node: int, part: Mouth) -> Link:
    return Link(f'opening "{name}"', node, TANK, part.law())


def _tee(scene: Scene, laws: tuple[PipeLaw, ...], junction: Junction) -> Tee:
    """The pipes at a junction, those to its two in-line neighbours first."""
    legs = dict(_legs(scene, laws, junction.name))
    first, second = (legs.pop(name) for name in junction.in_line)
    (branch,) = legs.values()
    return Tee(junction.name, (first, second), branch)


def _legs(scene: Scene, laws: tuple[PipeLaw, ...], junction: str) -> Iterator[tuple[str, Leg]]:
    """Neighbours of a junction with the pipes between."""
    for number, (pipe, law) in enumerate(zip(scene.pipes, laws, strict=True)):
        if pipe.end == junction:
            yield pipe.start, Leg(number, 1.0, law.area)
        elif pipe.start == junction:
            yield pipe.end, Leg(number, -1.0, law.area)
