"""From the tables of a scene file to the frozen records of a scene."""

from collections.abc import Sequence
from pathlib import Path

from flowviz.errors import InputError
from flowviz.scene.beside import known_kinds, surface
from flowviz.scene.faults import placed
from flowviz.scene.life import animal, coral, measured
from flowviz.scene.model import (
    Heap,
    Junction,
    Limits,
    Pipe,
    Rock,
    Sand,
    Scene,
    Site,
    Tank,
    Water,
)
from flowviz.scene.openings import Basin, Seat, intake, outlet, seat
from flowviz.scene.pumps import pump
from flowviz.scene.schema.openings import OpeningTable
from flowviz.scene.schema.stock import BoxTable, CapsuleTable, CylinderTable, EllipsoidTable, MeshTable, RockTable
from flowviz.scene.schema.tank import SandTable
from flowviz.scene.schema.whole import SceneTable
from flowviz.scene.tank import tank
from flowviz.shapes.solids import Box, Capsule, Cylinder, Ellipsoid, Solid, turned
from flowviz.units import System, shown


def build(table: SceneTable, path: Path) -> Scene:
    """The scene that a file describes, not yet checked across its tables."""
    basin = basin_of(table, path)
    outlet_seats = _seats(table.outlet, "outlet", basin, path)
    intake_seats = _seats(table.intake, "intake", basin, path)
    rocks = placed(table.rock, "rock", str(path))
    kinds = known_kinds(table, path)
    pumps = placed(table.pump, "pump", str(path))
    return Scene(
        title=table.title,
        show=table.show,
        water=Water(**table.water.model_dump()),
        tank=basin.tank,
        limits=Limits(**table.limits.model_dump()),
        site=Site(**table.site.model_dump()),
        sand=None if table.sand is None else Sand(**table.sand.model_dump()),
        rocks=tuple(Rock(rock.name, _solid(rock, path.parent, where), _heap(rock)) for rock, where in rocks),
        corals=tuple(coral(*pair, kinds) for pair in placed(table.coral, "coral", str(path))),
        outlets=tuple(outlet(*pair) for pair in zip(table.outlet, outlet_seats, strict=True)),
        intakes=tuple(intake(*pair) for pair in zip(table.intake, intake_seats, strict=True)),
        pumps=tuple(pump(each, path.parent, where) for each, where in pumps),
        pipes=tuple(Pipe(**pipe.model_dump()) for pipe in table.pipe),
        junctions=tuple(Junction(**junction.model_dump()) for junction in table.junction),
        animals=tuple(animal(each) for each in table.animal),
        measured=tuple(measured(each, number) for number, each in enumerate(table.measured, start=1)),
        cautions=tuple(caution for seat in (*outlet_seats, *intake_seats) for caution in seat.cautions),
    )


def basin_of(table: SceneTable, path: Path) -> Basin:
    """What the openings of a file sit in."""
    glass = tank(table.tank, str(path))
    if table.sand is not None:
        _bed_in_water(table.sand, glass, path, table.show)
    return Basin(glass, table.sand.depth if table.sand else 0.0, table.show)


def _bed_in_water(table: SandTable, glass: Tank, path: Path, show: System) -> None:
    if table.depth >= glass.depth:
        sand, water = (shown(depth, "length", show) for depth in (table.depth, glass.depth))
        fault = f"{sand} of sand leave no water where it is {water} deep"
        raise InputError(f"{path}: sand.depth", fault, "Write a depth below tank.depth")


def _seats(tables: Sequence[OpeningTable], kind: str, basin: Basin, path: Path) -> list[Seat]:
    """How openings of one kind sit in the tank."""
    openings = placed(tables, kind, str(path))
    return [seat(opening, f"{kind} {opening.name}", basin, where) for opening, where in openings]


def _heap(table: RockTable) -> Heap | None:
    return None if table.open is None else Heap(table.open, table.stone)


def _solid(table: RockTable, folder: Path, where: str) -> Solid:
    match table:
        case BoxTable():
            return turned(Box(table.centre, table.size), table.turn, table.centre)
        case EllipsoidTable():
            return turned(Ellipsoid(table.centre, table.size), table.turn, table.centre)
        case CylinderTable():
            return Cylinder(table.centre, table.diameter, table.height)
        case CapsuleTable():
            middle = tuple((a + b) / 2 for a, b in zip(table.start, table.end, strict=True))
            return turned(Capsule(table.start, table.end, table.diameter), table.turn, middle)
        case MeshTable():
            return surface(table, folder, where)
