"""Strainers of a loop with pumps as they foul: when to swap them, what if one is blocked, what size would do."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from math import log

from scipy.optimize import brentq

from flowviz.formulas.screens import bar_screen
from flowviz.plumbing.animals import Peril, perils
from flowviz.plumbing.circuits import circuit_of, given_by
from flowviz.plumbing.laws import velocity_head
from flowviz.plumbing.loop import IntakeFigures, Loop
from flowviz.plumbing.network import unchecked_network
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import AS_BUILT, State
from flowviz.plumbing.ways import cut_off_pumps
from flowviz.plumbing.yardsticks import THROUGH_SCREEN, YARDSTICKS, Yardstick
from flowviz.scene.model import Scene, Strainer
from flowviz.units import percent

SHARES = tuple(i / 10 for i in range(10))  # of the slots clogged, for a curve
MOST_FOULED = 0.99  # share up to which a strainer is looked at [-]
NEAR = 1e-7  # of the slots: how closely the share is found at which a limit breaks [-]
STILL = 1e-6  # of the speed that is tolerated: water in the slots that is slower, or runs back, is not told apart [-]
DAY_OF_DIRT = 0.01  # share of the slots that clogs within a day; who breaks a limit so soon is too small [-]; a choice
SUCTION, LOOP_FLOW = "suction head of the pump", "flow of the loop"  # limits, beside an animal or the yardstick
KEPT_FLOW = 0.9  # of the clean loop's flow, below which it is to be cleaned [-]: common practice, no source


@dataclass(frozen=True, slots=True)
class FoulingPoint:
    """The loop with a share of one strainer's slots clogged."""

    fouled: float  # share of its slots [-]
    flow: float  # of the intake [m³/s]
    slot_speed: float  # through what is left [m/s]
    strainer_loss: float  # [m]
    total: float  # of all outlets of its circuit [m³/s]
    npsh_margin: float | None  # least of the circuit's pumps [m]; None where none says what it requires


@dataclass(frozen=True, slots=True)
class Swap:
    """When a strainer must be cleaned or swapped."""

    intake: str
    fouled: float  # share of its slots at which a limit breaks [-]; 0: when clean
    limit: str | None  # the one that breaks first; None: none breaks

    @property
    def too_small(self) -> str:
        """For what it is too small: "even when clean" or "for a day of dirt"; empty: it holds for longer."""
        if self.fouled == 0:
            return "even when clean"
        return "for a day of dirt" if self.fouled <= DAY_OF_DIRT else ""


@dataclass(frozen=True, slots=True)
class Blocked:
    """The loop with one intake blocked."""

    intake: str
    stopped: tuple[str, ...]  # pumps that run dry, and are switched off
    loop: Loop | None  # what the other intakes and pumps then do; None where no pump is left
    perils: tuple[Peril, ...] = ()  # the animals before those
    swaps: tuple[Swap, ...] = ()  # when their strainers must be swapped


def fouling_curve(scene: Scene, intake: str, state: State = AS_BUILT) -> tuple[FoulingPoint, ...]:
    """The loop against the fouling of one strainer."""
    return tuple(fouling_point(scene, intake, state, fouled) for fouled in SHARES)


def swap(scene: Scene, intake: str, state: State = AS_BUILT) -> Swap:
    """The fouling of a strainer at which the first of its limits breaks: animals, suction or flow."""
    near = solve_loop(scene, replace(state, fouled={**state.fouled, intake: 0.0}))
    clean = given_by(circuit_of(intake, near), near)

    @cache
    def spare(fouled: float) -> Mapping[str, float]:
        return to_spare(scene, fouling_point(scene, intake, state, fouled, near), clean)

    if (limit := broken(spare(0.0))) is not None:
        return Swap(intake, 0.0, limit)
    if broken(spare(MOST_FOULED)) is None:
        return Swap(intake, MOST_FOULED, None)
    fouled = brentq(lambda share: min(spare(share).values()), 0.0, MOST_FOULED, xtol=NEAR)
    return Swap(intake, fouled, first_to_break(spare(fouled)))


def one_blocked(scene: Scene, state: State = AS_BUILT) -> tuple[Blocked, ...]:
    """Everything again with each intake that draws blocked in turn; nothing where there is only one intake."""
    if len(scene.intakes) < 2:
        return ()
    return tuple(_blocked(scene, name, state) for name in drawing(solve_loop(scene, state)))


def drawing(loop: Loop) -> tuple[str, ...]:
    """Intakes that draw water."""
    return tuple(name for name, figures in loop.intakes.items() if figures.flow > 0)


