"""Pumps set on a loop, side by side."""

from collections.abc import Sequence
from dataclasses import replace

from flowviz.plumbing.choice import Choice
from flowviz.plumbing.energy import energy_of_a_year
from flowviz.scene.model import Scene
from flowviz.tables.dossier import as_built
from flowviz.tables.keeper import energy_told, price_told
from flowviz.tables.table import FIGURE, WORD, Table, in_one_unit, percent
from flowviz.units import System, shown

CLOSE = 0.1  # of a curve: nearer to its end a duty point is told to stand close to it [-]


def choice_tables(scene: Scene, now: Choice, tried: Sequence[Choice]) -> tuple[Table, ...]:
    """What each pump would do in the place of one of the scene's, what it would cost and bear, and what each outlet
    would get; the one that is there now stands last.
    """
    side_by_side = (*tried, replace(now, pump=f"now: {now.pump}"))
    tables = duty_table(scene.show, now.pump, side_by_side), bearing_table(scene, side_by_side)
    return tuple(as_built(scene, *tables, outlet_table(scene, side_by_side)))


def duty_table(system: System, place: str, tried: Sequence[Choice]) -> Table:
    """Where each pump would work in the place of one."""
    rows = tuple(
        (
            choice.pump,
            shown(choice.duty.flow, "flow", system),
            shown(choice.duty.head, "head", system),
            percent(choice.duty.surviving_share),
            place_on_curve(choice),
            suction(choice, system),
        )
        for choice in tried
    )
    columns = (
        ("", WORD),
        ("flow", FIGURE),
        ("head", FIGURE),
        ("of its open flow", FIGURE),
        ("on its curve", WORD),
        ("suction to spare", FIGURE),
    )
    return Table(f"Pumps to choose from, on this loop in the place of {place}", columns, rows)


def bearing_table(scene: Scene, tried: Sequence[Choice]) -> Table:
    """What each pump would cost, and what dirt and valves would leave of its flow."""
    rows = tuple(
        (
            choice.pump,
            "not given" if choice.duty.power is None else shown(choice.duty.power, "power", scene.show),
            "–" if choice.duty.power is None else energy_told(energy_of_a_year(choice.duty.power)),
            "–" if choice.cost is None else f"{choice.cost:.0f}",
            percent(choice.kept_fouled),
            percent(choice.kept_throttled),
        )
        for choice in tried
    )
    columns = (
        ("", WORD),
        ("power", FIGURE),
        ("energy of a year", FIGURE),
        ("cost of a year", FIGURE),
        ("flow left, strainers half clogged", FIGURE),
        ("flow left, ball valve half shut", FIGURE),
    )
    return Table(f"What they take and bear{price_told(scene)}", columns, rows)


def outlet_table(scene: Scene, tried: Sequence[Choice]) -> Table:
    """What each outlet would get of each pump."""
    pairs = [(choice, outlet) for choice in tried for outlet in scene.outlets]
    speeds = [choice.rates[outlet.name] / outlet.aperture.area for choice, outlet in pairs]
    rows = tuple(
        (choice.pump, outlet.name, shown(choice.rates[outlet.name], "flow", scene.show), speed)
        for (choice, outlet), speed in zip(pairs, in_one_unit(speeds, "speed", scene.show), strict=True)
    )
    columns = (("", WORD), ("outlet", WORD), ("flow", FIGURE), ("speed at the opening", FIGURE))
    return Table("What each outlet would get", columns, rows)


def place_on_curve(choice: Choice) -> str:
    """How far a pump works from the ends of its curve."""
    along = choice.along_curve
    if along < 0:
        return "before its first point"
    if along > 1:
        return "beyond its last point"
    return f"{percent(along)} along{'' if CLOSE <= along <= 1 - CLOSE else ', close to its end'}"


def suction(choice: Choice, system: System) -> str:
    """What a pump has in suction head beyond what it requires."""
    margin = choice.duty.npsh_margin
    return "not given" if margin is None else shown(margin, "head", system)
