"""The holes that the openings ask of each panel, and how they keep the rules for holes in glass and acrylic."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import atan2, hypot, inf, pi
from typing import Literal

import numpy as np

from flowviz.plumbing.catalogue import rows
from flowviz.scene.model import Intake, Outlet, Panel, Scene, Tank
from flowviz.scene.panels import flat_wall, on_wall, panel_names, panel_size

NO_PROOF = "These rules do not prove that the panel is strong enough; the maker of the tank decides."
NEVER_DRILL = "never drill: tempered"
NOT_DESCRIBED = "pane not described"
NEVER = "A tempered panel cannot be drilled: it shatters."

What = Literal["edge", "between", "corner", "diameter"]


@dataclass(frozen=True, slots=True)
class Rule:
    """A least distance of a hole, or its least diameter."""

    material: str
    what: What  # rim of the hole to the panel's edge, to the next hole's rim, to a corner; or its own diameter
    thicknesses: float  # of the panel [-]
    diameters: float  # of the hole [-]
    source: str

    def least(self, thickness: float, diameter: float) -> float:
        """What the rule asks [m]."""
        return self.thicknesses * thickness + self.diameters * diameter


@dataclass(frozen=True, slots=True)
class Check:
    """One hole against one rule."""

    rule: Rule
    least: float  # what the rule asks [m]
    found: float  # [m]

    @property
    def kept(self) -> bool:
        """Within a micrometre, which no drill keeps."""
        return self.found >= self.least - 1e-6


@dataclass(frozen=True, slots=True)
class Hole:
    """A drilled hole, seen from outside the tank; on the floor seen from above."""

    opening: str
    diameter: float  # [m]
    along: float  # of its centre from the panel's left edge [m]
    up: float  # of its centre from the panel's lower edge [m]; on the floor from the front
    edge: float  # of its rim to the nearest edge [m]
    corner: float  # of its rim to the nearest corner [m]; infinite in a round wall
    between: float  # of its rim to the nearest other hole's [m]; infinite where there is none
    checks: tuple[Check, ...] = ()

    @property
    def hardest_broken(self) -> tuple[Check, ...]:
        """Of what it breaks the rules for, the rule that asks most of each; the softest first."""
        failed = sorted((check for check in self.checks if not check.kept), key=lambda check: check.least)
        return tuple({check.rule.what: check for check in failed}.values())


@dataclass(frozen=True, slots=True)
class PanelSheet:
    """A panel with its holes."""

    panel: str
    described: Panel | None  # material and thickness, where the scene gives them
    width: float  # [m]
    height: float  # [m]
    holes: tuple[Hole, ...]
    removed: float  # share of the panel's area [-]

    @property
    def tempered(self) -> bool:
        """Whether it shatters when it is drilled; one that is not described is not known to."""
        return self.described is not None and self.described.tempered

    @property
    def broken(self) -> tuple[tuple[str, Check], ...]:
        """Opening and check of each rule that is not kept."""
        return tuple((hole.opening, check) for hole in self.holes for check in hole.checks if not check.kept)


def panel_sheets(scene: Scene) -> tuple[PanelSheet, ...]:
    """The panels that are drilled, in the tank's order."""
    sheets = (_sheet(scene, name) for name in panel_names(scene.tank))
    return tuple(sheet for sheet in sheets if sheet.holes)


def without_size(scene: Scene) -> tuple[str, ...]:
    """Openings that are drilled through a panel without a word of how wide."""
    return tuple(each.name for each in scene.openings if _through(each) and not _cut(each) and each.hole is None)


def cut_out(scene: Scene) -> tuple[str, ...]:
    """Openings that are cut out of their panel, as weirs are, for which nothing is drilled."""
    return tuple(each.name for each in scene.openings if _through(each) and _cut(each))


def spared_over_the_rim(scene: Scene) -> int:
    """How many holes fewer there would be if all outlets came over the rim."""
    return holes_drilled(scene.outlets)


