"""One opening in several places: the measures along its way, and where they are best beyond the noise."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import comb, dist, isnan

from flowviz.assess.words import named
from flowviz.comparison.cautions import cautions
from flowviz.comparison.differences import OVER_THE_CYCLE, WORTH, WRONG, chances
from flowviz.comparison.figures import EXACT, Figure, Good, figures
from flowviz.comparison.noise import doubt
from flowviz.comparison.sentences import BED, IN_BAND, OVER_BAND, UNDER_BAND, figure, joined, phrase, sentence
from flowviz.flow.intervals import half_width_of_difference
from flowviz.scene.model import Caution, Vector
from flowviz.study import Study
from flowviz.units import System, shown

DIGITS = 3  # of a length in a sentence
SAID = 2  # gains that a title tells


@dataclass(frozen=True, slots=True)
class Curve:
    """One measure along the way."""

    name: str
    subject: str  # what it is about, in a table's words
    label: str
    quantity: str | None  # its kind for units.shown; None: a count or a plain number
    wanted: Good | None  # which of two is the better; None: neither is
    values: tuple[float, ...]  # at each place
    half_widths: tuple[float, ...]  # of their 95 % intervals; 0: no average decides it
    best: int | None  # number of the place with the best value; None: no value is better than another
    close: tuple[int, ...]  # the places that are too close to it to call
    worse: tuple[int, ...] = ()  # the places that are surely worse than the first

    @property
    def as_good(self) -> list[int]:
        """The best place, and those that are too close to it to call."""
        return [] if self.best is None else [self.best, *self.close]

    @property
    def decided(self) -> bool:
        """Whether any place is worse than the best."""
        return self.best is not None and len(self.close) < len(self.values) - 1

    @property
    def worth_moving(self) -> bool:
        """Whether a place is surely better than the first."""
        return self.decided and self.best != 0 and 0 not in self.close

    @property
    def one_sided(self) -> bool:
        """Whether it is one side only of the band that corals want: less of it may be more of the other."""
        return self.name.endswith((UNDER_BAND, OVER_BAND))

    @property
    def most(self) -> str:
        """What there is of it where it is best."""
        return "most" if self.wanted == "more" else "least"


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """An opening on its way, and what each place of it brings."""

    opening: str
    studies: tuple[Study, ...]  # one for each place
    places: tuple[Vector, ...]  # [m]
    moved: tuple[float, ...]  # how far each is from the first [m]
    curves: tuple[Curve, ...]
    title: str  # which place is the best, in one sentence, if any is
    reasons: tuple[str, ...]  # sentences: where each measure is best, as far as that can be told
    cautions: tuple[Caution, ...]


def course(studies: Sequence[Study], opening: str) -> Course:
    """What studies that differ in the place of one opening say of it."""
    places = tuple(next(each.centre for each in study.scene.openings if each.name == opening) for study in studies)
    moved = tuple(dist(places[0], place) for place in places)
    found = curves(studies)
    when = f", as means {OVER_THE_CYCLE}" if studies[0].cycle else ""
    system = studies[0].scene.show
    head, told = title(places, moved, found, system), tuple(reasons(opening, moved, found, system, when))
    return Course(opening, tuple(studies), places, moved, found, head, told, tuple(warnings(studies)))


def warnings(studies: Sequence[Study]) -> Iterator[Caution]:
    """What must be known before a course is believed."""
    yield from cautions(studies[0], studies[-1])
    if studies[0].scene.pipes:
        why = "Its run gets longer or shorter with it; write the lengths of the place that you choose into the scene"
        yield Caution("pipes", "are taken as they stand in the scene, wherever the opening is", why)


def curves(studies: Sequence[Study]) -> tuple[Curve, ...]:
    """Every measure that an average decides."""
    every = [figures(study) for study in studies]
    along = {name: tuple(told[name] for told in every) for name in every[0]}
    noisy = {name: told for name, told in along.items() if any(each.half_width != EXACT for each in told)}
    judged = [told for told in noisy.values() if told[0].good is not None]
    wrong = wrong_in_one(max(chances(judged), 1), len(studies))
    return tuple(curve(name, told, studies, wrong) for name, told in noisy.items())


def wrong_in_one(measures: int, places: int) -> float:
    """Share of cases in which noise may pass for a difference of one measure between two places.

    Any place may be the best by chance, and each is held against it, so that every pair counts.
    """
    return WRONG / (measures * comb(places, 2))


def curve(name: str, along: Sequence[Figure], studies: Sequence[Study], wrong: float) -> Curve:
    """One measure; wrong is the share of cases in which noise may pass for a place being worse than another one."""
    first, values = along[0], tuple(each.value for each in along)
    best, close, worse = None, (), ()
    known = [value for value in values if not isnan(value)]
    if first.good is not None and known:
        best = values.index(min(known) if first.good == "less" else max(known))
        close = tuple(n for n in range(len(values)) if n != best and not differs(n, best, along, studies, wrong))
        changed = [n for n in range(1, len(values)) if differs(n, 0, along, studies, wrong)]
        worse = tuple(n for n in changed if (values[n] > values[0]) == (first.good == "less"))
    widths = tuple(each.half_width for each in along)
    return Curve(name, first.subject, first.label, first.quantity, first.good, values, widths, best, close, worse)


def differs(one: int, other: int, along: Sequence[Figure], studies: Sequence[Study], wrong: float) -> bool:
    """Whether two places differ by more than the noise, and enough to matter."""
    doubts = [doubt(along[n].half_width, studies[n]) for n in (one, other)]
    least = WORTH if along[one].quantity == "share" else 0.0
    return abs(along[one].value - along[other].value) > max(half_width_of_difference(*doubts, wrong), least)


def title(places: Sequence[Vector], moved: Sequence[float], found: Sequence[Curve], system: System) -> str:
    """The place that is surely better than the first, and by what, and what is surely not best there."""
    gains = [each for each in found if each.worth_moving and not each.one_sided]
    if not gains:
        decided = any(each.decided for each in found)
        none = "No place on the way is surely better than where it is"
        return none if decided else "Too close to call anywhere on the way"
    place = best_place(gains[0], found)
    at = ", ".join(shown(part, "length", system, DIGITS) for part in places[place])
    way = f"{shown(moved[place], 'length', system, DIGITS)} from where it is, at {at}"
    brought = [each for each in gains if place in each.as_good]
    told = joined([f"{each.most} {in_words(each)}" for each in brought[:SAID]])
    against = drawback(place, moved, found, system)
    if against:
        return f"No place is best for all: {told} {way}; but {against}"
    alike = [n for n in range(len(places)) if n != place and all(n in each.as_good for each in brought)]
    if alike:
        tried = f"As good as any of the {len(places)} places tried is {way}: {told}"
        return f"{tried}; {too_close(alike, moved, system)} to it to call"
    return f"Best of the {len(places)} places tried is {way}: {told}"


def drawback(place: int, moved: Sequence[float], found: Sequence[Curve], system: System) -> str:
    """What speaks against a place: corals that are surely better off elsewhere, or what is surely worse than it was."""
    elsewhere = rival(place, found)
    if elsewhere is not None:
        there = f"at {shown(moved[elsewhere.best], 'length', system, DIGITS)}" if elsewhere.best else "where it is"
        return f"{elsewhere.most} {in_words(elsewhere)} {there}"
    each = next((each for each in found if each.subject != BED and place in each.worse), None)
    if each is None:
        return ""
    now, then = (figure(each.values[n], each.quantity, system) for n in (place, 0))
    return f"{'more' if each.wanted == 'less' else 'less'} {in_words(each)} there ({now}) than where it is ({then})"


def best_place(first: Curve, found: Sequence[Curve]) -> int:
    """Number of the place that is as good as any by the first measure, then by the water, then by each group of corals.

    A measure by which none of those that are left is as good as any is passed over. Of several that are left it is
    the one where most of the corals have what they want.
    """
    left = first.as_good
    for each in found:
        if each.decided and not each.one_sided and each.subject != BED:
            left = [place for place in left if place in each.as_good] or left
    content = [each for each in found if each.name.endswith(IN_BAND) and each.best is not None]
    return max(left, key=lambda place: sum(each.values[place] for each in content))


def rival(place: int, found: Sequence[Curve]) -> Curve | None:
    """The first group of corals that surely has more of what it wants in another place than in that one."""
    groups = (each for each in found if each.name.endswith(IN_BAND) and each.decided)
    return next((each for each in groups if place not in each.as_good), None)


def in_words(each: Curve) -> str:
    """What a measure is of, after "most" or "least"."""
    return phrase(each.subject, each.label)


def reasons(opening: str, moved: Sequence[float], found: Sequence[Curve], system: System, when: str) -> Iterator[str]:
    """Where each measure is best; when says of what time they are."""
    steps = f"{len(moved)} places over {shown(moved[-1], 'length', system, DIGITS)}"
    yield sentence(f"{named(opening)} in {steps}; all measures stand against the way it has moved{when}")
    undecided = []
    for each in (each for each in found if each.best is not None):
        if each.decided:
            yield best_words(each, moved, system)
        else:
            undecided.append(f"{each.subject}, {each.label}")
    if undecided:
        yield sentence(f"Too close to call anywhere on the way: {'; '.join(undecided)}")


def best_words(each: Curve, moved: Sequence[float], system: System) -> str:
    """Where a measure is best, and where it may be as good."""
    value = figure(each.values[each.best], each.quantity, system)
    told = f"{each.subject}, {each.label}: {each.most} at {shown(moved[each.best], 'length', system, DIGITS)} ({value})"
    if each.close:
        told += f"; {too_close(each.close, moved, system)} to it to call"
    return sentence(told)


def too_close(places: Sequence[int], moved: Sequence[float], system: System) -> str:
    """Places by how far they are from the first: "100 mm and 200 mm are too close"."""
    ways = joined([shown(moved[n], "length", system, DIGITS) for n in places])
    return f"{ways} {'are' if len(places) > 1 else 'is'} too close"
