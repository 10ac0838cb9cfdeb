"""The colour bar of the view that can be turned, as the page sets it."""

from dataclasses import dataclass

from flowviz.draw.sheets.bar import ticks
from flowviz.draw.sheets.theme import SPEEDS, speed_scale
from flowviz.scene.model import Scene
from flowviz.units import display_unit

STOPS = 16  # colours that the gradient goes through


@dataclass(frozen=True, slots=True)
class Tick:
    """A figured speed."""

    at: float  # along the bar [%]
    words: str
    limit: bool  # whether it is a limit of the scene


@dataclass(frozen=True, slots=True)
class Bar:
    """Speed to colour, from left to right."""

    colours: tuple[str, ...]
    dead: float  # where dead water ends [%]
    over: float  # where too-strong water begins [%]
    ticks: tuple[Tick, ...]
    unit: str


def bar(scene: Scene) -> Bar:
    """The bar of a scene's pictures."""
    limits, scale = scene.limits, speed_scale(scene.limits)
    unit, per_si = display_unit("speed", scene.show)
    shades = (SPEEDS(n / (STOPS - 1)) for n in range(STOPS))
    figured = (
        Tick(100 * float(scale(speed)), f"{speed * per_si:.3g}", speed in (limits.dead, limits.over))
        for speed in ticks(limits, per_si, scale)
    )
    return Bar(
        tuple("#" + "".join(f"{round(255 * part):02x}" for part in shade[:3]) for shade in shades),
        100 * float(scale(limits.dead)),
        100 * float(scale(limits.over)),
        tuple(figured),
        unit,
    )
