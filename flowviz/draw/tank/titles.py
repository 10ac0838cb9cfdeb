"""What is wrong with a tank, in the sentence over its still."""

from flowviz.assess.corals import CoralFigures
from flowviz.assess.cycle import surely_worse
from flowviz.assess.needs import group, unknowable
from flowviz.assess.words import tells_nothing
from flowviz.draw.sheets.corals import CONTENT
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.wording import WORTH_A_WORD, part, percent_within, place, rough, too_unsure
from flowviz.study import Study

MOST = 2  # things that are told
SIDES = {"under_fraction": "too weak a current", "over_fraction": "too strong a current"}


def study_title(study: Study) -> str:
    """What is wrong with a tank, in one sentence, and in which phase of its cycle: the two worst things.

    The worst stands first: the larger the share that is lost, of a group of corals that is outside the band it wants,
    of the water that is dead or too strong. Of the groups only the worst is told. Of equal shares the corals stand
    before the dead water, and that before the too strong. A share too small for a word counts as none. What is known
    of stands before what nothing can be said of, be it a group or a share. A phase in which surely more is dead takes
    the place of the second.
    """
    elsewhere = worse_phase(study)
    worst = sorted(clauses(study), key=lambda told: -told[0])[: MOST - len(elsewhere)]
    words = "; ".join((*(clause for _, clause in worst), *elsewhere))
    phase = study.main_phase
    return f"In the phase {short(phase.name)}, {words}" if phase else words[:1].upper() + words[1:]


def worse_phase(study: Study) -> list[str]:
    """How much is dead in that phase of a cycle where most is, if that is surely more than in the one that is shown."""
    if study.cycle is None:
        return []
    dead = study.cycle.spreads["dead_fraction"]
    unsure = study.cycle.phases[dead.worst_phase].uncertainty["dead_fraction"]
    if not surely_worse(dead, unsure, study.measures.dead_fraction, study.measures.uncertainty["dead_fraction"]):
        return []
    return [f"in the phase {short(dead.worst_phase)}, {percent_within(dead.worst, unsure)} of the water is dead"]


def clauses(study: Study) -> list[tuple[float, str]]:
    """Each share that is lost, and what is said of it."""
    corals = [
        (weight(1 - found.in_band_fraction, unknowable(found)), coral_clause(name, found))
        for name, found in discontent(study).items()
    ]
    water = [(water_weight(study, share), told(study)) for share, told in WATER.items()]
    return [*sorted(corals, key=lambda group: -group[0])[:1], *water]


def weight(share: float, unknown: bool) -> float:
    """What a share that is lost counts for; one that may be anything, for less than any that is worth a word."""
    return share * WORTH_A_WORD if unknown else share


def water_weight(study: Study, name: str) -> float:
    """What the dead or the too-strong share of the water counts for."""
    share, half_width = getattr(study.measures, name), study.measures.uncertainty[name]
    return weight(share, tells_nothing(share, half_width)) if share >= WORTH_A_WORD else 0.0


def discontent(study: Study) -> dict[str, CoralFigures]:
    """The groups of corals that have not the current they want, by name, the worst first."""
    wrong = [(name, found) for name, found in study.measures.corals.items() if found.verdict not in CONTENT]
    return dict(sorted(wrong, key=lambda group: group[1].in_band_fraction))


def coral_clause(name: str, found: CoralFigures) -> str:
    """What a group of corals lacks."""
    worst = max(SIDES, key=lambda side: getattr(found, side))
    sides = SIDES if found.verdict == "uneven" else (worst,)
    if unknowable(found):
        return too_unsure(f"of {short(name)}")
    shares = {side: part(getattr(found, side), found.uncertainty[side]) for side in sides}
    told = (f"{share} of {group(short(name))} are in {SIDES[side]}" for side, share in shares.items())
    return ", ".join(told)


def dead_clause(study: Study) -> str:
    """How much is dead, and where most of it is."""
    measures, show = study.measures, study.scene.show
    if measures.dead_fraction < WORTH_A_WORD:
        return "no water is dead" if measures.dead_fraction == 0 else "hardly any water is dead"
    unsure = measures.uncertainty["dead_fraction"]
    if tells_nothing(measures.dead_fraction, unsure):
        return too_unsure("how much of the water is dead")
    share = f"{percent_within(measures.dead_fraction, unsure)} of the water is dead"
    worst = next((zone for zone in measures.zones if zone.kind == "dead"), None)
    return f"{share}: {rough(worst.volume, 'volume', show)} {place(worst.place, study.scene)}" if worst else share


def over_clause(study: Study) -> str:
    """How much is too strong, and whether its pockets do no harm; not beside corals that have too much for them."""
    measures = study.measures
    if measures.over_fraction < WORTH_A_WORD:
        return f"{'no' if measures.over_fraction == 0 else 'hardly any'} water is too strong"
    unsure = measures.uncertainty["over_fraction"]
    if tells_nothing(measures.over_fraction, unsure):
        return too_unsure("how much of the water is too strong")
    strong = [zone for zone in measures.zones if zone.kind == "over"]
    spared = all(found.verdict.endswith("too still") for found in discontent(study).values())
    away = ", away from corals and sand" if strong and spared and all(zone.harmless for zone in strong) else ""
    return f"{percent_within(measures.over_fraction, unsure)} of the water is too strong{away}"


WATER = {"dead_fraction": dead_clause, "over_fraction": over_clause}  # shares of the water, and what is said of each
