"""The figures that stand below the still."""

from collections.abc import Iterator, Sequence

from flowviz.assess.corals import CoralFigures
from flowviz.assess.needs import coral_verdict, unknowable
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.paragraphs import Text
from flowviz.draw.sheets.theme import QUIET, SMALL, TEXT
from flowviz.draw.sheets.wording import (
    KINDS,
    part,
    percent_within,
    place,
    pocket,
    rough,
    worst,
)
from flowviz.draw.tank.stage import trouble
from flowviz.study import Study
from flowviz.units import shown, within

FIGURE = 22.0  # size of the two shares [pt]
GROUPS = 4  # of corals that are told
SPACE = Text("", 5.0)


def panel(study: Study) -> list[list[Text]]:
    """What the study comes to, in figures: columns of paragraphs, none of them empty."""
    columns = (shares(study), pockets(study), (*corals(study), *circulation(study)))
    return [texts for texts in map(list, columns) if texts]


def shares(study: Study) -> Iterator[Text]:
    """The shares of dead and too-strong water, with their intervals."""
    measures, limits, show = study.measures, study.scene.limits, study.scene.show
    told = (
        ("dead_fraction", f"of the water is dead: slower than {shown(limits.dead, 'speed', show)}"),
        ("over_fraction", f"is too strong: faster than {shown(limits.over, 'speed', show)}"),
    )
    for name, words in told:
        yield Text(percent_within(getattr(measures, name), measures.uncertainty[name]), FIGURE, weight="bold")
        yield Text(words, TEXT)
        yield SPACE


def pockets(study: Study) -> Iterator[Text]:
    """The pockets that matter most."""
    zones, show = study.measures.zones, study.scene.show
    specks = [kind for kind, cells in trouble(study).items() if (cells & (study.measures.labels == 0)).any()]
    if zones or specks:
        yield Text("Worst pockets", TEXT, weight="bold")
    for number in worst(zones):
        zone = zones[number]
        yield Text(f"{pocket(zone, show)} {place(zone.place, study.scene)}", SMALL, weight="bold", most=4)
        if zone is first_of(zone.kind, zones):
            yield from reason(zone.cause, zone.remedy, study)
        yield SPACE
    least = rough(study.measures.smallest_zone, "volume", show)
    for kind in specks:
        spots = "further small spots" if kind in kinds_of(study) else "small spots only"
        yield Text(f"{KINDS[kind]} in {spots}, each below {least}", SMALL)
    if specks:
        yield SPACE
    if zones:
        yield Text("flowviz compare tells whether what is tried helps", SMALL, QUIET)


def reason(cause: str, remedy: str, study: Study) -> Iterator[Text]:
    """Why something is wrong, and what is worth trying."""
    yield Text(f"Why: {place(cause, study.scene)}", SMALL, most=6)
    yield Text(f"Worth trying: {place(remedy, study.scene)}", SMALL, most=4)


def first_of(kind: str, zones: Sequence[object]) -> object:
    """The worst pocket of a kind."""
    return next(zone for zone in zones if zone.kind == kind)


def kinds_of(study: Study) -> set[str]:
    """The kinds of its pockets."""
    return {zone.kind for zone in study.measures.zones}


def corals(study: Study) -> Iterator[Text]:
    """What the groups of corals get, the worst first, and why the worst of which something is known lacks more."""
    measures = study.measures
    wanting = [name for name in measures.needs if name not in measures.unknown_corals][:1]
    figures = sorted(measures.corals.items(), key=lambda item: in_turn(item[1]))
    if figures:
        yield Text("Corals", TEXT, weight="bold")
    for name, found in figures[:GROUPS]:
        share = part(found.in_band_fraction, found.uncertainty["in_band_fraction"])
        held = "" if found.cells == 0 or unknowable(found) else f", {share} in the wanted current"
        yield Text(f"{short(name)}: {coral_verdict(found)}{held}", SMALL)
        if name in wanting:
            yield from reason(measures.needs[name].words, measures.needs[name].remedy, study)
    if figures:
        yield SPACE


def in_turn(found: CoralFigures) -> tuple[bool, bool, float]:
    """What groups of corals are put in order by: last those without water, then those nothing can be said of."""
    return found.cells == 0, unknowable(found), found.in_band_fraction


def circulation(study: Study) -> Iterator[Text]:
    """What the loop moves and how fast the water is."""
    measures, show = study.measures, study.scene.show
    flows = [rate for rate in study.loop.rates.values() if rate > 0]
    outlets, inflow = len(flows), sum(flows)
    ways = "one outlet" if outlets == 1 else f"{outlets} outlets"
    volume = shown(measures.water_volume, "volume", show)
    mean = within(measures.speed.mean, measures.uncertainty["mean"], "speed", show)
    yield Text("Circulation", TEXT, weight="bold")
    yield Text(f"{shown(inflow, 'flow', show)} through {ways}", SMALL)
    yield Text(f"{volume} of water, turned over {measures.turnover:.3g} times an hour", SMALL)
    yield Text(f"Mean speed {mean}", SMALL)
    yield Text("All speeds are means over time", SMALL, QUIET)
