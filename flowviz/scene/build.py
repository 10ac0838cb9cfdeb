"""From the tables of a scene file to the frozen records of a scene."""

from pathlib import Path

from flowviz.errors import InputError
from flowviz.scene import schema
from flowviz.scene.faults import entry
from flowviz.scene.model import (
    Coral,
    Junction,
    Limits,
    Pipe,
    Pump,
    Rock,
    Sand,
    Scene,
    Tank,
    Water,
)
from flowviz.scene.openings import intake, outlet
from flowviz.scene.tank import tank
from flowviz.shapes.solids import Box, Capsule, Cylinder, Ellipsoid, Solid, turned
from flowviz.shapes.surface import Surface, read_surface


def build(table: schema.SceneTable, path: Path) -> Scene:
    """The scene that a file describes, not yet checked across its tables."""
    basin = tank(table.tank, str(path))
    sand = None if table.sand is None else _sand(table.sand, basin, path)
    outlets, outlet_cautions = _openings(table.outlet, outlet, "outlet", basin, sand, path)
    intakes, intake_cautions = _openings(table.intake, intake, "intake", basin, sand, path)
    return Scene(
        title=table.title,
        show=table.show,
        water=Water(**table.water.model_dump()),
        tank=basin,
        limits=Limits(**table.limits.model_dump()),
        sand=sand,
        rocks=tuple(Rock(rock.name, _solid(rock, number, path)) for number, rock in enumerate(table.rock)),
        corals=tuple(Coral(**coral.model_dump()) for coral in table.coral),
        outlets=outlets,
        intakes=intakes,
        pumps=tuple(Pump(**pump.model_dump()) for pump in table.pump),
        pipes=tuple(Pipe(**pipe.model_dump()) for pipe in table.pipe),
        junctions=tuple(Junction(**junction.model_dump()) for junction in table.junction),
        cautions=(*outlet_cautions, *intake_cautions),
    )


def _sand(table: schema.SandTable, basin: Tank, path: Path) -> Sand:
    if table.depth >= basin.depth:
        raise InputError(f"{path}: sand.depth", "leaves no water above the sand", "Write a depth below tank.depth")
    return Sand(table.depth, table.grain)


def _openings(tables, make, kind: str, basin: Tank, sand: Sand | None, path: Path):
    """Records of one kind of opening, and the cautions that came with them."""
    made = [
        make(table, basin, sand, f"{path}: {entry(kind, number, table.name)}") for number, table in enumerate(tables)
    ]
    return tuple(record for record, _ in made), tuple(caution for _, cautions in made for caution in cautions)


def _solid(table: schema.RockTable, number: int, path: Path) -> Solid:
    match table:
        case schema.BoxTable():
            return turned(Box(table.centre, table.size), table.turn, table.centre)
        case schema.EllipsoidTable():
            return turned(Ellipsoid(table.centre, table.size), table.turn, table.centre)
        case schema.CylinderTable():
            return Cylinder(table.centre, table.diameter, table.height)
        case schema.CapsuleTable():
            middle = tuple((a + b) / 2 for a, b in zip(table.start, table.end, strict=True))
            return turned(Capsule(table.start, table.end, table.diameter), table.turn, middle)
        case schema.MeshTable():
            return _surface(table, f"{path}: {entry('rock', number, table.name)}", path.parent)


def _surface(table: schema.MeshTable, where: str, folder: Path) -> Surface:
    """A mesh from a file beside the scene."""
    mesh = (folder / table.file).resolve()
    if Path(table.file).is_absolute() or not mesh.is_relative_to(folder.resolve()):
        fault = f"{table.file!r} lies outside the folder of the scene"
        raise InputError(
            f"{where}.file", fault, 'Put it beside the scene and write its name alone, as file = "arch.stl"'
        )
    try:
        return read_surface(mesh, table.scale, table.at, table.turn)
    except InputError as error:
        raise InputError(f"{where}.file", f"{table.file!r}: {error.fault}", error.remedy) from error
