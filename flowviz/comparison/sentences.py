"""What a comparison comes to, in plain sentences: what was changed, what it brings and why, what it costs."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf, isnan

from flowviz.assess.causes import Cause
from flowviz.assess.corals import MOST as CONTENT
from flowviz.assess.needs import group
from flowviz.assess.words import named
from flowviz.comparison.differences import OVER_THE_CYCLE, WORTH, Difference
from flowviz.comparison.figures import CUTS, WORST_BREAK
from flowviz.comparison.layout import Change
from flowviz.comparison.pockets import PocketChange
from flowviz.units import System, percent, shown

DIGITS = 2  # of a figure in a sentence
MOST = 3  # things that one sentence lists
LEANING, GROWN = 0.05, 1.5  # loss of a share, and growth of a pocket, from which on they are told though not sure
SAID = {  # of a group of corals, by the label of its figure
    "too still": "in too weak a current",
    "too strong": "in too strong a current",
    "in the current it wants": "in the current it wants",
}
IN_BAND, UNDER_BAND, OVER_BAND = "/in_band_fraction", "/under_fraction", "/over_fraction"  # that figures' names end in
COUNTED = {"holes": "holes", CUTS: "weirs and slots cut out"}  # figures that are a number of things, in words
PLAIN, BED = ("the water", "the loop", "the glass"), "the bed"
KINDS = {"dead": "dead pocket", "over": "too-strong pocket"}
SHARES = {"dead": ("dead_fraction", "dead"), "over": ("over_fraction", "too strong")}  # names of figures, and in words
BEYOND = f"by more than the noise and {100 * WORTH:g} %"
UNDECIDED = f"No figure of the water differs {BEYOND}: in the water no gain or loss can be told"
ONE_LAYOUT = "Nothing was changed between the two scenes: no figure below is a gain, and none a loss."
UNHELD = "No pocket is held against another: no place in one of these tanks is a place in the other."
TO_COMPARE = "To compare, change the scene of one of them: what was computed here shows how far chance alone goes."
ONE_LOOK = (
    "What would help: each layout was looked at for hardly longer than its currents take to wander, and two such looks "
    "at one tank may differ as much; have each marched more often."
)


@dataclass(frozen=True, slots=True)
class Findings:
    """What the sentences are made of."""

    changes: Sequence[Change]
    differences: Sequence[Difference]
    phases: Mapping[str, Sequence[Difference]]
    pockets: Sequence[PocketChange]
    lacked_before: Mapping[str, Cause]  # why groups of corals had not the current they want, and have not now
    lacked_after: Mapping[str, Cause]
    detail: str  # the lower of the two studies
    glimpsed: bool  # whether one of them was looked at for so short a time that its noise is unknown
    one_layout: bool  # whether the two are the same
    computed_alike: bool  # whether they were computed at one level, on cells of one size
    system: System

    @property
    def every(self) -> list[Difference]:
        """All differences: those over the cycle, then those of its phases, the larger ones first."""
        in_phases = [each for found in self.phases.values() for each in found]
        return [*self.differences, *sorted(in_phases, key=lambda each: -abs(each.change))]

    def called(self, verdict: str) -> list[Difference]:
        """The differences of a verdict in the order of weight, those of a group of corals by one figure only.

        Of a figure that is called so over the whole cycle the phases are not told.
        """
        found = [each for each in self.every if each.verdict == verdict]
        if verdict == "better":
            found.sort(key=lambda each: (in_a_phase(each), each.wanted == "less" and each.subject not in PLAIN))
        groups: dict[str, Difference] = {}
        for each in found:
            groups.setdefault(each.name if each.subject in PLAIN else each.subject, each)
        return sorted(groups.values(), key=weight)

    def of_fate(self, *fates: str) -> list[PocketChange]:
        """The pockets of which that became."""
        return [pocket for pocket in self.pockets if pocket.fate in fates]

    def figures(self, each: Difference) -> str:
        """Which way a figure went, from where to where."""
        then, now = told_apart(each, self.system)
        return f"{gain(each)} ({then} before, {now} after)"

    @property
    def undecided(self) -> bool:
        """Whether nothing about the water is beyond the noise."""
        noisy = [each for each in self.every if each.called and each.noisy]
        return not noisy and not self.of_fate("went", "came")

    @property
    def unsaid(self) -> bool:
        """Whether nothing is told of what is not sure, for nothing of the water is."""
        return self.one_layout or self.undecided


def weight(each: Difference) -> tuple[bool, int, float]:
    """What is said first: corals and dead water, a flood, then other shares, the larger change before; then all else.

    What the whole cycle comes to stands before what single phases do.
    """
    if each.name == WORST_BREAK:
        return in_a_phase(each), 1, -inf
    if each.quantity != "share":
        return in_a_phase(each), 2, 0.0
    first = each.name == "dead_fraction" or each.subject not in (*PLAIN, BED)
    return in_a_phase(each), int(not first), -abs(each.change)


def in_a_phase(each: Difference) -> bool:
    """Whether it is of one phase only."""
    return each.when not in ("", OVER_THE_CYCLE)


def said(side: Sequence[Difference], words: Callable[[Difference], str]) -> list[str]:
    """Each of several differences in words, and when it is, once for those that follow each other."""
    last = [each.when != after.when for each, after in pairwise(side)] + [True]
    return [f"{words(each)} {each.when if ends else ''}".rstrip() for each, ends in zip(side, last, strict=False)]


def gain(each: Difference) -> str:
    """Which way a figure went: "less dead water"."""
    more = each.change > 0
    if each.name in COUNTED:
        return f"{'more' if more else 'fewer'} {COUNTED[each.name]}"
    return f"{'more' if more else 'less'} {phrase(each.subject, each.label)}"


def phrase(subject: str, label: str) -> str:
    """A figure in the middle of a sentence, after "more", "less", "most" or "least"."""
    if subject in PLAIN:
        return label
    return f"bed where {label}" if subject == BED else f"of {named(subject)} {SAID[label]}"


def reasons(found: Findings) -> tuple[str, ...]:
    """The first three for the client, then the rest."""
    told = (why(found), *places_and_shares(found)), (cost(found), *leaning(found), *unmended(found))
    return (brought(found), *map(" ".join, told), *further(found))


def brought(found: Findings) -> str:
    """What was changed, and what that brings."""
    if found.one_layout:
        return ONE_LAYOUT
    changed = [str(change) for change in found.changes[:MOST]]
    more = len(found.changes) - len(changed)
    parts = [*changed, *([f"{more} further things differ"] if more else [])]
    what = sentence("; ".join(parts) or "The two scenes are alike")
    better = found.called("better")
    brings = [f"That brings {joined(said(better[:MOST], found.figures))}."] if better else []
    if found.undecided:
        return " ".join([f"{UNDECIDED}. {what}", *brings])
    return " ".join([what, *(brings or [f"No figure of the water gets better {BEYOND}."])])


def why(found: Findings) -> str:
    """Which pocket goes, and why; or what would help to tell."""
    if found.one_layout:
        return TO_COMPARE
    gone = sorted(found.of_fate("went"), key=lambda pocket: -pocket.before.volume)
    if gone:
        told = f"The {pocket_words(gone[0], found)} is gone: {gone[0].reason}"
        more = {1: "", 2: "; so is one more"}.get(len(gone), f"; so are {len(gone) - 1} more")
        return sentence(told + more)
    if found.undecided:
        return ONE_LOOK if found.glimpsed else what_helps(found.detail)
    told = [lacked(each, found) for each in (*found.called("better"), *found.called("worse"))]
    if any(told):
        return next(filter(None, told))
    if found.of_fate("of the first", "of the second"):
        return UNHELD
    there = found.of_fate("stayed", "came", "perhaps went", "perhaps came")
    return sentence("No pocket is surely gone" if there else "Neither layout has a pocket worth a name")


def places_and_shares(found: Findings) -> Iterator[str]:
    """How pockets can be gone or new beyond the noise where the share of such water is too close to call.

    A pocket is judged by the mean speed in its place, the share by how many cells of the tank are beyond the limit.
    """
    open_shares = dict.fromkeys(
        f"{words}{phase_words(pocket)}"
        for pocket in found.of_fate("went", "came")
        for name, words in [SHARES[pocket.zone.kind]]
        for share in found.phases.get(pocket.phase, found.differences)
        if share.name == name and share.verdict == "too close to call"
    )
    if open_shares:
        yield (
            "Which pockets are gone or new is beyond the noise, by the speed in the place of each; how much of all the "
            f"water is {joined(list(open_shares))} is another question and too close to call, for what lies near the "
            "limit counts in one look and not in the next."
        )


def lacked(each: Difference, found: Findings) -> str:
    """Why a group of corals had not the current it wants, if it is better off now, or why it is worse off.

    Nothing of one that changed on one side of its band and lacks more on the other, of which its cause is.
    """
    better = each.verdict == "better"
    cause = (found.lacked_before if better else found.lacked_after).get(each.subject)
    if cause is None or in_a_phase(each):
        return ""
    shares = {
        of.name.rpartition("/")[2]: of.before if better else of.after
        for of in found.differences
        if of.subject == each.subject
    }
    if each.name.endswith(OVER_BAND if shares["under_fraction"] >= shares["over_fraction"] else UNDER_BAND):
        return ""
    start, had = ("Before", "had") if better else ("Now", "have")
    content, corals = percent(shares["in_band_fraction"]), group(each.subject)
    whose = f"{corals} {had} not" if content == "0 %" else f"only {content} of {corals} {had}"
    return sentence(f"{start}, {whose} the current they want: {cause.words}")


def what_helps(detail: str) -> str:
    """What would narrow the intervals."""
    if detail == "fine":
        return "Only a longer average, more marches taken together, or a bolder change would tell them apart."
    better = {"sketch": "coarse or fine", "coarse": "fine"}[detail]
    return f"What would help: more marches taken together, a finer level ({better}), or a bolder change."


def cost(found: Findings) -> str:
    """What gets worse, and what plumbing and glass have to give."""
    worse = said(found.called("worse"), found.figures)
    worse += [f"a new {pocket_words(pocket, found)}" for pocket in found.of_fate("came") if not pocket.after.harmless]
    moved = said([each for each in found.differences if is_cost(each)], lambda each: loop_words(each, found.system))
    if not worse and not moved:
        return "It costs nothing that is computed here: no coral, flow, head, power or hole is surely the worse for it."
    price = f"The price: {joined(worse)}" if worse else f"Nothing about the water gets worse {BEYOND}"
    return sentence("; ".join([price, *moved[:MOST]]))


def leaning(found: Findings) -> Iterator[str]:
    """What may have got worse, so that nobody finds it in a picture under words that seem to deny it."""
    if found.unsaid:
        return
    worse = said([each for each in found.called("too close to call") if loss(each) >= LEANING][:MOST], found.figures)
    worse += [f"a larger {what} ({sizes})" for what, sizes, growth in lasting(found) if growth >= GROWN][:MOST]
    if worse:
        yield sentence(f"Not sure, for the noise may do as much: {joined(worse)}")


def loss(each: Difference) -> float:
    """By how much a share of water or corals is the worse after [-]."""
    if each.quantity != "share" or each.wanted is None or isnan(each.change):
        return 0.0
    return each.change if each.wanted == "less" else -each.change


def unmended(found: Findings) -> Iterator[str]:
    """The groups of corals that neither layout gives what they want, also where more of them have it than before."""
    for each in found.differences if not found.one_layout else ():
        if each.name.endswith(IN_BAND) and each.before < CONTENT and each.after < CONTENT:
            then, now = told_alike(each, found.system)
            shares = f"{then} have it before, {now} after"
            yield f"Neither layout gives {group(each.subject)} the current they want: {shares}."


def is_cost(each: Difference) -> bool:
    """Whether it tells of pump or glass, which no average decides, and is told neither as a gain nor as a loss."""
    wanted = each.name in ("total_flow", *COUNTED, "glass_removed") or each.name.endswith("/head")
    return wanted and not isnan(each.change) and each.verdict == "changed"


def loop_words(each: Difference, system: System) -> str:
    """How flow, head or glass changes."""
    way = "up" if each.change > 0 else "down"
    return f"{each.label} {way} by {figure(abs(each.change), each.quantity, system)}"


def further(found: Findings) -> Iterator[str]:
    """All that the first three do not tell."""
    yield from (sentence(f"It also brings {said([each], found.figures)[0]}") for each in found.called("better")[MOST:])
    gone = sorted(found.of_fate("went"), key=lambda pocket: -pocket.before.volume)
    for pocket in gone[1:]:
        yield sentence(f"The {pocket_words(pocket, found)} is gone too: {pocket.reason}")
    for pocket in found.of_fate("came"):
        yield sentence(f"The {pocket_words(pocket, found)} is new: {pocket.reason}")
    yield from kept(found)
    doubtful = found.of_fate("perhaps went", "perhaps came")
    if doubtful:
        many = f"{len(doubtful)} further pockets show" if len(doubtful) > 1 else "One further pocket shows"
        yield f"{many} in one of the two only, which the noise alone may do."
    close = [each for each in found.differences if each.verdict == "too close to call"]
    if close and not found.undecided:
        yield f"Too close to call: {', '.join(dict.fromkeys(short_phrase(each) for each in close))}."


def kept(found: Findings) -> Iterator[str]:
    """The pockets of both, but for those that are told to be larger already."""
    for what, sizes, growth in lasting(found):
        if found.unsaid or growth < GROWN:
            yield sentence(f"The {what} stays ({sizes})")


def lasting(found: Findings) -> Iterator[tuple[str, str, float]]:
    """The pockets of both in words, their size before and after, and the one over the other [-].

    Each once: several of before may have become one.
    """
    stayed = found.of_fate("stayed")
    for zone, phase in dict.fromkeys((pocket.after, phase_words(pocket)) for pocket in stayed):
        before = sum(pocket.before.volume for pocket in stayed if pocket.after is zone)
        then, now = (shown(volume, "volume", found.system, DIGITS, before) for volume in (before, zone.volume))
        yield f"{KINDS[zone.kind]} {zone.place}{phase}", f"{then} before, {now} after", zone.volume / before


def short_phrase(each: Difference) -> str:
    """A figure in a list."""
    return each.label if each.subject in PLAIN else f"{each.subject} ({each.label})"


def pocket_words(pocket: PocketChange, found: Findings) -> str:
    """A pocket by its kind, size and place: "dead pocket of 38 L behind the scanned arch, low"."""
    zone = pocket.zone
    size = shown(zone.volume, "volume", found.system, DIGITS)
    return f"{KINDS[zone.kind]} of {size} {zone.place}{phase_words(pocket)}"


def phase_words(pocket: PocketChange) -> str:
    """Which phase a pocket is in."""
    return f" in the phase {pocket.phase}" if pocket.phase else ""


def told_alike(each: Difference, system: System) -> list[str]:
    """A figure before and after, in one unit."""
    return [figure(value, each.quantity, system, beside=each.before) for value in (each.before, each.after)]


def told_apart(each: Difference, system: System) -> list[str]:
    """The same of a figure that is called, to a digit more where it would read as if nothing had changed."""
    told = told_alike(each, system)
    if told[0] != told[1] or each.quantity is None:
        return told
    return [shown(value, each.quantity, system, DIGITS + 1, each.before) for value in (each.before, each.after)]


def figure(value: float, quantity: str | None, system: System, beside: float | None = None) -> str:
    """A figure no finer than a sentence needs it, in the unit of the one that it is beside."""
    if quantity == "share":
        return percent(value)
    return f"{value:g}" if quantity is None else shown(value, quantity, system, DIGITS, beside)


def joined(words: Sequence[str]) -> str:
    """A list as one says it."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def sentence(words: str) -> str:
    """With a capital and a full stop."""
    return f"{capital(words).rstrip('.')}."


def capital(words: str) -> str:
    """With its first letter large."""
    return words[:1].upper() + words[1:]
