"""Pumps, from a scene or from a file of pumps to choose from."""

from pathlib import Path

from flowviz.errors import InputError
from flowviz.scene.beside import curve
from flowviz.scene.columns import columns_in, number_in
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
    table = columns_in(text, str(path), POINT, filled=POINT, optional=ONCE)
    for name in filter(None, table.headings):
        if name not in (*POINT, *ONCE):
            raise InputError(str(path), f"no column is called {name!r}", nearest(name, [*POINT, *ONCE]))
    pumps: list[dict] = []
    for line, row in table.rows:
        if not pumps or pumps[-1]["name"] != row["name"]:
            pumps.append({"name": row["name"], "curve": []})
        pumps[-1]["curve"].append([row["flow"], row["head"]])
        pumps[-1] |= {key: _value(key, row[key], line) for key in ONCE if row.get(key)}
    return {"pump": pumps}


def _value(key: str, written: str, where: str) -> str | float:
    if key not in NUMBERS:
        return written
    try:
        return number_in(written)
    except ValueError as error:
        raise InputError(f"{where}: {key}", f"{written!r} is not a number", "Write a share such as 0.75") from error
