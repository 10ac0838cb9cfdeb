"""How the water of a study moves, and what its corals get of it."""

from collections.abc import Iterator

from flowviz.assess.corals import CoralFigures
from flowviz.assess.needs import coral_verdict, unknowable
from flowviz.assess.sureness import told
from flowviz.assess.words import one_look, share_within
from flowviz.scene.model import Scene
from flowviz.scene.standards import standing_of
from flowviz.study import Study
from flowviz.tables.cycle import cycle_tables, in_main_phase, worse_elsewhere
from flowviz.tables.loop import loop_tables
from flowviz.tables.table import FIGURE, WORD, Table, in_one_unit
from flowviz.tables.water import water_tables
from flowviz.units import display_unit, shown, within

LIMITS = {
    "dead": "dead below",
    "over": "too strong above",
    "settle": "detritus settles below, near the bed",
    "stir": "detritus is kept moving above, near the bed",
}
MOST_ZONES = 5  # of each kind that are listed; summary.json has them all


def study_tables(study: Study) -> tuple[Table, ...]:
    """Everything a study says, in the order one asks; tables without rows are left out."""
    water = (speed_table(study), zone_table(study), coral_table(study), need_table(study), *water_tables(study))
    tables = (*loop_tables(study.scene, study.loop), *cycle_tables(study), *water, limit_table(study.scene))
    return tuple(table for table in tables if table.rows)


def speed_table(study: Study) -> Table:
    """How the water moves as a whole."""
    system, measures, limits = study.scene.show, study.measures, study.scene.limits
    speed, unsure = measures.speed, measures.uncertainty
    rows = (
        (
            f"dead (below {shown(limits.dead, 'speed', system)})",
            share_within(measures.dead_fraction, unsure["dead_fraction"]),
        ),
        (
            f"too strong (above {shown(limits.over, 'speed', system)})",
            share_within(measures.over_fraction, unsure["over_fraction"]),
        ),
        *look_rows(study),
        ("speed on average", within(speed.mean, unsure["mean"], "speed", system)),
        ("a twentieth is slower than", within(speed.p05, unsure["p05"], "speed", system)),
        ("a twentieth is faster than", within(speed.p95, unsure["p95"], "speed", system)),
        *rubble_rows(study),
        ("turnover by the loop", f"{measures.turnover:.3g} times an hour"),
        ("turnover by its currents; how sure is not known", f"{measures.circulation:.3g} times an hour"),
    )
    return Table(f"The water, {shown(measures.water_volume, 'volume', system)}", (("", WORD), ("", FIGURE)), rows)


def look_rows(study: Study) -> Iterator[tuple[str, str]]:
    """How short a look the shares are of, where it was one only."""
    field, settings = study.field, study.settings
    told = one_look(settings.detail, settings.marches, field.quality.averaged, study.scene.show)
    if told:
        yield f"both shares: {told}", ""


def rubble_rows(study: Study) -> Iterator[tuple[str, str]]:
    """The water among the stones of rubble, if there is any."""
    rubble, system = study.measures.rubble, study.scene.show
    if rubble:
        held, speed = shown(rubble.volume, "volume", system), shown(rubble.mean_speed, "speed", system)
        yield "among the stones of rubble, not counted above", f"{held}, seeping at {speed}"


def zone_table(study: Study) -> Table:
    """The pockets that matter most."""
    system, detail, marches = study.scene.show, study.settings.detail, study.settings.marches
    kinds = {"dead": "dead", "over": "too strong"}
    zones = study.measures.zones
    listed = [zone for kind in kinds for zone in [z for z in zones if z.kind == kind][:MOST_ZONES]]
    volumes = in_one_unit([zone.volume for zone in listed], "volume", system, 2)
    rows = tuple(
        (
            kinds[zone.kind],
            volume,
            shown(zone.mean_speed, "speed", system),
            zone.sureness(detail, marches),
            f"{zone.place}: {zone.cause}. Touches {zone.touches}. Worth trying: {zone.remedy}",
        )
        for zone, volume in zip(listed, volumes, strict=True)
    )
    rows += tuple(
        ("how sure", "", "", "", told(detail, kind, marches))
        for kind in kinds
        if any(zone.kind == kind for zone in listed)
    )
    rows += tuple(("other phases", "", "", "", words) for words in worse_elsewhere(study))
    words = (("how sure", WORD), ("where, why, what it touches, and what is worth trying", WORD))
    columns = (("", WORD), ("volume", FIGURE), ("mean speed", FIGURE), *words)
    least = shown(study.measures.smallest_zone, "volume", system, 2)
    return Table(f"Pockets of {least} or more{in_main_phase(study)}, those that matter most first", columns, rows)


def coral_table(study: Study) -> Table:
    """What each group of corals gets of what it wants."""
    rows = tuple(coral_rows(study))
    columns = (
        ("", WORD),
        ("verdict", WORD),
        ("too still, %", FIGURE),
        ("in its band, %", FIGURE),
        ("too strong, %", FIGURE),
        ("eddies", FIGURE),
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
            coral_verdict(figures),
            *shares_of(figures),
            "–" if figures.cells == 0 else shown(figures.fluctuation_speed, "speed", system, 2),
            f"{bare(low, system)} to {shown(high, 'speed', system)}{f' ({coral.kind})' if coral.kind else ''}",
        )


def shares_of(figures: CoralFigures) -> Iterator[str]:
    """Below, in and above the band of a group, in percent; dashes where it has no water."""
    for name in ("under_fraction", "in_band_fraction", "over_fraction"):
        told = share_within(getattr(figures, name), figures.uncertainty[name])
        yield "–" if figures.cells == 0 else told.replace(" %", "")


def need_table(study: Study) -> Table:
    """Why groups of corals have not the current they want, and what is worth trying; of those that are known."""
    found, lacks = study.measures.corals, study.measures.needs
    rows = tuple(
        (name, f"{cause.words}. Worth trying: {cause.remedy}")
        for name, cause in lacks.items()
        if not unknowable(found[name])
    )
    title = f"Why corals lack what they want{in_main_phase(study)}, the worst off first"
    return Table(title, (("", WORD), ("", WORD)), rows)


def limit_table(scene: Scene) -> Table:
    """What the verdicts rest on; the sources stand in summary.json."""
    rows = tuple(
        (words, shown(speed, "speed", scene.show), standing_of(name, speed).standing)
        for name, words in LIMITS.items()
        for speed in [getattr(scene.limits, name)]
    )
    return Table("Limits", (("", WORD), ("speed", FIGURE), ("standing", WORD)), rows)


def bare(value: float, system: str) -> str:
    """A speed as a figure of the display unit, for the first of two of a kind."""
    _, factor = display_unit("speed", system)
    return f"{value * factor:.3g}"
