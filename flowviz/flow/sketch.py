"""The quickest level."""

from flowviz.flow.field import Field
from flowviz.flow.levels import Case, Level, settled
from flowviz.flow.refine import refine
from flowviz.flow.statistics import Record, gather


def sketch(case: Case) -> Field:
    """The flow on large cells, read on the grid of the case."""
    march = settled(case, Level(4.0, 12.0, 1.0), None)
    record = Record(march)
    for n in range(8):
        case.progress("marching", n / 8)
        record.add(gather(march, 1.0))
    return refine(record.field(march, steady=False), march.grid, case.grid, case.rates)
