"""Intakes near the water surface: how much of a mouth is under water, and whether it draws air."""

from collections.abc import Iterator

from flowviz.formulas.intakes import least_submergence, weir_flow
from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Caution, Intake, Scene
from flowviz.scene.panels import rise, skims
from flowviz.units import percent, shown


def wetted_area(intake: Intake, depth: float) -> float:
    """Of an intake's mouth, what lies below the surface of water of a depth [m²]."""
    half = rise(intake.aperture, intake.normal)
    if intake.centre[2] + half <= depth:
        return intake.aperture.area
    up = max((depth - intake.centre[2]) / half, -1.0)
    return intake.aperture.area * intake.aperture.share_below(up)


def air_cautions(scene: Scene, loop: Loop) -> Iterator[Caution]:
    """Intakes that draw air: more than runs over their edge at the surface, or through too little water over them."""
    for intake in scene.intakes:
        flow = loop.intakes[intake.name].flow
        if flow <= 0:
            continue
        if skims(scene.tank, intake):
            yield from _over_the_edge(intake, flow, scene)
        if intake.strainer is None and intake.aperture.round:
            yield from _whirl(intake, flow, scene)


def _over_the_edge(intake: Intake, flow: float, scene: Scene) -> Iterator[Caution]:
    head = scene.tank.depth - intake.centre[2] + rise(intake.aperture, intake.normal)
    most = weir_flow(wetted_area(intake, scene.tank.depth) / head, head)
    if flow > most:
        drawn, water = shown(flow, "flow", scene.show), shown(head, "length", scene.show)
        share = f"{percent(flow / most)} of what" if most else "and nothing"
        what = f"it draws {drawn}, {share} runs over its lower edge under {water} of water"
        why = "The water behind it falls until the pump draws air (J. B. Francis 1855). Make it longer, or lower it."
        yield Caution(f"intake {intake.name}", what, why)


def _whirl(intake: Intake, flow: float, scene: Scene) -> Iterator[Caution]:
    over = scene.tank.depth - intake.centre[2]
    if over < rise(intake.aperture, intake.normal):  # air gets in over its upper edge, whirl or not
        return
    least = least_submergence(intake.aperture.extent[0], flow / intake.aperture.area)
    if over < least:
        has, needs = (shown(water, "length", scene.show, 2) for water in (over, least))
        what = f"{has} of water stand over the middle of its bare mouth; {needs} keep a whirl from drawing air into it"
        why = "That is a rule for pump sumps (ANSI/HI 9.8). Lower it, widen its mouth, or put a basket over it."
        yield Caution(f"intake {intake.name}", what, why)