def against_yardsticks(figures: IntakeFigures) -> tuple[tuple[Yardstick, float], ...]:
    """Each published rule with the intake's speed over the rule's [-]."""
    return tuple(
        (rule, (figures.screen_speed if rule.through_slots else figures.approach_speed) / rule.speed)
        for rule in YARDSTICKS
    )


def loss_as_bars(strainer: Strainer, flow: float) -> float:
    """Head that a clean strainer takes from a flow [m³/s] if its slots are gaps between sharp bars [m]."""
    return bar_screen(strainer.open_area) * velocity_head(flow, strainer.skin)


def tolerated_speed(scene: Scene) -> tuple[str, float]:
    """Whose speed the slots must keep below, and what it is [m/s]: the slowest animal's, or else the yardstick's."""
    if scene.animals:
        slowest = min(scene.animals, key=lambda animal: animal.speed)
        return slowest.name, slowest.speed
    return THROUGH_SCREEN.short, THROUGH_SCREEN.speed


def fouling_point(scene: Scene, intake: str, state: State, fouled: float, near: Loop | None = None) -> FoulingPoint:
    """The loop with a share of one strainer's slots clogged; found sooner from a loop near it."""
    loop = solve_loop(scene, replace(state, fouled={**state.fouled, intake: fouled}), near)
    figures, circuit = loop.intakes[intake], circuit_of(intake, loop)
    margins = [loop.pumps[name].npsh_margin for name in circuit.pumps if loop.pumps[name].npsh_margin is not None]
    loss, total = figures.losses["strainer"], given_by(circuit, loop)
    return FoulingPoint(fouled, figures.flow, figures.screen_speed, loss, total, min(margins, default=None))


def to_spare(scene: Scene, point: FoulingPoint, clean: float) -> Mapping[str, float]:
    """How far each limit of a strainer is from breaking, smoothly [-], of suction [m]; below 0 it is broken.

    clean   what its circuit moves with the strainer clean [m³/s]
    """
    name, speed = tolerated_speed(scene)
    spare = {name: log(speed / max(point.slot_speed, STILL * speed))}
    if point.npsh_margin is not None:
        spare[SUCTION] = point.npsh_margin
    return spare | {LOOP_FLOW: point.total / clean - KEPT_FLOW}


def broken(spare: Mapping[str, float]) -> str | None:
    """The limit that is broken, an animal's before the others; None: none is."""
    return next((limit for limit, left in spare.items() if left < 0), None)


def first_to_break(spare: Mapping[str, float]) -> str:
    """The limit that is nearest to breaking."""
    return min(spare, key=spare.__getitem__)


def broken_words(limit: str, named: str) -> str:
    """What goes wrong at a strainer once a limit is broken, as a clause.

    named   the limit as it stands in a sentence: "the goby"
    """
    if limit == SUCTION:
        return "the pump has no suction to spare"
    if limit == LOOP_FLOW:
        return f"the loop keeps less than {percent(KEPT_FLOW)} of its flow"
    if limit == THROUGH_SCREEN.short:
        return f"water in its slots is faster than {named} allows"
    return f"{named} can be held fast on it"


def with_blocked(scene: Scene, intake: str, state: State = AS_BUILT) -> tuple[tuple[str, ...], State]:
    """The pumps that run dry once an intake is blocked, and how the loop stands with them switched off."""
    blocked = replace(state, blocked=state.blocked | {intake})
    layout = unchecked_network(scene, blocked)
    cut_off, links = cut_off_pumps(layout.network), layout.network.links
    dry = tuple(pump.name for i, pump in enumerate(scene.pumps) if links[layout.pump_link(i)].name in cut_off)
    return dry, replace(blocked, speeds={**state.speeds, **dict.fromkeys(dry, 0.0)})


def left_running(scene: Scene, state: State) -> Loop | None:
    """What a loop does in a state; None where no pump turns."""
    turning = any(state.speeds.get(pump.name, pump.speed) for pump in scene.pumps)
    return solve_loop(scene, state) if turning else None


def _blocked(scene: Scene, intake: str, state: State) -> Blocked:
    stopped, blocked = with_blocked(scene, intake, state)
    loop = left_running(scene, blocked)
    if loop is None:
        return Blocked(intake, stopped, None)
    strained = [each.name for each in scene.intakes if each.strainer is not None and each.name != intake]
    swaps = tuple(swap(scene, name, blocked) for name in strained if loop.intakes[name].flow > 0)
    return Blocked(intake, stopped, loop, perils(scene, loop), swaps)
