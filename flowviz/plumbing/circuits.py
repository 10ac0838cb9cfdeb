"""The closed loops of a scene: what water gets between by pipes and pumps, without going through the tank."""

from collections.abc import Mapping

from flowviz.plumbing.graph import TANK
from flowviz.plumbing.loop import Circuit, Loop
from flowviz.plumbing.network import Layout
from flowviz.plumbing.ways import reached, unless_shut
from flowviz.scene.model import Scene


def circuits(layout: Layout) -> tuple[Circuit, ...]:
    """In the order of the scene's openings; what a shut valve keeps apart is not one."""
    links = layout.network.links
    inner = [link for link in links if TANK not in (link.start, link.end)]
    ends = {name: links[layout.opening_link(index)].start for index, name in enumerate(layout.mouths)}
    pumps = {pump.name: links[layout.pump_link(index)].start for index, pump in enumerate(layout.scene.pumps)}
    return tuple(
        Circuit(
            pumps=tuple(name for name, node in pumps.items() if node in places),
            openings=tuple(name for name, node in ends.items() if node in places),
            pipes=tuple(number for number in range(len(layout.pipes)) if links[number].start in places),
        )
        for places in dict.fromkeys(frozenset(reached(inner, [node], unless_shut)) for node in ends.values())
    )


def circuit_of(name: str, loop: Loop) -> Circuit:
    """The one that a pump or an opening belongs to."""
    return next(each for each in loop.circuits if name in each.pumps or name in each.openings)


def given_by(circuit: Circuit, loop: Loop) -> float:
    """All that enters the tank from it [m³/s]."""
    return sum(max(loop.rates[name], 0.0) for name in circuit.openings)


def even_shares(scene: Scene, loop: Loop) -> Mapping[str, float]:
    """Speed at each outlet over the mean of all of its circuit [-]: 1 if they get what their openings are made for."""
    areas = {outlet.name: outlet.aperture.area for outlet in scene.outlets}
    means = {
        name: given_by(each, loop) / sum(areas.get(one, 0.0) for one in each.openings)
        for each in loop.circuits
        for name in each.openings
        if name in areas
    }
    return {name: found.speed / means[name] if means[name] else 0.0 for name, found in loop.outlets.items()}


def outlets_words(loop: Loop) -> str:
    """Those of one circuit, as they are told."""
    return "the outlets of its loop" if sum(bool(each.pumps) for each in loop.circuits) > 1 else "all outlets"
