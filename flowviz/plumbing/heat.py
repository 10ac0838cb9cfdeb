"""What the pumps take from the mains, how much of it warms the water, and what that costs."""

from collections.abc import Mapping
from dataclasses import dataclass

from flowviz.formulas.heat import rise_in_pump, warming
from flowviz.formulas.water import density, heat_capacity
from flowviz.plumbing.choice import cost_of_a_year
from flowviz.plumbing.loop import Loop, PumpDuty
from flowviz.scene.model import Pump, Scene, Water

DAY = 86400.0  # [s]
MOTOR_EFFICIENCY = 0.75  # of small motors, shaft power over electric power [-]: common practice, no source


@dataclass(frozen=True, slots=True)
class PumpHeat:
    """Where the electric power of a pump goes."""

    power: float  # electric [W]
    into_water: float  # [W]
    into_air: float  # [W]
    rise: float  # of the water on its way through the pump alone [K]
    cost: float  # of a year, in the money of the price


@dataclass(frozen=True, slots=True)
class Heating:
    """What all pumps of a loop do to the water's temperature."""

    pumps: Mapping[str, PumpHeat]  # those whose power the scene gives
    unknown: tuple[str, ...]  # pumps whose power it does not give
    into_water: float  # [W]
    warming: float  # of the water if it lost nothing [K/day]
    chiller_share: float | None  # of a chiller's power that it takes up [-]; None where none is given
    cost: float  # of a year, in the money of the price


def heating(
    scene: Scene, loop: Loop, price: float, chiller: float | None = None, motor_efficiency: float = MOTOR_EFFICIENCY
) -> Heating:
    """What the pumps leave in the water and what they cost.

    All power that reaches the water ends as heat in it, wherever the head is lost. Rock and sand count as water.

    price    of a kilowatt-hour, in any money
    chiller  heat that it takes away [W]
    """
    known = [pump for pump in scene.pumps if loop.pumps[pump.name].power is not None]
    pumps = {pump.name: _heat(pump, loop.pumps[pump.name], scene.water, price, motor_efficiency) for pump in known}
    into_water = sum(heat.into_water for heat in pumps.values())
    volume = scene.tank.plan.area * scene.tank.depth
    return Heating(
        pumps,
        tuple(pump.name for pump in scene.pumps if pump not in known),
        into_water,
        DAY * warming(into_water, *_properties(scene.water), volume),
        None if chiller is None else into_water / chiller,
        sum(heat.cost for heat in pumps.values()),
    )


def _heat(pump: Pump, duty: PumpDuty, water: Water, price: float, motor_efficiency: float) -> PumpHeat:
    """A submerged motor warms the water with all its power, a dry one with what reaches the shaft."""
    shaft = min(max(motor_efficiency * duty.power, duty.water_power), duty.power)
    into_water = duty.power if pump.mounting == "submerged" else shaft
    moves = duty.flow > 0 and into_water > 0
    rise = rise_in_pump(into_water, duty.water_power / into_water, duty.flow, *_properties(water)) if moves else 0.0
    return PumpHeat(duty.power, into_water, duty.power - into_water, rise, cost_of_a_year(duty.power, price))


def _properties(water: Water) -> tuple[float, float]:
    """Density [kg/m³] and heat capacity [J/(kg K)]."""
    return density(water.temperature, water.salinity), heat_capacity(water.temperature, water.salinity)
