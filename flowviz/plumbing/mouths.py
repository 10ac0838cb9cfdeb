"""What an opening costs in head, part by part, both ways."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

from flowviz.formulas.fittings import (
    FLUSH_ENTRANCE,
    INWARD_ENTRANCE,
    SUBMERGED_EXIT,
    rounded_entrance,
    sudden_contraction,
    sudden_expansion,
)
from flowviz.formulas.pumps import GRAVITY
from flowviz.formulas.screens import perforated_plate
from flowviz.plumbing.bars import SprayBar
from flowviz.plumbing.laws import Law, Quadratic
from flowviz.plumbing.surface import wetted_area
from flowviz.scene.apertures import Aperture
from flowviz.scene.model import Intake, Outlet, Strainer


class Mouth(Protocol):
    """An opening of the loop into the tank."""

    def law(self) -> Law:
        """The opening as a link whose forward way is into the tank."""

    def losses(self, rate: float) -> Mapping[str, float]:
        """Head lost [m] by part at a flow into the tank [m³/s]."""


@dataclass(frozen=True, slots=True)
class Basin:
    """The water that openings lie in."""

    depth: float  # [m]
    viscosity: float  # kinematic [m²/s]


@dataclass(frozen=True, slots=True)
class Parts:
    """An opening by the resistances of its parts, into the tank and out of it: head lost over flow squared
    [m/(m³/s)²].
    """

    into_tank: Mapping[str, float]
    out_of_tank: Mapping[str, float]

    def law(self) -> Quadratic:
        """The opening as a link whose forward way is into the tank."""
        return Quadratic(sum(self.into_tank.values()), sum(self.out_of_tank.values()))

    def losses(self, rate: float) -> Mapping[str, float]:
        """Head lost [m] by part at a flow into the tank [m³/s]."""
        parts = self.into_tank if rate >= 0 else self.out_of_tank
        return {part: resistance * rate**2 for part, resistance in parts.items()}


def resistance(coefficient: float, area: float) -> float:
    """K/(2 g A²) [m/(m³/s)²] of a loss coefficient [-] on the velocity through an area [m²]."""
    return coefficient / (2 * GRAVITY * area**2)


def mouth(opening: Outlet | Intake, pipe_area: float, water: Basin, fouled: float) -> Mouth:
    """An opening at the end of a pipe of an area [m²], a share of its strainer's slots clogged."""
    if isinstance(opening, Outlet) and opening.bar is not None:
        bar = opening.bar
        return SprayBar(bar.inside, bar.length, bar.holes, bar.hole, water.viscosity)
    if isinstance(opening, Outlet) and opening.nozzle is not None:
        return nozzle(opening.aperture.area, opening.nozzle)
    wet = wetted_area(opening, water.depth) if isinstance(opening, Intake) else opening.aperture.area
    return _open_end(opening, wet, pipe_area, fouled)


def _open_end(opening: Outlet | Intake, area: float, pipe_area: float, fouled: float) -> Parts:
    small, ratio = min(area, pipe_area), min(area, pipe_area) / max(area, pipe_area)
    widening, narrowing = resistance(sudden_expansion(ratio), small), resistance(sudden_contraction(ratio), small)
    outward, inward = (narrowing, widening) if area < pipe_area else (widening, narrowing)
    screen = _screen(opening, fouled)
    entrance = _entrance(opening)
    return Parts(
        {"change of section": outward, **screen, "exit": resistance(SUBMERGED_EXIT, area)},
        {**screen, "entrance": resistance(entrance, area), "change of section": inward},
    )


def nozzle(area: float, coefficient: float) -> Parts:
    """A nozzle of a throat's area [m²] and a coefficient of discharge [-]: Q = C a √(2 g H), both ways.

    C is 0.97 for a rounded nozzle, 0.82 for a short pipe, 0.61 for a sharp hole: W. C. Unwin, Hydraulics,
    Encyclopaedia Britannica 14 (1911); for a flared slot no value is published, and 0.9 is a guess.
    """
    both = {"nozzle": resistance(coefficient**-2, area)}
    return Parts(both, both)


def strainer_resistance(strainer: Strainer, fouled: float) -> float:
    """Of a strainer with a share of its slots clogged [m/(m³/s)²]: a perforated plate of its skin's area."""
    return resistance(perforated_plate(strainer.open_area * (1 - fouled)), strainer.skin)


def _entrance(opening: Outlet | Intake) -> float:
    """Loss coefficient of the edge by which water leaves the tank [-]."""
    if isinstance(opening, Intake) and opening.edge:
        return rounded_entrance(opening.edge / narrowest(opening.aperture))
    return INWARD_ENTRANCE if opening.panel is None else FLUSH_ENTRANCE


def narrowest(aperture: Aperture) -> float:
    """The narrowest way through an opening [m]."""
    return min(aperture.extent)


def jet_reynolds(outlet: Outlet, rate: float, viscosity: float) -> float:
    """Reynolds number of what an outlet gives [-], on its speed and its narrower width; of a bar, on its holes'.

    rate        into the tank [m³/s]
    viscosity   kinematic [m²/s]
    """
    width = narrowest(outlet.aperture) if outlet.bar is None else outlet.bar.hole
    return rate / outlet.aperture.area * width / viscosity


def _screen(opening: Outlet | Intake, fouled: float) -> dict[str, float]:
    if isinstance(opening, Outlet) or opening.strainer is None:
        return {}
    return {"strainer": strainer_resistance(opening.strainer, fouled)}
