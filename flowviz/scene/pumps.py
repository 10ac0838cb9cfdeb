"""Pumps, from a scene or from a file of pumps to choose from."""

import csv
from pathlib import Path

from flowviz.errors import InputError
from flowviz.scene.beside import curve
from flowviz.scene.faults import placed, validated
from flowviz.scene.model import Pump
from flowviz.scene.schema.loop import PumpsTable, PumpTable
from flowviz.scene.schema.values import nearest
from flowviz.scene.text import tables_of, text_of
from flowviz.units import System

POINT = ("name", "flow", "head")  # columns of a CSV file that every row fills
ONCE = ("power", "npsh_required", "mounting", "heat_share")  # columns that one row of each pump may fill
NUMBERS = ("heat_share",)


def pump(table: PumpTable, folder: Path, where: str) -> Pump:
    """The record of a pump."""
    points = curve(table, folder, where)
    return Pump(**table.model_dump(exclude={"curve", "curve_file"}), curve=points)


def read_pumps(path: str | Path, system: System = "metric") -> tuple[Pump, ...]:
    """The pumps to choose from in a TOML file of [[pump]] tables, or in a CSV file with a row for each point.

    Raises InputError with the pump, what was found there, and what to write instead in units of the system.
    """
    path = Path(path)
    text = text_of(path)
    raw = _rows(text, path) if path.suffix.casefold() == ".csv" else tables_of(text, path)
    table = validated(PumpsTable, raw, str(path), system)
    found = tuple(pump(each, path.parent, where) for each, where in placed(table.pump, "pump", str(path)))
    if not found:
        raise InputError(f"{path}: pump", "is missing", "Write a [[pump]] for each pump to try")
    _names_differ(found, path)
    return found


def _names_differ(pumps: tuple[Pump, ...], path: Path) -> None:
    for number, (each, where) in enumerate(placed(pumps, "pump", str(path))):
        if each.name in (before.name for before in pumps[:number]):
            raise InputError(f"{where}.name", "stands twice", "Give each pump a name of its own")


def _rows(text: str, path: Path) -> dict:
    """The rows of a CSV file as [[pump]] tables; those of one pump have its name and follow one another."""
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    reader = csv.DictReader(lines, skipinitialspace=True)
    _columns(tuple(reader.fieldnames or ()), path)
    pumps: list[dict] = []
    for number, row in enumerate(reader, start=1):
        cells = {key: (value or "").strip() for key, value in row.items() if key is not None}
        if None in row or not all(cells[key] for key in POINT):
            fault = f"is not {', '.join(reader.fieldnames)}"
            raise InputError(f"{path}, row {number}", fault, "Write as many values as there are columns")
        if not pumps or pumps[-1]["name"] != cells["name"]:
            pumps.append({"name": cells["name"], "curve": []})
        pumps[-1]["curve"].append([cells["flow"], cells["head"]])
        pumps[-1] |= {key: _value(key, cells[key], f"{path}, row {number}") for key in ONCE if cells.get(key)}
    return {"pump": pumps}


def _columns(names: tuple[str, ...], path: Path) -> None:
    for name in POINT:
        if name not in names:
            example = ", ".join((*POINT, "power"))
            remedy = f"Begin the file with: {example}; part columns with commas, and write units in each cell"
            raise InputError(f"{path}, first line", f"has no column {name!r}", remedy)
    for name in names:
        if name not in (*POINT, *ONCE):
            raise InputError(f"{path}, first line", f"no column is called {name!r}", nearest(name, [*POINT, *ONCE]))


def _value(key: str, written: str, where: str) -> str | float:
    if key not in NUMBERS:
        return written
    try:
        return float(written)
    except ValueError as error:
        raise InputError(f"{where}: {key}", f"{written!r} is not a number", "Write a share such as 0.75") from error
