"""What leaves every outlet and what every intake draws."""

from collections.abc import Mapping, Sequence

from flowviz.formulas.screens import slot_speed
from flowviz.plumbing.bars import SprayBar
from flowviz.plumbing.loop import IntakeFigures, OutletFigures
from flowviz.plumbing.mouths import Mouth
from flowviz.plumbing.surface import wetted_area
from flowviz.scene.model import Intake, Outlet, Scene


def outlet_figures(
    scene: Scene, rates: Mapping[str, float], mouths: Mapping[str, Mouth]
) -> Mapping[str, OutletFigures]:
    """What leaves every outlet at the flows into the tank [m³/s]."""
    total = sum(rate for rate in rates.values() if rate > 0)
    return {each.name: _outlet(each, rates[each.name], total, mouths.get(each.name)) for each in scene.outlets}


def _outlet(outlet: Outlet, rate: float, total: float, mouth: Mouth | None) -> OutletFigures:
    holes = mouth.flows(rate) if isinstance(mouth, SprayBar) and rate > 0 else ()
    return OutletFigures(
        rate, rate / outlet.aperture.area, rate / total if total else 0.0, _losses(mouth, rate), holes, _evenness(holes)
    )


def _evenness(flows: Sequence[float]) -> float | None:
    """Flow of the weakest hole over that of the strongest [-]; None where there are none."""
    return min(flows) / max(flows) if flows else None


def intake_figures(
    scene: Scene, rates: Mapping[str, float], mouths: Mapping[str, Mouth], fouled: Mapping[str, float]
) -> Mapping[str, IntakeFigures]:
    """What every intake draws at the flows into the tank [m³/s], a share of some strainers' slots clogged [-]."""
    return {
        each.name: _intake(each, scene, 0.0 - rates[each.name], mouths.get(each.name), fouled.get(each.name, 0.0))
        for each in scene.intakes
    }


def _intake(intake: Intake, scene: Scene, flow: float, mouth: Mouth | None, fouled: float) -> IntakeFigures:
    skin, open_share = wetted_area(intake, scene.tank.depth), 1.0
    if intake.strainer is not None:
        skin, open_share = intake.strainer.skin, intake.strainer.open_area
    return IntakeFigures(flow, slot_speed(flow, skin, open_share, fouled), flow / skin, _losses(mouth, -flow))


def _losses(mouth: Mouth | None, rate: float) -> Mapping[str, float]:
    """Head lost [m] by part at a flow into the tank [m³/s]; nothing is known of an opening without a pipe."""
    return {} if mouth is None else mouth.losses(rate)
