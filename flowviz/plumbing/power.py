"""The pipe that the power of the pumps goes into, told of each circuit by itself."""

from collections.abc import Iterator
from dataclasses import dataclass

from flowviz.plumbing.loop import Circuit, Loop, PumpDuty
from flowviz.plumbing.pipes import pipe_name
from flowviz.scene.model import Caution
from flowviz.units import percent

STARVED = 0.2  # of a pump's open flow, below which it runs hot and wears [-]: common practice, no source
CHOKED = 0.5  # of its pumps' power, above which one pipe takes too much of it [-]: common practice, no source


@dataclass(frozen=True, slots=True)
class Apart:
    """The pumps of a circuit, and where their power goes."""

    pumps: tuple[str, ...]
    power: float  # that they give the water, over the weight of a volume [m⁴/s]
    dearest: str  # name of the pipe that takes most of it
    taken: float  # by that pipe [m⁴/s]


def power_cautions(loop: Loop) -> Iterator[Caution]:
    """Of pumps that are left a trickle, then of pipes that take most of the power without that."""
    found = [_apart(circuit, loop) for circuit in loop.circuits if circuit.pumps]
    for name, duty in loop.pumps.items():
        if is_starved(duty):
            yield _starved(name, duty, next(each for each in found if name in each.pumps))
    for each in found:
        if each.taken > CHOKED * each.power > 0 and not any(is_starved(loop.pumps[name]) for name in each.pumps):
            what = f"{percent(each.taken / each.power)} of the power of {' and '.join(each.pumps)} goes into it"
            why = "The outlets get what is left: widen it, shorten it, or take a smaller pump."
            yield Caution(each.dearest, what, why)


def is_starved(duty: PumpDuty) -> bool:
    """Whether a pump that turns is left a trickle of its open flow."""
    return 0 < duty.surviving_share < STARVED


def _apart(circuit: Circuit, loop: Loop) -> Apart:
    """Where the power of its pumps goes."""
    power = sum(loop.pumps[name].flow * loop.pumps[name].head for name in circuit.pumps)
    dearest = max((loop.pipes[number] for number in circuit.pipes), key=lambda pipe: pipe.flow * pipe.loss)
    return Apart(circuit.pumps, power, pipe_name(dearest), dearest.flow * dearest.loss)


def _starved(name: str, duty: PumpDuty, own: Apart) -> Caution:
    what = f"the loop leaves it a trickle, {percent(duty.surviving_share)} of its open flow"
    share = f"{percent(own.taken / own.power)} of the power goes into {own.dearest}"
    remedy = "widen that, or take a pump for less flow and more head."
    return Caution(f"pump {name}", what, f"It runs hot and wears. {share}: {remedy}")
