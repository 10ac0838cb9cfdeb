"""The measures of several studies side by side, and in which of them each is best beyond the noise."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import comb, isnan

from flowviz.comparison.apart import apart
from flowviz.comparison.differences import WORTH, WRONG, by_one_measure, chances
from flowviz.comparison.figures import EXACT, Figure, Good, figures
from flowviz.comparison.noise import doubt
from flowviz.comparison.sentences import BED, IN_BAND, OVER_BAND, UNDER_BAND, figure, joined, phrase, sentence
from flowviz.flow.intervals import half_width_of_difference
from flowviz.study import Study
from flowviz.units import System

SAID = 2  # gains that a title tells


@dataclass(frozen=True, slots=True)
class Curve:
    """One measure of all studies."""

    name: str
    subject: str  # what it is about, in a table's words
    label: str
    quantity: str | None  # its kind for units.shown; None: a count or a plain number
    wanted: Good | None  # which of two is the better; None: neither is
    values: tuple[float, ...]  # of each study
    half_widths: tuple[float, ...]  # of their 95 % intervals; 0: no average decides it
    best: int | None  # number of the study with the best value; None: no value is better than another
    close: tuple[int, ...]  # those that are too close to it to call
    worse: tuple[int, ...] = ()  # those that are surely worse than the first

    @property
    def as_good(self) -> list[int]:
        """The best study, and those that are too close to it to call."""
        return [] if self.best is None else [self.best, *self.close]

    @property
    def decided(self) -> bool:
        """Whether any study is worse than the best."""
        return self.best is not None and len(self.close) < len(self.values) - 1

    @property
    def worth_moving(self) -> bool:
        """Whether a study is surely better than the first."""
        return self.decided and self.best != 0 and 0 not in self.close

    @property
    def one_sided(self) -> bool:
        """Whether it is one side only of the band that corals want: less of it may be more of the other."""
        return self.name.endswith((UNDER_BAND, OVER_BAND))

    @property
    def most(self) -> str:
        """What there is of it where it is best."""
        return "most" if self.wanted == "more" else "least"


@dataclass(frozen=True, slots=True)
class Wording:
    """How studies are spoken of, as the places of an opening are or layouts; of each sequence one for each study."""

    one: str  # "place"
    tried: str  # all of them: "3 places tried"
    are: Sequence[str]  # "200 mm from where it is"
    there: Sequence[str]  # where something is: "200 mm from where it is"
    where: Sequence[str]  # the same, shorter: "at 200 mm", "where it is"
    names: Sequence[str]  # "200 mm"
    unmoved: str  # that none is better than the first
    undecided: str  # that all are too close to call


def curves(studies: Sequence[Study]) -> tuple[Curve, ...]:
    """Every measure that an average decides and that all have."""
    every = [figures(study) for study in studies]
    names = [name for name in every[0] if all(name in told for told in every)]
    along = judged_alike({name: tuple(told[name] for told in every) for name in names}, studies)
    noisy = {name: told for name, told in along.items() if any(each.half_width != EXACT for each in told)}
    judged = [told for told in noisy.values() if told[0].good is not None]
    wrong = wrong_in_one(max(chances(judged), 1), len(studies))
    return tuple(curve(name, told, studies, wrong) for name, told in noisy.items())


def judged_alike(along: Mapping[str, tuple[Figure, ...]], studies: Sequence[Study]) -> Mapping[str, tuple[Figure, ...]]:
    """The figures of all studies; none is the better where one judges by a limit or a band of its own."""
    apart = set()
    for number, other in enumerate(studies[1:], start=1):
        pairs = by_one_measure(
            {name: (told[0], told[number]) for name, told in along.items()}, studies[0].scene, other.scene
        )
        apart |= {name for name, pair in pairs.items() if pair[0].good is None}
    return {
        name: tuple(replace(each, good=None) for each in told) if name in apart else told
        for name, told in along.items()
    }


def wrong_in_one(measures: int, studies: int) -> float:
    """Share of cases in which noise may pass for a difference of one measure between two studies.

    Any of them may be the best by chance, and each is held against it, so that every pair counts.
    """
    return WRONG / (measures * comb(studies, 2))


def curve(name: str, along: Sequence[Figure], studies: Sequence[Study], wrong: float) -> Curve:
    """One measure; wrong is the share of cases in which noise may pass for one study being worse than another one."""
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
    """Whether two studies differ by more than the noise, and enough to matter."""
    doubts = [doubt(along[n].half_width, studies[n]) for n in (one, other)]
    least = WORTH if along[one].quantity == "share" else 0.0
    width = 0.0 if apart(along[one], along[other], wrong) else half_width_of_difference(*doubts, wrong)
    return abs(along[one].value - along[other].value) > max(width, least)


def headline(found: Sequence[Curve], wording: Wording, system: System) -> str:
    """The study that is surely better than the first, and by what, and what is surely not best there."""
    gains = [each for each in found if each.worth_moving and not each.one_sided]
    if not gains:
        return wording.unmoved if any(each.decided for each in found) else wording.undecided
    number = best_of_all(gains[0], found)
    brought = [each for each in gains if number in each.as_good]
    told = joined([f"{each.most} {in_words(each)}" for each in brought[:SAID]])
    against = drawback(number, found, wording, system)
    if against:
        return f"No {wording.one} is best for all: {told} {wording.there[number]}; but {against}"
    alike = [n for n in range(len(wording.names)) if n != number and all(n in each.as_good for each in brought)]
    if alike:
        tried = f"As good as any of the {wording.tried} is {wording.are[number]}: {told}"
        return f"{tried}; {too_close(alike, wording)} to it to call"
    return f"Best of the {wording.tried} is {wording.are[number]}: {told}"


def drawback(number: int, found: Sequence[Curve], wording: Wording, system: System) -> str:
    """What speaks against a study: corals that are surely better off in another, or what is surely worse than first."""
    elsewhere = rival(number, found)
    if elsewhere is not None:
        return f"{elsewhere.most} {in_words(elsewhere)} {wording.where[elsewhere.best]}"
    each = next((each for each in found if each.subject != BED and number in each.worse), None)
    if each is None:
        return ""
    now, then = (figure(each.values[n], each.quantity, system) for n in (number, 0))
    more = "more" if each.wanted == "less" else "less"
    return f"{more} {in_words(each)} there ({now}) than {wording.where[0]} ({then})"


def best_of_all(first: Curve, found: Sequence[Curve]) -> int:
    """Number of the study that is as good as any by the first measure, then by the water, then by each group of corals.

    A measure by which none of those that are left is as good as any is passed over. Of several that are left it is
    the one where most of the corals have what they want.
    """
    left = first.as_good
    for each in found:
        if each.decided and not each.one_sided and each.subject != BED:
            left = [number for number in left if number in each.as_good] or left
    content = [each for each in found if each.name.endswith(IN_BAND) and each.best is not None]
    return max(left, key=lambda number: sum(each.values[number] for each in content))


def rival(number: int, found: Sequence[Curve]) -> Curve | None:
    """The first group of corals that surely has more of what it wants in another study than in that one."""
    groups = (each for each in found if each.name.endswith(IN_BAND) and each.decided)
    return next((each for each in groups if number not in each.as_good), None)


def in_words(each: Curve) -> str:
    """What a measure is of, after "most" or "least"."""
    return phrase(each.subject, each.label)


def best_of_each(found: Sequence[Curve], wording: Wording, system: System) -> Iterator[str]:
    """Sentences: where each measure is best, and last those that are too close to call everywhere."""
    undecided = []
    for each in (each for each in found if each.best is not None):
        if each.decided:
            yield best_words(each, wording, system)
        else:
            undecided.append(f"{each.subject}, {each.label}")
    if undecided:
        yield sentence(f"{wording.undecided}: {'; '.join(undecided)}")


def best_words(each: Curve, wording: Wording, system: System) -> str:
    """Where a measure is best, and where it may be as good."""
    value = figure(each.values[each.best], each.quantity, system)
    told = f"{each.subject}, {each.label}: {each.most} {wording.where[each.best]} ({value})"
    if each.close:
        told += f"; {too_close(each.close, wording)} to it to call"
    return sentence(told)


def too_close(numbers: Sequence[int], wording: Wording) -> str:
    """Studies by their names: "100 mm and 200 mm are too close"."""
    return f"{joined([wording.names[n] for n in numbers])} {'are' if len(numbers) > 1 else 'is'} too close"
