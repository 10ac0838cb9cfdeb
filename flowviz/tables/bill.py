"""What the parts of a loop cost."""

from flowviz.plumbing.parts import Bill
from flowviz.tables.table import FIGURE, WORD, Table


def bill_tables(bill: Bill) -> tuple[Table, ...]:
    """Costs by part and by branch, in the money of the price file."""
    by_part = (*bill.by_part.items(), ("all together", bill.total))
    return (_table("What the parts cost", by_part), _table("By branch", tuple(bill.by_branch.items())))


def _table(title: str, costs: tuple[tuple[str, float], ...]) -> Table:
    return Table(title, (("", WORD), ("cost", FIGURE)), tuple((name, f"{cost:.2f}") for name, cost in costs))
