"""What the client reads first: two or three sentences and one table."""

from collections.abc import Iterator

from flowviz.assess.corals import CoralFigures
from flowviz.assess.needs import coral_verdict, unknowable
from flowviz.assess.words import share_within, tells_nothing
from flowviz.comparison import Comparison, differences, pockets
from flowviz.comparison.figures import CUTS, WORST_BREAK
from flowviz.comparison.sentences import KINDS, phase_words
from flowviz.draw.flat.cycle import cycle_title
from flowviz.draw.tank.titles import study_title
from flowviz.study import Study
from flowviz.tables import Table
from flowviz.tables.comparison import difference_table
from flowviz.tables.cycle import in_main_phase, worse_elsewhere
from flowviz.tables.table import WORD
from flowviz.units import shown

TRUST = {
    "sketch": "This is a sketch, the quickest level: it shows where to look. Have it computed coarse before you "
    "believe a figure, and fine before glass is drilled.",
    "coarse": "This was computed at the coarse level, which tells how strong the currents are and roughly where they "
    "fail. Have it computed fine before glass is drilled.",
    "fine": "This was computed at the fine level, the most careful there is; measure a few spots in the filled tank "
    "all the same.",
}
COUNTS = ("None", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven", "Twelve")
GOOD = "good"
UNSAID = "cannot be said from this look: have it computed finer, or several times"
REASONS = 3  # of a comparison that the client reads
TELLING = {
    "dead_fraction",
    "always_dead_fraction",
    "over_fraction",
    "bed/settling_fraction",
    "total_flow",
    WORST_BREAK,
    "holes",
    CUTS,
}
OF_CORALS = "/in_band_fraction"
SHARES = {"dead_fraction": "dead", "over_fraction": "over"}  # of bad water, and the kind of its pockets
POCKETS = 3  # of a kind that are gone, or new, in the client's table


def sentences(study: Study) -> tuple[str, ...]:
    """What is wrong, the worst first, in one phase and over a cycle; corals, why and what to try, how far to trust.

    Of a cycle which phase is advised on, and which others are worse.
    """
    corals = (f"{life(study)}.",) if study.measures.corals else ()
    cycle = (f"{cycle_title(study)}.",) if study.cycle else ()
    return f"{study_title(study)}.", *cycle, *corals, *next_steps(study), TRUST[study.settings.detail]


def next_steps(study: Study) -> Iterator[str]:
    """Why the corals that are worst off lack what they want, and why the pocket that matters most is there."""
    for step in study.measures.first_steps:
        yield f"Why {step.about}{in_main_phase(study)}: {step.cause}. Worth trying: {step.remedy}."
    yield from (f"{words}." for words in worse_elsewhere(study))


def sentences_of_two(held: Comparison) -> tuple[str, ...]:
    """What the change comes to, then what it brings and costs, how sure that is and how far to trust it."""
    reasons = (f"{reason.removesuffix('.')}." for reason in held.reasons[:REASONS])
    return f"{held.title}.", *reasons, *how_sure(held), TRUST[held.detail]


def how_sure(held: Comparison) -> Iterator[str]:
    """What chance may do to the verdicts on two layouts; of one layout none is given."""
    if not held.one_layout:
        looks = [times(study.settings.marches) for study in (held.before, held.after)]
        told = f"{looks[0]} each" if looks[0] == looks[1] else " and ".join(looks)
        wrong = differences.WRONG + pockets.WRONG
        chance = f"about {100 * wrong:.0f} in 100 such comparisons call by chance what is not so"
        yield f"How sure: the layouts were computed {told}, and {chance}. The computation's own error is not in that."


def times(number: int) -> str:
    """How often."""
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


def life(study: Study) -> str:
    """How many groups of corals have what they want, and which have not, or not surely; in the phase that is told."""
    corals = study.measures.corals
    unknown = {name for name, figures in corals.items() if unknowable(figures)}
    wrong = [name for name, figures in corals.items() if figures.verdict != GOOD or name in unknown]
    unsure = [name for name, figures in corals.items() if name not in wrong and not figures.sure]
    well = len(corals) - len(wrong)
    told = groups_told(len(corals), *((well - len(unsure), "surely ") if unknown else (well, "")))
    phase = study.main_phase
    when = f"In the phase {phase.name}, {told[:1].lower()}{told[1:]}" if phase else told
    return "; ".join((when, *(f"{name}: {coral_verdict(corals[name])}" for name in (*wrong, *unsure))))


def groups_told(groups: int, well: int, surely: str) -> str:
    """How many of the groups of corals have the current they want; surely, where of some nothing can be said."""
    if groups == 1:
        return f"The one group of corals has {'' if well else 'not '}{surely}the current it wants"
    many = count(groups).lower()
    parts = ("Both" if groups == 2 else f"All {many}") if well == groups else f"{count(well)} of {many}"
    have = "have the current they want" if well > 1 else "has the current it wants"
    return f"{parts} groups of corals {surely}{have}"


def count(number: int) -> str:
    """A number at the head of a sentence."""
    return COUNTS[number] if number < len(COUNTS) else str(number)


def facts(study: Study) -> Table:
    """What the tank comes to, a line each; of one with phases in its main one."""
    when = f", in the phase {study.main_phase.name}" if study.main_phase else ""
    return Table(f"The tank in figures{when}", (("", WORD), ("", WORD)), tuple(lines(study)))


def facts_of_two(held: Comparison) -> Table:
    """The figures that a client asks for and all that are better or worse, before and after; below the shares of bad
    water the pockets of it that are gone or new, which is another question.
    """
    whole, rows = difference_table(held), []
    for each, (subject, label, before, after, _, verdict) in zip(held.differences, whole.rows, strict=True):
        pockets = list(pocket_lines(held, SHARES[each.name])) if each.name in SHARES else []
        if each.name in TELLING or each.name.endswith(OF_CORALS) or each.verdict in ("better", "worse"):
            rows.append((subject, f"{label}, all in all" if pockets else label, before, after, verdict))
        rows += pockets
    return Table("The two layouts in figures", (*whole.columns[:4], whole.columns[5]), tuple(rows))


def pocket_lines(held: Comparison, kind: str) -> Iterator[tuple[str, ...]]:
    """The pockets of a kind that are gone, then the new ones, the largest first; not cores of jets where nothing
    lives.
    """
    system = held.after.scene.show
    for fate, told in (("went", "gone"), ("came", "new")):
        found = [each for each in held.every_pocket if (each.fate, each.zone.kind) == (fate, kind)]
        found = sorted((each for each in found if not each.zone.harmless), key=lambda each: -each.zone.volume)
        for each in found[:POCKETS]:
            sizes = (shown(zone.volume, "volume", system, 2) if zone else "–" for zone in (each.before, each.after))
            yield KINDS[kind], f"{each.zone.place}{phase_words(each)}", *sizes, told
        if len(found) > POCKETS:
            yield KINDS[kind], f"{len(found) - POCKETS} more", "", "", told


def lines(study: Study) -> Iterator[tuple[str, str]]:
    """Water, corals, bed, loop."""
    measures, limits, system = study.measures, study.scene.limits, study.scene.show
    unsure = measures.uncertainty
    yield (
        f"Dead water, slower than {shown(limits.dead, 'speed', system)}",
        share_told(measures.dead_fraction, unsure["dead_fraction"]),
    )
    yield (
        f"Too strong, faster than {shown(limits.over, 'speed', system)}",
        share_told(measures.over_fraction, unsure["over_fraction"]),
    )
    for name, figures in measures.corals.items():
        yield f"Corals, {name}", told_of_corals(figures)
    if measures.bed.cells:
        yield (
            "Bed where detritus settles",
            share_told(measures.bed.settling_fraction, measures.bed.uncertainty["settling_fraction"]),
        )
    yield "Through the loop", f"{shown(study.loop.total, 'flow', system)}, {measures.turnover:.3g} turnovers an hour"


def told_of_corals(figures: CoralFigures) -> str:
    """Whether a group of corals has the current it wants, and how much of it."""
    if not figures.cells:
        return coral_verdict(figures)
    share, half_width = figures.in_band_fraction, figures.uncertainty["in_band_fraction"]
    if tells_nothing(share, half_width):
        return UNSAID
    return f"{coral_verdict(figures)}; {share_within(share, half_width)} in the current they want"


def share_told(share: float, half_width: float) -> str:
    """A share with its interval; or what helps, where it may be anything."""
    return UNSAID if tells_nothing(share, half_width) else share_within(share, half_width)
