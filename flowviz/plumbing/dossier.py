"""Everything about a loop that a maker and a keeper ask, in one record."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from flowviz.plumbing.animals import Peril, perils, reach
from flowviz.plumbing.circuits import circuit_of
from flowviz.plumbing.grade import GradeLine, Loss, Upsize, grade_lines, losses, one_size_larger
from flowviz.plumbing.heat import Heating, heating
from flowviz.plumbing.holes import PanelSheet, cut_out, panel_sheets, spared_over_the_rim, without_size
from flowviz.plumbing.leaks import Leaks, leaks
from flowviz.plumbing.loop import Loop
from flowviz.plumbing.network import unchecked_network
from flowviz.plumbing.parts import Part, parts
from flowviz.plumbing.service import Inspection, PumpService, inspections, pump_services, standing_cautions
from flowviz.plumbing.sizing import StrainerSizes, strainer_sizes
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import AS_BUILT, State
from flowviz.plumbing.strainers import (
    Blocked,
    FoulingPoint,
    Swap,
    against_yardsticks,
    drawing,
    fouling_curve,
    loss_as_bars,
    one_blocked,
    swap,
    tolerated_speed,
)
from flowviz.plumbing.ways import cut_off_pumps
from flowviz.plumbing.yardsticks import Yardstick
from flowviz.scene.model import Caution, Intake, Scene


@dataclass(frozen=True, slots=True)
class StrainerCare:
    """One strainer: what it does to the water, as it fouls, when to swap it, and what size would do."""

    yardsticks: tuple[tuple[Yardstick, float], ...]  # each with the loop's speed over its own [-]
    loss_as_bars: (
        float  # clean, if its slots are gaps between sharp bars [m]; the loop reckons it as a perforated plate
    )
    reach: float  # from its skin to where the water is slower than the slowest animal, or than the rule [m]
    fouling: tuple[FoulingPoint, ...]
    swap: Swap
    sizes: StrainerSizes | None  # that would do in its place; None: none would
    sizes_alone: StrainerSizes | None  # the same with all others of its circuit blocked; None: then a pump runs dry


@dataclass(frozen=True, slots=True)
class Dossier:
    """The loop, and what it asks of pump, builder and keeper."""

    loop: Loop
    losses: tuple[Loss, ...]
    grade_lines: tuple[GradeLine, ...]
    upsizes: tuple[Upsize, ...]
    perils: tuple[Peril, ...]
    strainers: Mapping[str, StrainerCare]  # by intake
    blocked: tuple[Blocked, ...]
    heating: Heating
    parts: tuple[Part, ...]
    sheets: tuple[PanelSheet, ...]
    cut: tuple[str, ...]  # openings cut out of their panel, as weirs are, not drilled
    unsized: tuple[str, ...]  # openings through a panel whose drilled hole the scene does not tell
    spared: int  # holes fewer if all outlets came over the rim
    leaks: Leaks
    services: tuple[PumpService, ...]
    inspections: tuple[Inspection, ...]
    cautions: tuple[Caution, ...]  # that hold for every loop; the loop's own are in it


def dossier(scene: Scene, state: State = AS_BUILT) -> Dossier:
    """Everything about a loop. Where the scene fixes the flows, nothing is known of heads, and those parts are
    empty.
    """
    loop = solve_loop(scene, state)
    piped = bool(scene.pipes)
    strained = [each for each in scene.intakes if piped and each.strainer and each.name in drawing(loop)]
    return Dossier(
        loop=loop,
        losses=losses(loop) if piped else (),
        grade_lines=grade_lines(scene, loop),
        upsizes=one_size_larger(scene, state),
        perils=perils(scene, loop),
        strainers={intake.name: _care(scene, intake, loop, state) for intake in strained},
        blocked=one_blocked(scene, state) if piped else (),
        heating=heating(scene, loop),
        parts=parts(scene),
        sheets=panel_sheets(scene),
        cut=cut_out(scene),
        unsized=without_size(scene),
        spared=spared_over_the_rim(scene),
        leaks=leaks(scene),
        services=pump_services(scene),
        inspections=inspections(scene),
        cautions=standing_cautions(scene),
    )


def _care(scene: Scene, intake: Intake, loop: Loop, state: State) -> StrainerCare:
    _, speed = tolerated_speed(scene)
    return StrainerCare(
        against_yardsticks(loop.intakes[intake.name]),
        loss_as_bars(intake.strainer, loop.intakes[intake.name].flow),
        reach(intake, loop.intakes[intake.name].flow, speed, scene.tank.depth),
        fouling_curve(scene, intake.name, state),
        swap(scene, intake.name, state),
        strainer_sizes(scene, intake.name, state),
        _sizes_alone(scene, intake.name, loop, state),
    )


def _sizes_alone(scene: Scene, intake: str, loop: Loop, state: State) -> StrainerSizes | None:
    """What would do if an intake carried all that its circuit then moves."""
    others = frozenset(drawing(loop)) & frozenset(circuit_of(intake, loop).openings) - {intake}
    alone = replace(state, blocked=state.blocked | others)
    return None if cut_off_pumps(unchecked_network(scene, alone).network) else strainer_sizes(scene, intake, alone)
