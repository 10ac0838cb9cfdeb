"""Two layouts side by side, as tables."""

from math import isnan

from flowviz.comparison.compare import Comparison
from flowviz.comparison.differences import Difference
from flowviz.tables.table import FIGURE, WORD, Table
from flowviz.units import System, shown, within


def comparison_tables(comparison: Comparison) -> tuple[Table, ...]:
    """Everything a comparison says in figures."""
    return (difference_table(comparison),)


def difference_table(comparison: Comparison) -> Table:
    """Every figure before and after, and whether the change is more than noise."""
    system = comparison.after.scene.show
    columns = (
        ("", WORD),
        ("", WORD),
        ("before", FIGURE),
        ("after", FIGURE),
        ("change", FIGURE),
        ("verdict", WORD),
    )
    return Table("What differs", columns, tuple(row(each, system) for each in comparison.differences))


def row(difference: Difference, system: System) -> tuple[str, ...]:
    """One figure."""
    pairs = (
        (difference.before, difference.before_half_width),
        (difference.after, difference.after_half_width),
        (difference.change, difference.change_half_width),
    )
    told = (figure(value, width, difference.quantity, system) for value, width in pairs)
    return (difference.subject, difference.label, *told, difference.verdict)


def figure(value: float, width: float, quantity: str | None, system: System) -> str:
    """A figure with the half-width of its interval, if it has one; a dash where it is unknown."""
    if isnan(value):
        return "–"
    if quantity is None or isnan(width) or width == 0:
        return written(value, quantity, system)
    return within(value, width, quantity, system)


def written(value: float, quantity: str | None, system: System) -> str:
    """A figure in the scene's units."""
    return f"{value:g}" if quantity is None else shown(value, quantity, system)
