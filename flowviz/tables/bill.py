"""What the parts of a loop cost."""

from collections.abc import Mapping

from flowviz.plumbing.parts import Bill, called
from flowviz.tables.table import FIGURE, WORD, Table


def bill_tables(bill: Bill) -> tuple[Table, ...]:
    """Costs by part and by branch, in the money of the price file."""
    known = "all together" if not bill.unpriced else "all together, without what has no price"
    missing = tuple((called(part), "no price") for part in bill.unpriced)
    by_part = (*_told(bill.by_part), *missing, (known, f"{bill.total:.2f}"))
    return (_table("What the parts cost", by_part), _table("By branch", _told(bill.by_branch)))


def _told(costs: Mapping[str, float]) -> tuple[tuple[str, str], ...]:
    return tuple((name, f"{cost:.2f}") for name, cost in costs.items())


def _table(title: str, rows: tuple[tuple[str, str], ...]) -> Table:
    return Table(title, (("", WORD), ("cost", FIGURE)), rows)
