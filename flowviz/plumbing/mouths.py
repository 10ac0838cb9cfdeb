"""What an opening costs in head, part by part, both ways.

Each part is a resistance: head lost over flow squared [m/(m³/s)²].
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi

from flowviz.formulas.fittings import (
    FLUSH_ENTRANCE,
    INWARD_ENTRANCE,
    SUBMERGED_EXIT,
    sudden_contraction,
    sudden_expansion,
)
from flowviz.formulas.pumps import GRAVITY
from flowviz.formulas.screens import perforated_plate
from flowviz.plumbing.laws import Quadratic
from flowviz.scene.model import Intake, Outlet, Strainer


@dataclass(frozen=True, slots=True)
class Mouth:
    """Resistances of an opening [m/(m³/s)²] by part, into the tank and out of it."""

    into_tank: Mapping[str, float]
    out_of_tank: Mapping[str, float]

    def law(self) -> Quadratic:
        """The opening as a link whose forward way is into the tank."""
        return Quadratic(sum(self.into_tank.values()), sum(self.out_of_tank.values()))


def resistance(coefficient: float, area: float) -> float:
    """K/(2 g A²) [m/(m³/s)²] of a loss coefficient [-] on the velocity through an area [m²]."""
    return coefficient / (2 * GRAVITY * area**2)


def mouth(opening: Outlet | Intake, pipe_area: float, fouled: float = 0.0) -> Mouth:
    """The resistances of an opening at the end of a pipe of an area [m²], a share of its strainer's slots clogged."""
    area = opening.aperture.area
    small, ratio = min(area, pipe_area), min(area, pipe_area) / max(area, pipe_area)
    widening, narrowing = resistance(sudden_expansion(ratio), small), resistance(sudden_contraction(ratio), small)
    outward, inward = (narrowing, widening) if area < pipe_area else (widening, narrowing)
    screen = _screen(opening, fouled)
    entrance = INWARD_ENTRANCE if opening.panel is None else FLUSH_ENTRANCE
    return Mouth(
        {"change of section": outward, **screen, "exit": resistance(SUBMERGED_EXIT, area)},
        {**screen, "entrance": resistance(entrance, area), "change of section": inward},
    )


def nozzle(throat: float, coefficient: float) -> Quadratic:
    """The law of a nozzle of a throat's diameter [m] and coefficient of discharge [-]: Q = C a √(2 g H), both ways.

    C is 0.97 for a rounded nozzle, 0.82 for a short pipe, 0.61 for a sharp hole: W. C. Unwin, Hydraulics,
    Encyclopaedia Britannica 14 (1911); for a flared slot no value is published, and 0.9 is a guess.
    """
    both = resistance(coefficient**-2, pi / 4 * throat**2)
    return Quadratic(both, both)


def strainer_resistance(strainer: Strainer, fouled: float) -> float:
    """Of a strainer with a share of its slots clogged [m/(m³/s)²]: a perforated plate of its skin's area."""
    return resistance(perforated_plate(strainer.open_area * (1 - fouled)), strainer.skin)


def _screen(opening: Outlet | Intake, fouled: float) -> dict[str, float]:
    if isinstance(opening, Outlet) or opening.strainer is None:
        return {}
    return {"strainer": strainer_resistance(opening.strainer, fouled)}
