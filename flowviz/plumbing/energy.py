"""What the pumps take from the mains in a year, and what that costs."""

from collections.abc import Mapping
from dataclasses import dataclass

from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Scene

HOURS = 8766.0  # in a year
HOUR = 3600.0  # [s]


@dataclass(frozen=True, slots=True)
class Energy:
    """What a mean power comes to."""

    power: float  # electric [W]
    energy: float  # of a year [J]
    cost: float | None  # of a year, in the money of the price; None where that is not told


@dataclass(frozen=True, slots=True)
class CycleEnergy:
    """What the pumps take over a cycle again and again."""

    pumps: Mapping[str, Energy]  # those whose power the scene gives
    unknown: tuple[str, ...]  # pumps whose power it does not give
    together: Energy  # without those


def energy_of_a_year(power: float) -> float:
    """Of a power [W] that runs all year [J]."""
    return power * HOURS * HOUR


def cost_of_a_year(power: float, price: float | None) -> float | None:
    """Of a power [W] that runs all year, at a price of a kilowatt-hour, if there is one."""
    return None if price is None else power / 1000 * HOURS * price


def cycle_energy(scene: Scene, loops: Mapping[str, Loop]) -> CycleEnergy | None:
    """What the pumps take over the phases, by whose names the loops are; None where no phase or no power is told."""
    whole = sum(phase.time for phase in scene.phases)
    means = {
        pump.name: sum(phase.time * loops[phase.name].pumps[pump.name].power for phase in scene.phases) / whole
        for pump in scene.pumps
        if whole and pump.power is not None
    }
    if not means:
        return None
    unknown = tuple(pump.name for pump in scene.pumps if pump.power is None)
    together = _energy(sum(means.values()), scene)
    return CycleEnergy({name: _energy(mean, scene) for name, mean in means.items()}, unknown, together)


def _energy(power: float, scene: Scene) -> Energy:
    return Energy(power, energy_of_a_year(power), cost_of_a_year(power, scene.site.price))
