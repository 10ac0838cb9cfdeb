"""Where every pump works, what it takes from the mains and whether its suction suffices."""

from collections.abc import Mapping, Sequence

from flowviz.formulas.atmosphere import air_pressure
from flowviz.formulas.pumps import at_speed, hydraulic_power, npsh_available
from flowviz.formulas.water import density, vapour_pressure
from flowviz.plumbing.heights import heights
from flowviz.plumbing.laws import PumpLaw
from flowviz.plumbing.loop import PumpDuty
from flowviz.plumbing.network import Layout, suction
from flowviz.scene.model import Pump, Water


def pump_duties(layout: Layout, flows: Sequence[float], heads: Mapping[str, float]) -> Mapping[str, PumpDuty]:
    """The duty of every pump, from the flows of all links [m³/s] and the heads of all nodes [m]."""
    scene, place = layout.scene, heights(layout.scene)
    air = air_pressure(scene.site.altitude)
    return {
        pump.name: _duty(
            pump,
            layout.pumps[i],
            flows[layout.pump_link(i)],
            _suction_head(scene.water, air, scene.tank.depth - place[pump.name], -heads[suction(pump.name)]),
            density(scene.water.temperature, scene.water.salinity),
        )
        for i, pump in enumerate(scene.pumps)
    }


def _suction_head(water: Water, air: float, level: float, loss: float) -> float:
    """Net positive suction head available [m]."""
    state = water.temperature, water.salinity
    return npsh_available(air, vapour_pressure(*state), density(*state), level, loss)


def _duty(pump: Pump, law: PumpLaw, flow: float, npsh: float, density: float) -> PumpDuty:
    head = law.head(flow)[0]
    power = None if pump.power is None else at_speed(0.0, 0.0, pump.power, law.speed)[2]
    water_power = hydraulic_power(density, flow, head)
    return PumpDuty(
        speed_share=law.speed,
        flow=flow,
        head=head,
        open_flow=law.open_flow,
        first_flow=law.flows[0] * law.speed,
        last_flow=law.flows[-1] * law.speed,
        water_power=water_power,
        power=power,
        efficiency=water_power / power if power else None,
        npsh_available=npsh,
        npsh_margin=npsh - pump.npsh_required if pump.npsh_required is not None and law.speed else None,
    )
