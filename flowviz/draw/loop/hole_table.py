"""The table of holes on a sheet for the glass shop: where each is, what it comes near to, and what the rules ask."""

from collections.abc import Iterator, Mapping, Sequence
from math import inf

from flowviz.draw.loop.paper import Sheet, measure
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.theme import QUIET
from flowviz.plumbing.drilling import NAMES
from flowviz.plumbing.holes import NEVER_DRILL, NOT_DESCRIBED, Hole, PanelSheet, What
from flowviz.units import System

ROW, SIZE = 4.4, 7.5  # height of a row [mm], and of its letters [pt]
SMALLEST_ROW = 4.11  # where there are many holes: their letters have 7 points [mm]
COLUMNS = (  # heading, and where it begins, of the width of the table
    ("hole", 0.0),
    ("diameter", 0.2),
    ("from left", 0.275),
    ("from below", 0.35),  # of the floor: from the front
    ("rim to edge", 0.435),
    ("rim to corner", 0.585),
    ("rim to next rim", 0.73),
    ("rules", 0.872),
)
DISTANCES: tuple[What, ...] = ("edge", "corner", "between")  # that the rules ask for, in the order of the columns


def row_height(count: int, room: float) -> float:
    """Of a table of so many holes in a room [mm]."""
    return min(ROW, room / (count + 1))


def most_rows(room: float) -> int:
    """How many holes a table in a room [mm] may have under its heading."""
    return int(room / SMALLEST_ROW) - 1


def draw_table(
    sheet: Sheet,
    panel: PanelSheet,
    holes: Sequence[Hole],
    letters: Mapping[str, str],
    show: System,
    corner: tuple[float, float],
    row: float,
) -> None:
    """The table of some of a panel's holes, its upper left corner at a place on the paper, rows of a height [mm]."""
    left, top = corner
    width, size = sheet.paper.width - 2 * left, SIZE * row / ROW
    headings = [heading for heading, _ in COLUMNS]
    if panel.panel == "floor":
        headings[3] = "from front"
    rows = [headings, *(cells(hole, panel, letters, show) for hole in holes)]
    for number, words in enumerate(rows):
        y = top - row * (number + 0.5)
        for (_, at), cell in zip(COLUMNS, words, strict=True):
            heavy = number == 0 or "BROKEN" in cell or cell == NEVER_DRILL
            sheet.text(left + at * width, y, cell, size, weight="bold" if heavy else "normal", va="center")
        sheet.line([(left, y - row / 2), (left + width, y - row / 2)], 0.6 if number == 0 else 0.25, color=QUIET)


def cells(hole: Hole, panel: PanelSheet, letters: Mapping[str, str], show: System) -> tuple[str, ...]:
    """The row of a hole."""
    name = f"{letters[hole.opening]}  {short(hole.opening, 24)}"
    places = (measure(length, show) for length in (hole.diameter, hole.along, hole.up))
    return (name, *places, *(distance(hole, what, show) for what in DISTANCES), verdict(hole, panel))


def distance(hole: Hole, what: What, show: System) -> str:
    """How far a hole's rim is from something, and what the strictest rule asks."""
    found = getattr(hole, what)
    if found == inf:
        return "none"
    asked = [check.least for check in hole.checks if check.rule.what == what]
    return f"{measure(found, show)}; at least {measure(max(asked), show)}" if asked else measure(found, show)


def verdict(hole: Hole, panel: PanelSheet) -> str:
    """Whether a hole keeps the rules."""
    if panel.described is None:
        return NOT_DESCRIBED
    if panel.tempered:
        return NEVER_DRILL
    broken = list(dict.fromkeys(NAMES[check.rule.what] for check in hole.checks if not check.kept))
    return f"BROKEN: {', '.join(broken)}" if broken else "kept"


def rule_words(panel: PanelSheet) -> Iterator[str]:
    """The rules that were asked, each with its source, once."""
    checks = (check for hole in panel.holes for check in hole.checks)
    yield from dict.fromkeys(f"{NAMES[check.rule.what]}: {check.rule.source}" for check in checks)
