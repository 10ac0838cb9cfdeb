"""Outlets and intakes: where they sit on the glass and which way they face."""

from dataclasses import dataclass
from math import sqrt

from flowviz.errors import InputError
from flowviz.scene.model import Bore, Caution, Intake, Outlet, Sand, Slot, Strainer, Tank, Vector
from flowviz.scene.panels import SLACK, extent, inward, lies_on, outside, overhang, panel_names, panel_size, rise
from flowviz.scene.schema.openings import IntakeTable, OpeningTable, OutletTable
from flowviz.scene.schema.values import nearest

SHALLOWEST = 0.1  # of a jet out of its panel, as the sine of the angle between them [-]


@dataclass(frozen=True, slots=True)
class Seat:
    """How an opening sits in the tank."""

    centre: Vector  # [m]
    normal: Vector
    direction: Vector
    aperture: Bore | Slot
    panel: str | None  # None: over the rim
    cautions: tuple[Caution, ...]


def outlet(table: OutletTable, seat: Seat) -> Outlet:
    """The record of an outlet."""
    return Outlet(
        name=table.name,
        centre=seat.centre,
        direction=seat.direction,
        normal=seat.normal,
        aperture=seat.aperture,
        panel=seat.panel,
        hole=table.hole,
        flow=table.flow,
    )


def intake(table: IntakeTable, seat: Seat) -> Intake:
    """The record of an intake."""
    return Intake(
        name=table.name,
        centre=seat.centre,
        normal=seat.normal,
        aperture=seat.aperture,
        panel=seat.panel,
        hole=table.hole,
        flow=table.flow,
        strainer=None if table.strainer is None else Strainer(**table.strainer.model_dump()),
    )


def seat(table: OpeningTable, label: str, tank: Tank, sand: Sand | None, where: str) -> Seat:
    """How an opening sits in the tank.

    label    what it is called in cautions
    where    its place in the file

    Raises InputError for every fault that tank and sand can show.
    """
    panel = _panel(table, tank, where)
    bed = sand.depth if sand else 0.0
    _inside(table.at, tank, where)
    on_panel = panel is not None and lies_on(tank, panel, table.at)
    buried = panel == "floor" and table.at[2] < bed
    centre = (*table.at[:2], bed) if buried else table.at
    aperture = Bore(table.bore) if table.bore is not None else Slot(*table.slot)
    direction, normal = _facing(table, tank, on_panel, where)
    if on_panel:
        _fits(table, tank, aperture, where)
    _wetted(centre, rise(aperture, normal), tank, bed, where)
    cautions = _cautions(label, centre, rise(aperture, normal), tank, panel, bed if buried else None)
    return Seat(centre, normal, direction, aperture, panel, cautions)


def _panel(table: OpeningTable, tank: Tank, where: str) -> str | None:
    """The panel that an opening goes through; None where it comes over the rim."""
    if table.panel == "rim":
        return None
    names = panel_names(tank)
    if table.panel not in names:
        raise InputError(f"{where}.panel", f"no panel is called {table.panel!r}", nearest(table.panel, [*names, "rim"]))
    if lies_on(tank, table.panel, table.at):
        return table.panel
    other = next((name for name in names if lies_on(tank, name, table.at)), None)
    if other is not None:
        fault = f"lies on the panel {other!r}, and not on {table.panel!r} that its bulkhead goes through"
        raise InputError(f"{where}.at", fault, f"Mend at, or write panel = '{other}'")
    return table.panel


def _inside(point: Vector, tank: Tank, where: str) -> None:
    stray = outside(tank, point)
    if stray is not None:
        raise InputError(f"{where}.at", f"lies {stray}, outside the tank", "Move it onto its panel or into the water")


def _facing(table: OpeningTable, tank: Tank, on_panel: bool, where: str) -> tuple[Vector, Vector]:
    """Unit vectors of the jet and of the opening's plane, both into the water."""
    if table.direction is None and not on_panel:
        fault = "is missing, and the opening does not lie on its panel, which would give it"
        raise InputError(f"{where}.direction", fault, "Write where it faces, as direction = [1, 0, 0]")
    if not on_panel:
        direction = _unit(table.direction)
        return direction, direction
    normal = inward(tank, table.panel, table.at)
    direction = normal if table.direction is None else _unit(table.direction)
    if sum(a * b for a, b in zip(direction, normal, strict=True)) < SHALLOWEST:
        x, y, z = (round(part, 3) + 0.0 for part in normal)
        fault = f"points into or along its own panel {table.panel!r}"
        raise InputError(
            f"{where}.direction", fault, f"Turn it into the water, which lies towards [{x:g}, {y:g}, {z:g}]"
        )
    return direction, normal


def _unit(vector: Vector) -> Vector:
    x, y, z = vector
    length = sqrt(x * x + y * y + z * z)
    return (x / length, y / length, z / length)


def _fits(table: OpeningTable, tank: Tank, aperture: Bore | Slot, where: str) -> None:
    key = "bore" if table.slot is None else "slot"
    for own, whole in zip(extent(aperture), panel_size(tank, table.panel), strict=True):
        if own > whole + SLACK:
            fault = f"{1000 * own:.0f} mm is wider than its panel {table.panel!r}, {1000 * whole:.0f} mm"
            raise InputError(f"{where}.{key}", fault, "Write a size that fits the panel")
    beyond = overhang(tank, table.panel, table.at, aperture)
    if beyond > SLACK:
        fault = f"leaves {1000 * beyond:.0f} mm of the opening beyond the edge of its panel {table.panel!r}"
        raise InputError(f"{where}.at", fault, "Move it away from the edge, or make it smaller")


def _wetted(centre: Vector, half: float, tank: Tank, bed: float, where: str) -> None:
    if centre[2] - half >= tank.depth:
        fault = f"lies {1000 * (centre[2] - half - tank.depth):.0f} mm above the water"
        raise InputError(f"{where}.at", fault, "Lower it below the surface, or raise the water")
    if centre[2] + half < bed:
        raise InputError(
            f"{where}.at", f"lies below the sand's surface at {1000 * bed:.0f} mm", "Raise it above the sand"
        )


def _cautions(
    label: str, centre: Vector, half: float, tank: Tank, panel: str | None, raised_to: float | None
) -> tuple[Caution, ...]:
    found = []
    if raised_to is not None:
        what = f"its pipe is taken up through the sand to {1000 * raised_to:.0f} mm"
        found.append(
            Caution(label, what, "An opening under the sand would be buried; plan the pipe's end to stand clear of it.")
        )
    if centre[2] + half > tank.depth:
        what = f"{1000 * (centre[2] + half - tank.depth):.0f} mm of it stand above the water"
        found.append(
            Caution(
                label,
                what,
                "It draws or blows air, and only its wetted part carries water. Lower it or raise the water.",
            )
        )
    if panel in tank.panels and tank.panels[panel].tempered:
        what = f"its bulkhead goes through the tempered panel {panel}"
        found.append(
            Caution(label, what, "Tempered glass shatters when it is drilled. Take another panel or go over the rim.")
        )
    return tuple(found)