def holes_drilled(openings: Sequence[Outlet | Intake]) -> int:
    """How many of them go through a hole in a panel, whether or not the scene tells how wide it is."""
    return sum(_through(each) and not _cut(each) for each in openings)


def hole_rules() -> tuple[Rule, ...]:
    """All rules, from the table beside this file."""
    return tuple(
        Rule(row["material"], row["what"], float(row["thicknesses"]), float(row["diameters"]), row["source"])
        for row in rows("hole_rules.csv")
    )


def _through(opening: Outlet | Intake) -> bool:
    """Whether it goes through a panel, not over the rim."""
    return opening.panel is not None


def _cut(opening: Outlet | Intake) -> bool:
    """Whether it is cut, not drilled, as a weir is: a slot with no hole told, and not that of a spray bar, which
    only stands for its jets.
    """
    slot = not opening.aperture.round and opening.hole is None
    return slot and not (isinstance(opening, Outlet) and opening.bar is not None)


def _sheet(scene: Scene, panel: str) -> PanelSheet:
    tank = scene.tank
    drilled = [opening for opening in scene.openings if opening.panel == panel and opening.hole is not None]
    bare = [_hole(tank, panel, opening) for opening in drilled]
    width, height = _size(tank, panel)
    around = inf if panel == "floor" or flat_wall(tank, panel) else width
    holes = tuple(_checked(_beside(hole, bare, around), tank.panels.get(panel)) for hole in bare)
    area = tank.plan.area if panel == "floor" else width * height
    removed = sum(pi / 4 * hole.diameter**2 for hole in holes) / area
    return PanelSheet(panel, tank.panels.get(panel), width, height, holes, removed)


def _size(tank: Tank, panel: str) -> tuple[float, float]:
    """Of a panel laid flat [m]."""
    if panel == "floor" or flat_wall(tank, panel) is not None:
        return panel_size(tank, panel)
    return pi * tank.plan.size[0], tank.height


def _hole(tank: Tank, panel: str, opening: Outlet | Intake) -> Hole:
    """Straight behind an opening that stands off its panel."""
    x, y, z = opening.centre
    wall = flat_wall(tank, panel)
    if panel == "floor":
        place, edge, corner = (x, y), -_to_walls(tank, x, y), _to_corners(tank, x, y)
    elif wall is None:
        radius = tank.plan.size[0] / 2
        place = ((atan2(y - radius, x - radius) % (2 * pi)) * radius, z)
        edge, corner = min(z, tank.height - z), inf
    else:
        along, _ = on_wall(wall, opening.centre)
        place = (along, z)
        across, upright = min(along, wall.length - along), min(z, tank.height - z)
        edge, corner = min(across, upright), hypot(across, upright)
    half = opening.hole / 2
    return Hole(opening.name, opening.hole, *place, edge - half, corner - half, inf)


def _to_walls(tank: Tank, x: float, y: float) -> float:
    return float(tank.plan.distance(np.array([[x, y]]))[0])


def _to_corners(tank: Tank, x: float, y: float) -> float:
    return min((hypot(x - wall.start[0], y - wall.start[1]) for wall in tank.plan.walls), default=inf)


def _beside(hole: Hole, others: Sequence[Hole], around: float) -> Hole:
    """The hole with its distance to the nearest other one; around a round wall [m], whose ends are one, both ways."""
    gaps = (
        hypot(_shorter(abs(hole.along - other.along), around), hole.up - other.up)
        - (hole.diameter + other.diameter) / 2
        for other in others
        if other is not hole
    )
    return replace(hole, between=min(gaps, default=inf))


def _shorter(along: float, around: float) -> float:
    """The shorter of the two ways along a wall that is so long once around [m]."""
    return min(along, around - along)


def _checked(hole: Hole, panel: Panel | None) -> Hole:
    return hole if panel is None else replace(hole, checks=tuple(_checks(hole, panel)))


def _checks(hole: Hole, panel: Panel) -> Iterator[Check]:
    for rule in hole_rules():
        if rule.material == panel.material:
            yield Check(rule, rule.least(panel.thickness, hole.diameter), getattr(hole, rule.what))
