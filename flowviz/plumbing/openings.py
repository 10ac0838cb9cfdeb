"""What leaves every outlet and what every intake draws."""

from collections.abc import Mapping

from flowviz.plumbing.loop import IntakeFigures, OutletFigures
from flowviz.plumbing.mouths import Mouth
from flowviz.scene.model import Intake, Outlet, Scene


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
