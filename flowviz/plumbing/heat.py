"""What the pumps take from the mains, how much of it warms the water, and what that costs."""

from collections.abc import Mapping
from dataclasses import dataclass

from flowviz.formulas.heat import rise_in_pump, warming
from flowviz.formulas.water import density, heat_capacity
from flowviz.plumbing.energy import cost_of_a_year, energy_of_a_year
from flowviz.plumbing.loop import Loop, PumpDuty
from flowviz.scene.model import Pump, Scene, Water

DAY = 86400.0  # [s]
IN_AIR = 0.75  # heat share of a dry pump: the efficiency of small motors [-]: common practice, no source
UNDER_WATER = 1.0  # heat share of a submerged pump [-]: its motor has nowhere else to go


@dataclass(frozen=True, slots=True)
class PumpHeat:
    """Where the electric power of a pump goes."""

    power: float  # electric [W]
    into_water: float  # [W]
    into_air: float  # [W]
    rise: float  # of the water on its way through the pump alone [K]
    energy: float  # of a year, from the mains [J]
    cost: float | None  # of a year, in the money of the price; None where that is not told


@dataclass(frozen=True, slots=True)
class Heating:
    """What all pumps of a loop do to the water's temperature."""

    pumps: Mapping[str, PumpHeat]  # those whose power the scene gives
    unknown: tuple[str, ...]  # pumps whose power it does not give
    into_water: float  # [W]
    warming: float  # of the water if it lost nothing [K/day]
    chiller_share: float | None  # of a chiller's power that it takes up [-]; None where none is given
    cost: float | None  # of a year, in the money of the price; None where that is not told


def heating(scene: Scene, loop: Loop) -> Heating:
    """What the pumps leave in the water and what they cost.

    All power that reaches the water ends as heat in it, wherever the head is lost. Rock and sand count as water.
    """
    known = [pump for pump in scene.pumps if loop.pumps[pump.name].power is not None]
    pumps = {pump.name: _heat(pump, loop.pumps[pump.name], scene) for pump in known}
    into_water = sum(heat.into_water for heat in pumps.values())
    volume = scene.tank.plan.area * scene.tank.depth
    return Heating(
        pumps,
        tuple(pump.name for pump in scene.pumps if pump not in known),
        into_water,
        DAY * warming(into_water, *_properties(scene.water), volume),
        None if scene.site.chiller is None else into_water / scene.site.chiller,
        cost_of_a_year(sum(heat.power for heat in pumps.values()), scene.site.price),
    )


def heat_share(pump: Pump) -> float:
    """Share of a pump's electric power that ends in the water [-], told or by its mounting."""
    usual = UNDER_WATER if pump.mounting == "submerged" else IN_AIR
    return usual if pump.heat_share is None else pump.heat_share


def _heat(pump: Pump, duty: PumpDuty, scene: Scene) -> PumpHeat:
    """No less ends in the water than it takes up as head."""
    into_water = min(max(heat_share(pump) * duty.power, duty.water_power), duty.power)
    rise = 0.0
    if duty.flow > 0 and into_water > 0:
        rise = rise_in_pump(into_water, duty.water_power / into_water, duty.flow, *_properties(scene.water))
    into_air, cost = duty.power - into_water, cost_of_a_year(duty.power, scene.site.price)
    return PumpHeat(duty.power, into_water, into_air, rise, energy_of_a_year(duty.power), cost)


def _properties(water: Water) -> tuple[float, float]:
    """Density [kg/m³] and heat capacity [J/(kg K)]."""
    return density(water.temperature, water.salinity), heat_capacity(water.temperature, water.salinity)
