"""Outlets and intakes: where they sit on the glass and which way they face."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi, sqrt

import numpy as np

from flowviz.errors import InputError
from flowviz.scene.apertures import Aperture, Bore, Slot
from flowviz.scene.model import Bar, Caution, Intake, Outlet, Strainer, Tank, Vector
from flowviz.scene.panels import (
    SLACK,
    foot_on,
    frame,
    inward,
    lies_on,
    outside,
    overhang,
    panel_names,
    panel_size,
    rise,
)
from flowviz.scene.schema.openings import IntakeTable, OpeningTable, OutletTable
from flowviz.scene.schema.values import nearest
from flowviz.units import System, shown

CONTRACTION = 0.61  # area of the jet out of a sharp hole over the hole's [-]: W. C. Unwin (1911) has 0.64, later 0.61
SHALLOWEST = 0.1  # of a jet out of its panel, as the sine of the angle between them [-]


@dataclass(frozen=True, slots=True)
class Basin:
    """What openings sit in."""

    tank: Tank
    bed: float  # surface of the sand, from the floor [m]
    show: System  # that lengths are told in

    def told(self, length: float) -> str:
        """A length [m] in words."""
        return shown(length, "length", self.show)


@dataclass(frozen=True, slots=True)
class Seat:
    """How an opening sits in the tank."""

    centre: Vector  # [m]
    normal: Vector
    direction: Vector
    aperture: Aperture
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
        fitted=table.fitted,
        nozzle=table.nozzle,
        bar=None if table.bar is None else Bar(**table.bar.model_dump()),
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
        fitted=table.fitted,
        edge=table.edge,
    )


def seat(table: OpeningTable, label: str, basin: Basin, where: str) -> Seat:
    """How an opening sits in the tank.

    label    what it is called in cautions
    where    its place in the file

    Raises InputError for every fault that tank and sand can show.
    """
    tank = basin.tank
    _inside(table, basin, where)
    panel = _panel(table, tank, where)
    on_panel = panel is not None and lies_on(tank, panel, table.at)
    aperture = _aperture(table)
    direction, normal = _facing(table, tank, panel, where)
    if on_panel:
        _fits(table, basin, aperture, where)
    if panel is not None and table.hole is not None:
        _drilled(table, basin, where)
    raised = panel == "floor" and table.at[2] < basin.bed
    centre = (*table.at[:2], basin.bed) if raised else table.at
    if not on_panel:
        _has_room(table, centre, basin, aperture, normal, where)
    half = rise(aperture, normal)
    _wetted(centre[2], half, basin, where)
    cautions = (
        *_place_cautions(table, label, centre[2] + half, basin, raised),
        *_panel_cautions(table, label, tank, panel),
    )
    return Seat(centre, normal, direction, aperture, panel, cautions)


def stays(before: OpeningTable, after: OpeningTable, basin: Basin, where: str) -> None:
    """Refuse a place off the panel that an opening sat on before; one outside the tank is refused as such."""
    if _sits(before, basin) and not _sits(after, basin) and outside(basin.tank, after.at) is None:
        fault = f"lies off the panel {after.panel!r} that it sits on"
        raise InputError(f"{where}.at", fault, "Keep it on that panel")


def _sits(table: OpeningTable, basin: Basin) -> bool:
    """Whether it sits on the panel that it goes through, or in or on the sand over the floor."""
    if table.panel == "floor":
        return table.at[2] <= basin.bed + SLACK
    return table.panel in panel_names(basin.tank) and lies_on(basin.tank, table.panel, table.at)


def _aperture(table: OpeningTable) -> Aperture:
    """What the water leaves or enters by; for a spray bar a slot along it as large as all its jets together, which
    carries their flow and their momentum.
    """
    if table.bore is not None:
        return Bore(table.bore)
    if table.slot is not None:
        return Slot(*table.slot)
    jets = table.bar.holes * CONTRACTION * pi / 4 * table.bar.hole**2
    return Slot(table.bar.length, jets / table.bar.length)


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


def _inside(table: OpeningTable, basin: Basin, where: str) -> None:
    """Refuse a place outside the tank; of a panel what counts is the inside, and its thickness is no part of it."""
    stray = outside(basin.tank, table.at)
    if stray is not None:
        foot = foot_on(basin.tank, table.panel, table.at)
        there = "" if foot is None else f" at {', '.join(map(basin.told, foot))}"
        fault = f"lies {basin.told(stray[0])} {stray[1]}, outside the tank"
        remedy = f"Move it into the water, or onto its panel{there}: lengths count from the inside of the glass"
        raise InputError(f"{where}.at", fault, remedy)


def _facing(table: OpeningTable, tank: Tank, panel: str | None, where: str) -> tuple[Vector, Vector]:
    """Unit vectors of the jet and of the opening's plane, both into the water."""
    on_panel = panel is not None and lies_on(tank, panel, table.at)
    if table.direction is None and not on_panel:
        whose = "it comes over the rim" if panel is None else f"at does not lie on its panel {panel!r}"
        fault = f"is missing, and {whose}, which would give it"
        remedy = "Write where it faces, as direction = [1, 0, 0]"
        onto = "" if panel is None else f", or move at onto the panel {panel!r}"
        raise InputError(f"{where}.direction", fault, f"{remedy}{onto}")
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
    largest = max(map(abs, vector))
    x, y, z = (part / largest for part in vector)  # so that no square is beyond what a float holds
    length = sqrt(x * x + y * y + z * z)
    return (x / length, y / length, z / length)


