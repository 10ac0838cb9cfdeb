"""What each measure is, where it comes from and how far to trust it, from the table beside this file."""

import csv
from importlib.resources import files

from flowviz.tables.table import WORD, Table


def definition_table() -> Table:
    """A row for each measure."""
    lines = files("flowviz.tables").joinpath("definitions.csv").read_text(encoding="utf-8").splitlines()
    columns, *rows = csv.reader(lines)
    return Table("What is meant", tuple((name, WORD) for name in columns), tuple(tuple(row) for row in rows))
