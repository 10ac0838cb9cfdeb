"""What a table is."""

from dataclasses import dataclass
from math import isnan

from flowviz.units import System, shown

FIGURE = "right"  # columns of figures stand to the right, columns of words to the left
WORD = "left"


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under headed columns."""

    title: str
    columns: tuple[tuple[str, str], ...]  # heading, and FIGURE or WORD
    rows: tuple[tuple[str, ...], ...]


def percent(value: float) -> str:
    """A share to a tenth of a percent; a dash where it is unknown."""
    return "–" if isnan(value) else f"{100 * value:.1f} %"


def share(value: float, width: float) -> str:
    """A share with the half-width of its 95 % interval; a dash where it is unknown."""
    if isnan(value):
        return "–"
    return f"{percent(value)}, interval unknown" if isnan(width) else f"{percent(value)} ± {percent(width)}"


def within(value: float, width: float, kind: str, system: System) -> str:
    """An SI value with the half-width of its interval, if that is known; a dash where the value is unknown."""
    if isnan(value):
        return "–"
    return (
        shown(value, kind, system) if isnan(width) else f"{shown(value, kind, system)} ± {shown(width, kind, system)}"
    )