def _fits(table: OpeningTable, basin: Basin, aperture: Aperture, where: str) -> None:
    key = next(key for key in table.MOUTHS if getattr(table, key) is not None)
    for own, whole in zip(aperture.extent, panel_size(basin.tank, table.panel), strict=True):
        if own > whole + SLACK:
            fault = f"{basin.told(own)} is wider than its panel {table.panel!r}, {basin.told(whole)}"
            raise InputError(f"{where}.{key}", fault, "Write a size that fits the panel")
    beyond = overhang(basin.tank, table.panel, table.at, aperture)
    if beyond > SLACK:
        fault = f"leaves {basin.told(beyond)} of the opening beyond the edge of its panel {table.panel!r}"
        raise InputError(f"{where}.at", fault, "Move it away from the edge, or make it smaller")


def _drilled(table: OpeningTable, basin: Basin, where: str) -> None:
    """Refuse a hole that reaches over its panel's edge; behind an opening off the panel it is straight behind it."""
    off = overhang(basin.tank, table.panel, table.at, Bore(table.hole))
    if off > SLACK:
        fault = f"leaves {basin.told(off)} of the hole beyond the edge of its panel {table.panel!r}"
        raise InputError(f"{where}.hole", fault, "Write what is drilled for the bulkhead, or move it")


def _has_room(
    table: OpeningTable, middle: Vector, basin: Basin, aperture: Aperture, normal: Vector, where: str
) -> None:
    """Refuse an opening on no panel that reaches through one."""
    edge = np.add(middle, aperture.outline() @ np.array(frame(normal)))
    beyond = [stray for point in edge if (stray := outside(basin.tank, tuple(point))) is not None]
    if beyond:
        distance, side = max(beyond)
        fault = f"leaves {basin.told(distance)} of the opening {side}: at is its middle"
        foot = foot_on(basin.tank, table.panel, table.at)
        onto = "" if foot is None else f", move it onto its panel at {', '.join(map(basin.told, foot))}"
        raise InputError(f"{where}.at", fault, f"Move it away from there{onto}, or make it smaller")


def _wetted(height: float, half: float, basin: Basin, where: str) -> None:
    """Refuse an opening that is wholly in the air or in the sand.

    height   of its centre [m]
    half     of the height that it takes up [m]
    """
    above = height - basin.tank.depth
    if above > half - SLACK:
        raise InputError(f"{where}.at", f"lies {basin.told(above)} above the water", "Lower it, or raise the water")
    if height + half < basin.bed:
        fault = f"lies below the sand's surface at {basin.told(basin.bed)}"
        raise InputError(f"{where}.at", fault, "Raise it above the sand")


def _place_cautions(table: OpeningTable, label: str, top: float, basin: Basin, raised: bool) -> Iterator[Caution]:
    if raised:
        what = f"its pipe is taken up through the sand to {basin.told(basin.bed)}"
        yield Caution(label, what, "The sand would bury it. Let the pipe's end stand clear of the sand.")
    if top > basin.tank.depth + SLACK:
        what = f"{basin.told(top - basin.tank.depth)} of it stand above the water"
        yield Caution(label, what, f"{table.HALF_OUT} Lower it if that is not meant.")


def _panel_cautions(table: OpeningTable, label: str, tank: Tank, panel: str | None) -> Iterator[Caution]:
    if panel in tank.panels and tank.panels[panel].tempered:
        what = f"its bulkhead goes through the tempered panel {panel}"
        yield Caution(label, what, "Tempered glass shatters when drilled. Take another panel, or go over the rim.")
    if panel is not None and table.hole is not None and not lies_on(tank, panel, table.at):
        what = f"at does not lie on its panel {panel}, and its hole is drawn straight behind it"
        yield Caution(label, what, "That is true of a straight pipe alone: behind a bend the hole is elsewhere.")
