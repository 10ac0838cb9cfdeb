"""Any number of pumps set on one loop: what each would do there, cost, and bear."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from flowviz.errors import InputError
from flowviz.plumbing.catalogue import fitting
from flowviz.plumbing.circuits import circuit_of, given_by
from flowviz.plumbing.energy import cost_of_a_year
from flowviz.plumbing.laws import PumpLaw
from flowviz.plumbing.loop import Loop, PumpDuty
from flowviz.plumbing.pipes import inside_diameter, pipe_name
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.state import AS_BUILT, State
from flowviz.plumbing.valves import closing_loss
from flowviz.scene.model import Caution, Pipe, Pump, Scene

HALF_FOULED = 0.5  # share of all strainers' slots clogged, for the sensitivity to fouling [-]
HALF_SHUT = 0.5  # opening of a ball valve, for the sensitivity to throttling [-]
SPEEDS = tuple(i / 10 for i in range(1, 16))  # of a pump, by which the loop's own curve is felt out [-]
CURVE_POINTS = 60

Point = tuple[float, float]  # flow [m³/s], head [m]


@dataclass(frozen=True, slots=True)
class Choice:
    """One pump on the loop."""

    pump: str
    duty: PumpDuty
    rates: Mapping[str, float]  # opening to flow into the tank [m³/s]
    cost: float | None  # of its power over a year, in the money of the price; None where power or price is not known
    along_curve: float  # place of the duty between the first and the last flow of its curve [-]; beyond 0 and 1: off it
    kept_fouled: float  # share of its circuit's flow that is left with half of all strainers' slots clogged [-]
    kept_throttled: float  # and with a ball valve half shut in each of its delivery pipes [-]
    curve: tuple[Point, ...]  # of the pump at its speed
    described: Pump  # as its data tell
    cautions: tuple[Caution, ...]  # of this pump on this loop


def try_pumps(scene: Scene, place: str, candidates: Sequence[Pump], state: State = AS_BUILT) -> tuple[Choice, ...]:
    """What each candidate would do in the place of a pump of the scene."""
    return tuple(_try(_with(scene, place, pump), place, pump, state) for pump in candidates)


def present(scene: Scene, place: str, state: State = AS_BUILT) -> Choice:
    """The pump that the scene has there now, as one of those that are tried."""
    _known(scene, place)
    return _try(scene, place, next(own for own in scene.pumps if own.name == place), state)


def curve_through(scene: Scene, place: str, tried: Sequence[Choice], state: State = AS_BUILT) -> tuple[Point, ...]:
    """The head that the loop asks of a pump, by the flow through it, as far as any of those that were tried works.

    They all work on it; it is felt out by the one that gives most.
    """
    most = max(tried, key=lambda each: each.duty.flow)
    felt = system_curve(_with(scene, place, most.described), place, state)
    return tuple(sorted({*felt, *((each.duty.flow, each.duty.head) for each in tried)}))


def system_curve(scene: Scene, place: str, state: State = AS_BUILT) -> tuple[Point, ...]:
    """The head that the loop asks of a pump, by the flow through it, the other pumps running as they do.

    Each point is where the pump would work at some share of its speed, so all lie on the loop's curve.
    """
    _known(scene, place)
    loops = (solve_loop(scene, replace(state, speeds={**state.speeds, place: speed})) for speed in SPEEDS)
    return tuple((loop.pumps[place].flow, loop.pumps[place].head) for loop in loops)


def pump_curve(pump: Pump) -> tuple[Point, ...]:
    """Points of a pump's curve at its speed, close enough to draw."""
    law = PumpLaw(pump.curve, pump.speed)
    first, last = law.flows[0] * pump.speed, law.flows[-1] * pump.speed
    flows = (first + (last - first) * i / CURVE_POINTS for i in range(CURVE_POINTS + 1))
    return tuple((flow, law.head(flow)[0]) for flow in flows)


def _with(scene: Scene, place: str, pump: Pump) -> Scene:
    """The scene with another pump in the place of one of its own."""
    _known(scene, place)
    pumps = tuple(replace(pump, name=place) if own.name == place else own for own in scene.pumps)
    return replace(scene, pumps=pumps)


def _known(scene: Scene, place: str) -> None:
    names = [own.name for own in scene.pumps]
    if place not in names:
        raise InputError("pump", f'no pump is called "{place}"', f"Write one of {', '.join(names)}")


def _try(scene: Scene, place: str, pump: Pump, state: State) -> Choice:
    loop = solve_loop(scene, state)
    duty = loop.pumps[place]
    fouled = {intake.name: HALF_FOULED for intake in scene.intakes if intake.strainer is not None}
    throttled = {i: _half_shut(pipe) for i, pipe in enumerate(scene.pipes) if pipe.start == place}
    return Choice(
        pump.name,
        duty,
        loop.rates,
        None if duty.power is None else cost_of_a_year(duty.power, scene.site.price),
        (duty.flow - duty.first_flow) / (duty.last_flow - duty.first_flow),
        _kept(place, loop, solve_loop(scene, replace(state, fouled={**fouled, **state.fouled}))),
        _kept(place, loop, solve_loop(scene, replace(state, throttled={**state.throttled, **throttled}))),
        pump_curve(pump),
        pump,
        tuple(each for each in loop.cautions if each.where == f"pump {place}"),
    )


def _half_shut(pipe: Pipe) -> float:
    """What a ball valve that is half shut costs in a pipe, beyond an open one [-]."""
    where = pipe_name(pipe)
    return closing_loss(fitting("ball valve", where), HALF_SHUT, inside_diameter(pipe), where)


def _kept(place: str, before: Loop, after: Loop) -> float:
    """Share of the flow of a pump's circuit that is left [-]; of none, none."""
    then, now = (given_by(circuit_of(place, loop), loop) for loop in (before, after))
    return now / then if then else 0.0
