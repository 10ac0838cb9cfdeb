"""What each measure is, where it comes from and how far to trust it, from the table beside this file."""

import csv
from importlib.resources import files

from flowviz.assess.bed import REFERENCE
from flowviz.assess.surfaces import LAYER
from flowviz.tables.table import WORD, Table
from flowviz.units import System, shown


def definition_table(system: System) -> Table:
    """A row for each measure, its lengths in the units of a system."""
    lengths = {name: shown(length, "length", system, 2) for name, length in (("bed", REFERENCE), ("surface", LAYER))}
    lines = files("flowviz.tables").joinpath("definitions.csv").read_text(encoding="utf-8").splitlines()
    columns, *rows = csv.reader(lines)
    return Table(
        "What is meant",
        tuple((name, WORD) for name in columns),
        tuple(tuple(cell.format(**lengths) for cell in row) for row in rows),
    )
