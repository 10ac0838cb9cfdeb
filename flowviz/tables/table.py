"""What a table is."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isnan

from flowviz import units

FIGURE = "right"  # columns of figures stand to the right, columns of words to the left
WORD = "left"
FROM = "from the strainer's surface or the bare mouth"  # where every reach of an intake is told from


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under headed columns."""

    title: str
    columns: tuple[tuple[str, str], ...]  # heading, and FIGURE or WORD
    rows: tuple[tuple[str, ...], ...]


def in_one_unit(values: Sequence[float], kind: str, system: units.System, digits: int | None = None) -> list[str]:
    """SI values of a column as people read them, in the unit that suits the largest."""
    largest = max(values, default=0.0)
    return [units.shown(value, kind, system, digits, beside=largest) for value in values]


def percent(value: float) -> str:
    """A share; a dash where it is unknown."""
    return "–" if isnan(value) else units.percent(value)
