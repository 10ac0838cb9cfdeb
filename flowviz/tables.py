"""A study as tables of words and figures in the scene's own units, for whoever sets them: terminal, page, report."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import isnan

from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Scene
from flowviz.study import Study
from flowviz.units import display_unit, shown

FIGURE = "right"  # columns of figures stand to the right, columns of words to the left
WORD = "left"
MOST_ZONES = 5  # of each kind that are listed; summary.json has them all


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text under headed columns."""

    title: str
    columns: tuple[tuple[str, str], ...]  # heading, and FIGURE or WORD
    rows: tuple[tuple[str, ...], ...]


def study_tables(study: Study) -> tuple[Table, ...]:
    """Everything a study says, in the order one asks; tables without rows are left out."""
    tables = (*loop_tables(study.scene, study.loop), speed_table(study), zone_table(study), coral_table(study))
    return tuple(table for table in tables if table.rows)


def loop_tables(scene: Scene, loop: Loop) -> tuple[Table, ...]:
    """What the pumps do, and what comes out of each outlet and goes into each intake."""
    tables = (pump_table(scene, loop), outlet_table(scene, loop), intake_table(scene, loop))
    return tuple(table for table in tables if table.rows)


def pump_table(scene: Scene, loop: Loop) -> Table:
    """The duty point of each pump."""
    rows = tuple(
        (name, shown(duty.flow, "flow", scene.show), shown(duty.head, "head", scene.show))
        for name, duty in loop.pumps.items()
    )
    return Table("Pumps", (("", WORD), ("flow", FIGURE), ("head", FIGURE)), rows)


def outlet_table(scene: Scene, loop: Loop) -> Table:
    """What leaves each outlet."""
    rows = tuple(
        (
            outlet.name,
            shown(loop.rates[outlet.name], "flow", scene.show),
            shown(loop.rates[outlet.name] / outlet.aperture.area, "speed", scene.show),
        )
        for outlet in scene.outlets
    )
    return Table("Outlets", (("", WORD), ("flow", FIGURE), ("speed at the opening", FIGURE)), rows)


def intake_table(scene: Scene, loop: Loop) -> Table:
    """What goes into each intake, and how fast through its strainer."""
    rows = tuple(
        (
            intake.name,
            shown(-loop.rates[intake.name], "flow", scene.show),
            "no strainer"
            if intake.strainer is None
            else shown(loop.intakes[intake.name].screen_speed, "speed", scene.show),
        )
        for intake in scene.intakes
    )
    return Table("Intakes", (("", WORD), ("flow", FIGURE), ("speed through the strainer", FIGURE)), rows)


def speed_table(study: Study) -> Table:
    """How the water moves as a whole."""
    system, measures, limits = study.scene.show, study.measures, study.scene.limits
    speed, unsure = measures.speed, measures.uncertainty
    rows = (
        (f"dead (below {shown(limits.dead, 'speed', system)})", share(measures.dead_fraction, unsure, "dead_fraction")),
        (
            f"over-strong (above {shown(limits.over, 'speed', system)})",
            share(measures.over_fraction, unsure, "over_fraction"),
        ),
        ("speed on average", shown(speed.mean, "speed", system)),
        ("nine tenths of the water between", f"{bare(speed.p05, system)} and {shown(speed.p95, 'speed', system)}"),
        ("turnover by the loop", f"{measures.turnover:.3g} times an hour"),
    )
    return Table(f"The water, {shown(measures.water_volume, 'volume', system)}", (("", WORD), ("", FIGURE)), rows)


def zone_table(study: Study) -> Table:
    """The pockets that matter most."""
    system = study.scene.show
    words = {"dead": "dead", "over": "over-strong"}
    zones = study.measures.zones
    listed = [zone for kind in words for zone in [z for z in zones if z.kind == kind][:MOST_ZONES]]
    rows = tuple(
        (
            words[zone.kind],
            shown(zone.volume, "volume", system),
            shown(zone.mean_speed, "speed", system),
            zone.place,
        )
        for zone in listed
    )
    columns = (("", WORD), ("volume", FIGURE), ("mean speed", FIGURE), ("where", WORD))
    return Table("Pockets", columns, rows)


def coral_table(study: Study) -> Table:
    """What each group of corals gets of what it wants."""
    rows = tuple(coral_rows(study))
    columns = (
        ("", WORD),
        ("verdict", WORD),
        ("too still", FIGURE),
        ("in its band", FIGURE),
        ("too strong", FIGURE),
        ("wants", WORD),
    )
    return Table("Corals", columns, rows)


def coral_rows(study: Study) -> Iterator[tuple[str, ...]]:
    """One row a group."""
    system = study.scene.show
    for coral in study.scene.corals:
        figures = study.measures.corals[coral.name]
        low, high = coral.speed
        yield (
            coral.name,
            figures.verdict if figures.sure or figures.cells == 0 else f"{figures.verdict} (not sure)",
            percent(figures.under_fraction),
            percent(figures.in_band_fraction),
            percent(figures.over_fraction),
            f"{bare(low, system)} to {shown(high, 'speed', system)}",
        )


def share(value: float, unsure: Mapping[str, float], name: str) -> str:
    """A share of the water with its 95 % interval."""
    width = unsure[name]
    return f"{percent(value)} ± {percent(width)}" if not isnan(width) else f"{percent(value)}, interval unknown"


def percent(value: float) -> str:
    """A share to a tenth of a percent; a dash where it is unknown."""
    return "–" if isnan(value) else f"{100 * value:.1f} %"


def bare(value: float, system: str) -> str:
    """A speed as a figure of the display unit, for the first of two of a kind."""
    _, factor = display_unit("speed", system)
    return f"{value * factor:.3g}"
