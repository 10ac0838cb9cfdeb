"""A pipe of the scene as its size, its fittings and its law of loss."""

from collections.abc import Mapping
from math import inf, pi
from typing import NamedTuple

from flowviz.errors import InputError
from flowviz.formulas.fittings import sudden_contraction, sudden_expansion
from flowviz.plumbing.catalogue import fitting, pipe_size, plain
from flowviz.plumbing.laws import Law, OneWay, PipeLaw, Shut
from flowviz.plumbing.loop import PipeFlow
from flowviz.plumbing.valves import closing_loss
from flowviz.scene.model import Pipe

PLASTIC_ROUGHNESS = 1.5e-6  # new plastic pipe and hose [m]: EPANET 2 Users Manual (2000) Table 3.2
BY_HAND = "by hand"  # what a loss coefficient that the scene gives is told as
REDUCER = "reducer"
BEFORE, AFTER = f"{REDUCER} from ", f"{REDUCER} to "  # and a pipe size


class BothWays(NamedTuple):
    """A loss coefficient [-] on the pipe's velocity for flow from start to end, and back."""

    forward: float
    backward: float


def pipe_name(pipe: Pipe | PipeFlow) -> str:
    """A pipe as messages call it."""
    return f'pipe "{pipe.start}" to "{pipe.end}"'


def inside_diameter(pipe: Pipe) -> float:
    """Of a pipe, given or by its trade size [m]."""
    return pipe.inside if pipe.size is None else pipe_size(pipe.size, pipe_name(pipe)).inside


def pipe_area(pipe: Pipe) -> float:
    """Of the inside of a pipe [m²]."""
    return pi / 4 * inside_diameter(pipe) ** 2


def joint_area(pipe: Pipe, end: str) -> float | None:
    """Area of what a reducer at the start (BEFORE) or the end (AFTER) of a pipe joins it to [m²]; None without one."""
    sizes = (plain(name).removeprefix(end) for name in pipe.fittings if plain(name).startswith(end))
    return next((pi / 4 * pipe_size(size, pipe_name(pipe)).inside ** 2 for size in sizes), None)


def fitting_losses(pipe: Pipe, openings: Mapping[str, float]) -> Mapping[str, BothWays]:
    """What all fittings of one name together cost, by that name; one valve of each name open by a share [-]."""
    where, diameter = pipe_name(pipe), inside_diameter(pipe)
    losses = {name: _loss(name, count, diameter, where) for name, count in pipe.fittings.items()}
    for name, opening in openings.items():
        if name not in losses:
            raise InputError(where, f'has no "{name}" to open or shut', f"Write one of {', '.join(losses)}")
        closing = closing_loss(fitting(name, where), opening, diameter, where)
        losses[name] = BothWays(*(loss + closing for loss in losses[name]))
    if pipe.loss:
        losses[BY_HAND] = BothWays(pipe.loss, pipe.loss)
    return losses


def is_check(name: str, pipe: Pipe) -> bool:
    """Whether a fitting of a pipe lets water through from its start to its end only."""
    return not is_reducer(name) and "check" in fitting(name, pipe_name(pipe)).roles


def straight_law(pipe: Pipe, viscosity: float, losses: Mapping[str, BothWays], throttled: float) -> PipeLaw:
    """Friction and fittings of a pipe that is throttled by a further loss coefficient [-], as if no fitting shut it."""
    forward = throttled + sum(way.forward for way in losses.values())
    backward = throttled + sum(way.backward for way in losses.values())
    return PipeLaw(inside_diameter(pipe), pipe.length, PLASTIC_ROUGHNESS, viscosity, forward, backward)


def whole_law(pipe: Pipe, law: PipeLaw) -> Law:
    """The law of a pipe with what its valves and check valves shut."""
    if law.forward == inf:
        return Shut()
    return OneWay(law) if any(is_check(name, pipe) for name in pipe.fittings) else law


def _loss(name: str, count: int, diameter: float, where: str) -> BothWays:
    if is_reducer(name):
        return _reducer(plain(name), diameter, where)
    loss = count * fitting(name, where).loss(diameter)
    return BothWays(loss, loss)


def is_reducer(name: str) -> bool:
    """Whether a fitting joins a pipe to one of another size, which its name tells."""
    return plain(name).startswith(REDUCER)


def _reducer(name: str, diameter: float, where: str) -> BothWays:
    """The change of section between this pipe and that of another size, as sudden as a bushing makes it."""
    if not name.startswith((BEFORE, AFTER)):
        remedy = 'Write the other size too, as "reducer to 2 in sch 40", or "reducer from" one that comes before'
        raise InputError(where, f'"{name}" does not say of what sizes', remedy)
    start = name.startswith(BEFORE)
    other = pipe_size(name.removeprefix(BEFORE).removeprefix(AFTER), where).inside
    ratio = (min(other, diameter) / max(other, diameter)) ** 2
    own = max(1.0, (diameter / other) ** 4)  # from the velocity in the small pipe to that in this one
    narrowing, widening = own * sudden_contraction(ratio), own * sudden_expansion(ratio)
    return BothWays(narrowing, widening) if (other > diameter) == start else BothWays(widening, narrowing)
