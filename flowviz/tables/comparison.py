"""Two layouts side by side, as tables."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import isnan, nan

from flowviz.assess.words import share_within
from flowviz.comparison.choice import Choice
from flowviz.comparison.compare import Comparison
from flowviz.comparison.course import Course
from flowviz.comparison.curves import Curve
from flowviz.comparison.differences import Difference
from flowviz.comparison.pockets import PocketChange
from flowviz.tables.table import FIGURE, WORD, Table
from flowviz.units import System, percent, share_decimals, shown, within

FATES = {
    "went": "gone",
    "came": "new",
    "stayed": "stays",
    "perhaps went": "perhaps gone",
    "perhaps came": "perhaps new",
    "of the first": "before",
    "of the second": "after",
}
KINDS = {"dead": "dead", "over": "too strong"}
HELD = "What becomes of the pockets, each judged by the speed in its place"
UNHELD = "The pockets of each tank, none of which is held against another"


def comparison_tables(comparison: Comparison) -> tuple[Table, ...]:
    """Everything a comparison says in figures; tables without rows are left out."""
    tables = (difference_table(comparison), *phase_tables(comparison), pocket_table(comparison))
    return tuple(table for table in tables if table.rows)


def difference_table(comparison: Comparison) -> Table:
    """Every figure before and after, and whether the change is more than noise."""
    return table_of("What differs", comparison.differences, comparison)


def phase_tables(comparison: Comparison) -> Iterator[Table]:
    """The same of each phase that both layouts have."""
    for name, found in comparison.phases.items():
        rows = [replace(each, when="") for each in found]  # which the title tells
        yield table_of(f"What differs in the phase {name}", rows, comparison)


def table_of(title: str, differences: Sequence[Difference], comparison: Comparison) -> Table:
    """Some of the figures."""
    columns = (("", WORD), ("", WORD), ("before", FIGURE), ("after", FIGURE), ("change", FIGURE), ("verdict", WORD))
    return Table(title, columns, tuple(row(each, comparison.after.scene.show) for each in differences))


def pocket_table(comparison: Comparison) -> Table:
    """What becomes of each pocket, and why."""
    system = comparison.after.scene.show
    columns = (
        ("", WORD),
        ("", WORD),
        ("volume", FIGURE),
        ("speed there", FIGURE),
        ("where and why", WORD),
    )
    rows = tuple(fate(each, system) for each in comparison.every_pocket)
    held = not {each.fate for each in comparison.every_pocket} & {"of the first", "of the second"}
    return Table(f"{HELD if held else UNHELD}, before → after", columns, rows)


def fate(each: PocketChange, system: System) -> tuple[str, ...]:
    """One pocket."""
    volumes = course_of([zone.volume if zone else nan for zone in (each.before, each.after)], "volume", system, 2)
    speeds = course_of([each.speed_before, each.speed_after], "speed", system, 3)
    place = each.zone.place + (f", in the phase {each.phase}" if each.phase else "")
    where = f"{place}: {each.reason}" if each.reason else place
    return (FATES[each.fate], KINDS[each.zone.kind], volumes, speeds, where)


def course_of(values: Sequence[float], quantity: str, system: System, digits: int) -> str:
    """What a quantity goes through, in one unit: "38 L → 12 L"; a dash where there is none."""
    known = [value for value in values if not isnan(value)]
    return " → ".join("–" if isnan(each) else shown(each, quantity, system, digits, known[0]) for each in values)


def course_table(course: Course) -> Table:
    """Every measure at every place of an opening on its way."""
    system = course.studies[0].scene.show
    places = [shown(way, "length", system, 3) for way in course.moved]
    return curve_table(f"{course.opening}, moved by", course.curves, places, "best at", system)


def choice_table(choice: Choice) -> Table:
    """Every measure of every layout."""
    numbers = [str(number) for number in range(1, len(choice.studies) + 1)]
    return curve_table("All layouts, by number", choice.curves, numbers, "best", choice.studies[0].scene.show)


def curve_table(title: str, curves: Sequence[Curve], names: Sequence[str], best: str, system: System) -> Table:
    """Every measure of several studies, a column each, and in which it is best."""
    columns = (("", WORD), ("", WORD), *((name, FIGURE) for name in names), (best, FIGURE))
    return Table(title, columns, tuple(curve_row(each, names, system) for each in curves))


def curve_row(curve: Curve, names: Sequence[str], system: System) -> tuple[str, ...]:
    """One measure; where others are too close to the best to call, they stand beside it."""
    pairs = zip(curve.values, curve.half_widths, strict=True)
    told = (figure(value, width, curve.quantity, system) for value, width in pairs)
    best = ", ".join(names[n] for n in sorted(curve.as_good))
    if not curve.decided:
        best = "too close to call" if curve.wanted else ""
    return (curve.subject, curve.label, *told, best)


def row(difference: Difference, system: System) -> tuple[str, ...]:
    """One figure."""
    pairs = (difference.before, difference.before_half_width), (difference.after, difference.after_half_width)
    told = [figure(value, width, difference.quantity, system) for value, width in pairs]
    told.append(changed(difference, system))
    return (difference.subject, difference.told, *told, difference.outcome)


def changed(difference: Difference, system: System) -> str:
    """By how much a figure differs; of a share whose sign alone is sure, how far it may be off that way."""
    value, width = difference.change, difference.change_half_width
    if difference.called and difference.by_each_march and width > abs(value):
        places = max(share_decimals(width), 0)
        bounds = (value - width, 0) if value < 0 else (0, value + width)
        low, high = (f"{100 * bound:.{places if bound else 0}f}" for bound in bounds)
        return f"{100 * value:.{places}f} % ({low} to {high} %)"
    return change(value, width, difference.quantity, system)


def figure(value: float, width: float, quantity: str | None, system: System) -> str:
    """A figure with the half-width of its interval, if it has one; a dash where it is unknown."""
    if quantity != "share" or isnan(value):
        return change(value, width, quantity, system)
    return percent(value) if isnan(width) or width == 0 else share_within(value, width)


def change(value: float, width: float, quantity: str | None, system: System) -> str:
    """The same of a change, which is no share of a whole; without an interval it is told as finely as one."""
    if isnan(value):
        return "–"
    if quantity is None:
        return f"{value:g}"
    if not (isnan(width) or width == 0):
        return within(value, width, quantity, system)
    if quantity == "share":
        return f"{round(100 * value, 1) + 0.0:g} %"  # which turns -0.0 into 0.0
    return shown(value, quantity, system)
