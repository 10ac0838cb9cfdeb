"""Intakes and their strainers: animals, rules, dirt, and what size would do."""

from collections.abc import Iterator

from flowviz.assess.words import named
from flowviz.plumbing.animals import Peril
from flowviz.plumbing.circuits import outlets_words
from flowviz.plumbing.dossier import Dossier
from flowviz.plumbing.sizing import ALLOWANCE, StrainerSizes
from flowviz.plumbing.strainers import Blocked, Swap, broken_words
from flowviz.tables.table import FIGURE, FROM, WORD, Table, percent
from flowviz.units import System, shown

TOLD = (0.0, 0.3, 0.6, 0.8, 0.9)  # shares of clogged slots that are listed; plumb --json has more [-]
NEAR = 1e-9


def peril_table(told: Dossier, system: System) -> Table:
    """Each animal before each intake."""
    rows = tuple(
        (
            peril.animal,
            peril.intake,
            verdict(peril),
            percent(peril.slot_share),
            percent(peril.skin_share),
            shown(peril.reach, "length", system, 2),
        )
        for peril in told.perils
    )
    columns = (
        ("", WORD),
        ("before", WORD),
        ("", WORD),
        ("in the slots", FIGURE),
        ("at the skin", FIGURE),
        ("too fast within", FIGURE),
    )
    title = (
        f"Animals before the intakes, judged by formula: speed of the water, of what they can swim; distances {FROM}"
    )
    return Table(title, columns, rows)


def verdict(peril: Peril) -> str:
    """What an intake does to an animal."""
    if peril.passes:
        return "can be drawn in"
    return "safe by formula" if peril.safe else "can be held fast"


def yardstick_table(told: Dossier) -> Table:
    """Each strainer against the published rules."""
    rows = tuple(
        (intake, percent(share), yardstick.name)
        for intake, care in told.strainers.items()
        for yardstick, share in care.yardsticks
    )
    return Table(
        "Speed at the strainers, of what a rule allows. These are rules for rivers, not for aquaria",
        (("", WORD), ("", FIGURE), ("rule", WORD)),
        rows,
    )


def fouling_table(told: Dossier, system: System) -> Table:
    """What dirt does to each strainer and to the loop."""
    rows = tuple(
        (
            intake,
            percent(point.fouled),
            shown(point.slot_speed, "speed", system, beside=care.fouling[0].slot_speed),
            shown(point.strainer_loss, "head", system),
            "not given" if point.npsh_margin is None else shown(point.npsh_margin, "head", system),
            shown(point.total, "flow", system),
        )
        for intake, care in told.strainers.items()
        for point in care.fouling
        if any(abs(point.fouled - share) < NEAR for share in TOLD)
    )
    columns = (
        ("", WORD),
        ("clogged", FIGURE),
        ("in the slots", FIGURE),
        ("strainer takes", FIGURE),
        ("suction to spare", FIGURE),
        (outlets_words(told.loop), FIGURE),
    )
    return Table("As a strainer clogs", columns, rows)


def swap_table(told: Dossier) -> Table:
    """When each strainer must be swapped."""
    rows = tuple((intake, swap_words(care.swap)) for intake, care in told.strainers.items())
    return Table("When to swap the strainers", (("", WORD), ("", WORD)), rows)


def swap_words(swap: Swap) -> str:
    """From which share of clogged slots on what goes wrong."""
    if swap.limit is None:
        return "no limit breaks"
    when = f"too small {swap.too_small}:" if swap.too_small else f"from {percent(swap.fouled)} clogged"
    return f"{when} {broken_words(swap.limit, named(swap.limit))}"


def size_table(told: Dossier, system: System) -> Table:
    """What size of strainer would do, sharing the flow and alone."""
    rows = tuple(
        row
        for intake, care in told.strainers.items()
        for row in (
            *size_rows(intake, "as it draws now", care.sizes, system),
            *(size_rows(intake, "alone, others blocked", care.sizes_alone, system) if told.blocked else ()),
        )
    )
    columns = (
        ("", WORD),
        ("", WORD),
        ("low profile", FIGURE),
        ("or basket", FIGURE),
        ("slots at most", FIGURE),
        ("decided by", WORD),
    )
    return Table(f"Strainers that would do with {percent(ALLOWANCE)} of their slots clogged", columns, rows)


def size_rows(intake: str, how: str, sizes: StrainerSizes | None, system: System) -> Iterator[tuple[str, ...]]:
    """One size; a basket is as long as it is wide."""
    if sizes is None:
        yield (intake, how, "none", "none", "", "the loop itself")
        return
    flat, basket = (shown(size, "length", system, 3) for size in (sizes.flat_diameter, sizes.basket_diameter))
    slot = "no animals" if sizes.slot is None else shown(sizes.slot, "length", system, 2)
    yield (intake, how, f"{flat} wide", f"{basket} wide and long", slot, sizes.limit)


def blocked_table(told: Dossier, system: System) -> Table:
    """The loop with each intake blocked in turn."""
    rows = tuple(blocked_row(blocked, system) for blocked in told.blocked)
    columns = (
        ("", WORD),
        ("pumps", WORD),
        ("all outlets", FIGURE),
        ("fastest slots", FIGURE),
        ("suction to spare", FIGURE),
        ("in peril", WORD),
        ("swap at", FIGURE),
    )
    return Table("If one intake is blocked, for those that are left", columns, rows)


def blocked_row(blocked: Blocked, system: System) -> tuple[str, ...]:
    """One intake."""
    pumps = f"{' and '.join(blocked.stopped)} {'run' if len(blocked.stopped) > 1 else 'runs'} dry"
    if blocked.loop is None:
        return (blocked.intake, pumps, "–", "–", "–", "–", "–")
    fastest = max(figures.screen_speed for figures in blocked.loop.intakes.values())
    margins = [duty.npsh_margin for duty in blocked.loop.pumps.values() if duty.npsh_margin is not None]
    return (
        blocked.intake,
        pumps if blocked.stopped else "run",
        shown(blocked.loop.total, "flow", system),
        shown(fastest, "speed", system),
        shown(min(margins), "head", system) if margins else "not given",
        ", ".join(dict.fromkeys(peril.animal for peril in blocked.perils if not peril.safe)) or "none",
        first_swap(blocked),
    )


def first_swap(blocked: Blocked) -> str:
    """The fouling at which the first strainer that is left must be swapped."""
    first = min((swap for swap in blocked.swaps if swap.limit is not None), key=lambda swap: swap.fouled, default=None)
    if first is None:
        return "–"
    return "too small" if first.too_small else percent(first.fouled)
