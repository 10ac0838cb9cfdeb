"""What the keeper does with the loop: taking pumps out, and what to look after."""

from collections.abc import Iterator
from dataclasses import dataclass

from flowviz.formulas.pumps import GRAVITY
from flowviz.formulas.water import density
from flowviz.plumbing.catalogue import Role, fitting
from flowviz.plumbing.leaks import pipe_volume
from flowviz.plumbing.pipes import is_reducer, pipe_name
from flowviz.scene.model import Caution, Pipe, Scene
from flowviz.units import shown

ALWAYS = (
    Caution(
        "mains power", "pumps stand beside open water", "Use a residual-current device, and a drip loop in each cord."
    ),
    Caution(
        "service",
        "a pump can start by itself",
        "Unplug or lock it out before hands go into water or a union is opened.",
    ),
    Caution(
        "suction",
        "an intake holds what it draws",
        "Keep hair, hands and animals away; cover it; two intakes are safer.",
    ),
    Caution(
        "trapped pressure",
        "water between shut valves stands under pressure",
        "Open a union slowly, with a tray under it.",
    ),
    Caution(
        "local rules", "codes differ from place to place", "Local codes and licensed trades decide; this is no permit."
    ),
)


@dataclass(frozen=True, slots=True)
class PumpService:
    """How a pump comes out of the loop."""

    pump: str
    missing: tuple[str, ...]  # what it takes to isolate it and lift it out, that is not there
    trapped: float  # water in the pipes beside it, which runs into the drip tray [m³]


@dataclass(frozen=True, slots=True)
class Inspection:
    """A line of the list of what to look after."""

    what: str
    where: str
    load: float | None  # pressure of the tank's water at rest on it [Pa]
    fitted: int | None  # year; None: not told
    advice: str  # common practice, no source


def standing_cautions(scene: Scene) -> tuple[Caution, ...]:
    """What holds for every loop."""
    volume = scene.tank.plan.area * scene.tank.depth
    weight = volume * density(scene.water.temperature, scene.water.salinity)
    full, heavy = shown(volume, "volume", scene.show), shown(weight, "mass", scene.show)
    water = f"the tank's {full} weigh {heavy} with no rock or sand in them"
    why = "Wet floors are slippery, and loads on floors and stands add up; who knows the building decides."
    return (*ALWAYS[:-1], Caution("weight", f"{water}; these and glass add to it", why), ALWAYS[-1])


def pump_services(scene: Scene) -> tuple[PumpService, ...]:
    """How each pump comes out. Valves are taken to stand at the far end of the pipe beside the pump: the safe side."""
    return tuple(_service(scene, pump.name) for pump in scene.pumps)


def inspections(scene: Scene) -> tuple[Inspection, ...]:
    """Bulkheads by load, strainers, pumps, unions and check valves."""
    bulkheads = sorted(_bulkheads(scene), key=lambda line: (-line.load, line.fitted or 0))
    return (*bulkheads, *_strainers(scene), *_pumps(scene), *_fittings(scene))


def has(pipe: Pipe, role: Role) -> bool:
    """Whether a pipe has a fitting that can be shut, taken apart, or lets water through one way only."""
    where = pipe_name(pipe)
    return any(role in fitting(name, where).roles for name in pipe.fittings if not is_reducer(name))


def _service(scene: Scene, pump: str) -> PumpService:
    beside = [i for i, pipe in enumerate(scene.pipes) if pump in (pipe.start, pipe.end)]
    missing = (
        f"a {role} in {pipe_name(scene.pipes[number])}"
        for number in beside
        for role in ("valve", "union")
        if not has(scene.pipes[number], role)
    )
    return PumpService(pump, tuple(missing), pipe_volume(scene, iter(beside)))


def _bulkheads(scene: Scene) -> Iterator[Inspection]:
    weight = GRAVITY * density(scene.water.temperature, scene.water.salinity)
    for opening in scene.openings:
        if opening.panel is not None:
            load = weight * max(0.0, scene.tank.depth - opening.centre[2])
            yield Inspection(
                "bulkhead",
                opening.name,
                load,
                opening.fitted,
                "Feel for drips each month; renew its gasket every few years.",
            )


def _strainers(scene: Scene) -> Iterator[Inspection]:
    for intake in scene.intakes:
        if intake.strainer is not None:
            yield Inspection(
                "strainer",
                intake.name,
                None,
                None,
                "Swap it for a clean spare each week, or sooner if it clogs; keep a spare.",
            )


def _pumps(scene: Scene) -> Iterator[Inspection]:
    for pump in scene.pumps:
        yield Inspection("pump", pump.name, None, None, "Listen and feel each week; renew its seal when it weeps.")


def _fittings(scene: Scene) -> Iterator[Inspection]:
    advice = {
        "union": "Grease and check its ring whenever it is opened.",
        "valve": "Turn it fully each month, or it will not turn when it must.",
        "check": "Open and clean it each half-year; it sticks.",
    }
    for pipe in scene.pipes:
        for role, text in advice.items():
            if has(pipe, role):
                yield Inspection(role if role != "check" else "check valve", pipe_name(pipe), None, None, text)
