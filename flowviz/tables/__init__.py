"""A study as tables of words and figures in the scene's own units, for whoever sets them: terminal, page, report."""

from flowviz.tables.bill import bill_tables
from flowviz.tables.choice import choice_tables
from flowviz.tables.comparison import comparison_tables
from flowviz.tables.cycle import phase_loop_tables
from flowviz.tables.definitions import definition_table
from flowviz.tables.dossier import dossier_tables
from flowviz.tables.loop import loop_tables
from flowviz.tables.study import study_tables
from flowviz.tables.table import Table

__all__ = [
    "Table",
    "bill_tables",
    "choice_tables",
    "comparison_tables",
    "definition_table",
    "dossier_tables",
    "loop_tables",
    "phase_loop_tables",
    "study_tables",
]
