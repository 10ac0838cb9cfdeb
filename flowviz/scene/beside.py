"""Files that a scene names: meshes, pump curves and kinds of coral, which lie beside it and nowhere else."""

from collections.abc import Iterator, Mapping
from pathlib import Path

from flowviz.errors import InputError, seen
from flowviz.scene.schema.loop import Curve, PumpTable, check_curve
from flowviz.scene.schema.stock import MeshTable
from flowviz.scene.schema.values import TableError
from flowviz.scene.schema.whole import SceneTable
from flowviz.scene.standards import CoralKind, coral_kinds, kinds_in
from flowviz.shapes.surface import Surface, read_surface
from flowviz.units import QuantityError, to_si

HEADING = "flow,head"
POINT = "Write a flow and a head with their units in each line, as 6 m3/h, 5.6 m, and # before a remark"


def contents(table: SceneTable, folder: Path) -> Mapping[str, bytes]:
    """What is in the files that a scene names, by that name."""
    meshes = [rock.file for rock in table.rock if isinstance(rock, MeshTable)]
    curves = [pump.curve_file for pump in table.pump if pump.curve_file is not None]
    kinds = [] if table.coral_kinds is None else [table.coral_kinds]
    return {name: (folder / name).read_bytes() for name in (*meshes, *curves, *kinds)}


def surface(table: MeshTable, folder: Path, where: str) -> Surface:
    """The mesh of a rock."""
    where = f"{where}.file"
    path = _path(table.file, folder, where)
    try:
        return read_surface(path, table.scale, table.at, table.turn)
    except InputError as error:
        raise InputError(where, f"{table.file!r}: {error.fault}", error.remedy) from error


def curve(table: PumpTable, folder: Path, where: str) -> Curve:
    """The curve of a pump, from the scene or from its CSV file."""
    if table.curve is not None:
        return table.curve
    where = f"{where}.curve_file"
    text = _text(table.curve_file, folder, where)
    try:
        rows = tuple(_points(text, f"{where}: {table.curve_file}"))
        points = tuple(point for point, _ in rows)
        check_curve(points, [written for _, written in rows], "curve_file")
    except TableError as error:
        raise InputError(where, f"{table.curve_file!r} {error.fault}", error.remedy) from error
    return points


def known_kinds(table: SceneTable, path: Path) -> Mapping[str, CoralKind]:
    """The kinds of coral that a scene may name: the shipped ones, and those of its own file, which come first."""
    if table.coral_kinds is None:
        return coral_kinds()
    where = f"{path}: coral_kinds"
    return {**coral_kinds(), **kinds_in(_text(table.coral_kinds, path.parent, where), f"{where}: {table.coral_kinds}")}


def _text(name: str, folder: Path, where: str) -> str:
    """What a text file beside the scene holds."""
    path = _path(name, folder, where)
    if not path.is_file():
        raise InputError(where, f"there is no file {name!r}", "Put it beside the scene or mend the name")
    try:
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(where, f"{name!r} is not UTF-8", "Save it as plain text in UTF-8") from error


def _points(text: str, where: str) -> Iterator[tuple[tuple[float, float], tuple[str, str]]]:
    """Flow [m³/s] and head [m] of each row, and both as written; lines that start with # are remarks, as is the
    heading of the columns.
    """
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip() or line.startswith("#") or line.replace(" ", "").casefold() == HEADING:
            continue
        try:
            flow, head = (cell.strip() for cell in line.split(","))
            yield (to_si(flow, "flow"), to_si(head, "head")), (flow, head)
        except QuantityError as error:
            raise InputError(f"{where}, line {number}", f"{error.where} {error.fault}", POINT) from error
        except ValueError as error:
            fault = f"{seen(line.strip())} is not a flow and a head"
            raise InputError(f"{where}, line {number}", fault, POINT) from error


def _path(name: str, folder: Path, where: str) -> Path:
    """A file beside the scene or below its folder."""
    path = (folder / name).resolve()
    if Path(name).is_absolute() or not path.is_relative_to(folder.resolve()):
        remedy = "Put it beside the scene and write its name without a path"
        raise InputError(where, f"{name!r} lies outside the folder of the scene", remedy)
    return path
