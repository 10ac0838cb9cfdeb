"""What a loop asks of its builder and its keeper, as tables."""

from collections.abc import Iterator
from dataclasses import replace

from flowviz.plumbing.dossier import Dossier
from flowviz.plumbing.drilling import NAMES
from flowviz.plumbing.holes import NEVER_DRILL, NOT_DESCRIBED, Check, Hole, PanelSheet
from flowviz.plumbing.parts import Part, summed
from flowviz.scene.model import Scene
from flowviz.tables.keeper import heat_table, inspection_table, leak_table, service_table, stop_table
from flowviz.tables.strainers import (
    blocked_table,
    fouling_table,
    peril_table,
    size_table,
    swap_table,
    yardstick_table,
)
from flowviz.tables.table import FIGURE, WORD, Table, percent
from flowviz.units import System, shown

MOST_PIPES = 5  # losses and larger sizes that are listed; plumb --json has them all


def dossier_tables(scene: Scene, told: Dossier) -> tuple[Table, ...]:
    """Everything a dossier says that can be set in a few lines; tables without rows are left out."""
    system = scene.show
    tables = (
        *as_built(scene, loss_table(told, system), upsize_table(told, system)),
        *as_built(scene, peril_table(told, system), yardstick_table(told), fouling_table(told, system)),
        *as_built(scene, swap_table(told), size_table(told, system), blocked_table(told, system)),
        *as_built(scene, heat_table(scene, told)),
        hole_table(told, system),
        sheet_table(told),
        *as_built(scene, leak_table(scene, told), stop_table(scene, told)),
        service_table(told, system),
        inspection_table(told, system),
        part_table(told, system),
    )
    return tuple(table for table in tables if table.rows)


def as_built(scene: Scene, *tables: Table) -> Iterator[Table]:
    """Tables that hang on how pumps and valves stand; of a scene with phases they say that they are of none of them."""
    for table in tables:
        yield replace(table, title=f"{table.title} (everything running, not a phase)") if scene.phases else table


def loss_table(told: Dossier, system: System) -> Table:
    """The costliest losses."""
    rows = tuple(
        (loss.where.removeprefix("pipe "), loss.part, shown(loss.head, "head", system), percent(loss.share))
        for loss in told.losses[:MOST_PIPES]
    )
    columns = (("", WORD), ("in", WORD), ("head", FIGURE), ("of the power", FIGURE))
    return Table("Where the head goes: the largest losses", columns, rows)


def upsize_table(told: Dossier, system: System) -> Table:
    """The pipes that gain most by the next larger size."""
    rows = tuple(
        (
            up.pipe.removeprefix("pipe "),
            up.larger,
            shown(up.saved, "head", system),
            shown(up.gained, "flow", system),
            shown(up.weakest, "flow", system),
        )
        for up in told.upsizes[:MOST_PIPES]
    )
    columns = (
        ("pipe", WORD),
        ("as", WORD),
        ("head saved", FIGURE),
        ("all outlets gain", FIGURE),
        ("weakest gains", FIGURE),
    )
    return Table("One size larger", columns, rows)


def hole_table(told: Dossier, system: System) -> Table:
    """Where to drill."""
    columns = (
        ("panel", WORD),
        ("for", WORD),
        ("hole", FIGURE),
        ("from left", FIGURE),
        ("from below", FIGURE),
        ("rim to edge", FIGURE),
        ("rules", WORD),
    )
    rows = tuple(hole_row(sheet, hole, system) for sheet in told.sheets for hole in sheet.holes)
    return Table("Holes, seen from outside, on the floor from above; lengths are those of the inside", columns, rows)


def sheet_table(told: Dossier) -> Table:
    """What the holes leave of each panel, and how many there could be less."""
    rows = tuple((sheet.panel, f"{len(sheet.holes)}", percent(sheet.removed), shape_of(sheet)) for sheet in told.sheets)
    if told.spared:
        rows += (("outlets over the rim instead", f"{told.spared} fewer", "", ""),)
    if told.cut:
        rows += (("cut out, not drilled", "", "", ", ".join(told.cut)),)
    if told.unsized:
        rows += (("no hole told for", "", "", ", ".join(told.unsized)),)
    columns = (("panel", WORD), ("holes", FIGURE), ("of it removed", FIGURE), ("", WORD))
    return Table("Panels. These rules prove no panel's strength: its maker decides", columns, rows)


def shape_of(sheet: PanelSheet) -> str:
    """What a panel is made of."""
    if sheet.described is None:
        return NOT_DESCRIBED
    return NEVER_DRILL if sheet.tempered else sheet.described.material


def hole_row(sheet: PanelSheet, hole: Hole, system: System) -> tuple[str, ...]:
    """One hole."""
    lengths = (hole.diameter, hole.along, hole.up, hole.edge)
    return (
        sheet.panel,
        hole.opening,
        *(shown(length, "length", system) for length in lengths),
        verdict(hole, sheet, system),
    )


def verdict(hole: Hole, sheet: PanelSheet, system: System) -> str:
    """What the rules say to a hole in a panel: "broken: next hole 98 mm, at least 110 mm"."""
    if sheet.tempered:
        return NEVER_DRILL
    if hole.hardest_broken:
        return f"broken: {'; '.join(shortfall(check, system) for check in hole.hardest_broken)}"
    return "kept" if hole.checks else NOT_DESCRIBED


def shortfall(check: Check, system: System) -> str:
    """What there is of a distance or a diameter, and what a rule asks."""
    found, least = (shown(each, "length", system, beside=check.found) for each in (check.found, check.least))
    return f"{NAMES[check.rule.what]} {found}, at least {least}"


def part_table(told: Dossier, system: System) -> Table:
    """What to buy."""
    rows = tuple((part.part, part.size, quantity(part, system)) for part in summed(told.parts))
    return Table("Parts", (("", WORD), ("size", WORD), ("", FIGURE)), rows)


def quantity(part: Part, system: System) -> str:
    """How much of a part; pipe in the unit that it is sold by."""
    return shown(part.quantity, "head", system) if part.unit == "m" else f"{part.quantity:.0f}"
