"""What a solved network means for pipes, pumps, outlets and intakes."""

from collections.abc import Mapping
from math import copysign

from flowviz.formulas.atmosphere import air_pressure
from flowviz.formulas.pumps import hydraulic_power, npsh_available
from flowviz.formulas.water import density as water_density
from flowviz.formulas.water import vapour_pressure
from flowviz.plumbing.heights import heights
from flowviz.plumbing.laws import PipeLaw, velocity_head
from flowviz.plumbing.layout import Layout, fitting_losses, suction
from flowviz.plumbing.loop import IntakeFigures, Loop, OutletFigures, PipeFlow, PumpDuty
from flowviz.plumbing.mouths import Mouth
from flowviz.plumbing.newton import Balance
from flowviz.scene.model import Intake, Outlet, Pipe, Pump, Scene

SEA_LEVEL = 0.0  # [m]


def figures(layout: Layout, state: Balance) -> Loop:
    """Everything that is told about a solved network."""
    scene, flows = layout.scene, state.flows.tolist()
    names = [opening.name for opening in scene.openings]
    rates = dict(zip(names, flows[layout.opening_link(0) :], strict=True))
    pipes = tuple(_pipe_flow(*each) for each in zip(scene.pipes, layout.pipes, flows, strict=False))
    heads = dict(zip(layout.network.nodes, state.heads.tolist(), strict=True))
    height = heights(scene)
    pumps = {
        pump.name: _duty(pump, layout, i, flows[layout.pump_link(i)], heads[suction(pump.name)], height[pump.name])
        for i, pump in enumerate(scene.pumps)
    }
    outlets, intakes = outlet_figures(scene, rates, layout.mouths), intake_figures(scene, rates, layout.mouths)
    return Loop(rates, pumps, pipes, outlets, intakes, heads)


def _pipe_flow(pipe: Pipe, law: PipeLaw, flow: float) -> PipeFlow:
    speed = flow / law.area
    dynamic = copysign(velocity_head(flow, law.area), flow)
    losses = {name: loss * dynamic for name, loss in fitting_losses(pipe, law.diameter).items()}
    if pipe.loss:
        losses["by hand"] = pipe.loss * dynamic
    reynolds = abs(speed) * law.diameter / law.viscosity
    return PipeFlow(pipe.start, pipe.end, law.diameter, flow, speed, reynolds, law.friction(flow)[0], losses)


def _duty(pump: Pump, layout: Layout, index: int, flow: float, suction_head: float, height: float) -> PumpDuty:
    law = layout.pumps[index]
    head = law.head(flow)[0]
    water = layout.scene.water
    density = water_density(water.temperature, water.salinity)
    power = None if pump.power is None else pump.power * pump.speed**3
    efficiency = None if power is None else hydraulic_power(density, flow, head) / power
    vapour = vapour_pressure(water.temperature, water.salinity)
    npsh = npsh_available(air_pressure(SEA_LEVEL), vapour, density, layout.scene.tank.depth - height, -suction_head)
    margin = None if pump.npsh_required is None else npsh - pump.npsh_required
    return PumpDuty(flow, head, law.open_flow, power, efficiency, npsh, margin)


def outlet_figures(
    scene: Scene, rates: Mapping[str, float], mouths: Mapping[str, Mouth]
) -> Mapping[str, OutletFigures]:
    """What leaves every outlet at the flows into the tank [m³/s]."""
    total = sum(rate for rate in rates.values() if rate > 0)
    return {each.name: _outlet(each, rates[each.name], total, mouths.get(each.name)) for each in scene.outlets}


def _outlet(outlet: Outlet, rate: float, total: float, mouth: Mouth | None) -> OutletFigures:
    return OutletFigures(rate, rate / outlet.aperture.area, rate / total, _losses(mouth, rate))


def intake_figures(
    scene: Scene, rates: Mapping[str, float], mouths: Mapping[str, Mouth]
) -> Mapping[str, IntakeFigures]:
    """What every intake draws at the flows into the tank [m³/s]."""
    return {intake.name: _intake(intake, -rates[intake.name], mouths.get(intake.name)) for intake in scene.intakes}


def _intake(intake: Intake, flow: float, mouth: Mouth | None) -> IntakeFigures:
    skin = intake.aperture.area if intake.strainer is None else intake.strainer.skin
    slots = skin if intake.strainer is None else skin * intake.strainer.open_area
    return IntakeFigures(flow, flow / slots, flow / skin, _losses(mouth, -flow))


def _losses(mouth: Mouth | None, rate: float) -> Mapping[str, float]:
    """Head lost [m] by part at a flow into the tank [m³/s]; nothing is known of an opening without a pipe."""
    if mouth is None:
        return {}
    parts = mouth.into_tank if rate >= 0 else mouth.out_of_tank
    return {part: resistance * rate**2 for part, resistance in parts.items()}
