"""One opening in several places: the measures along its way, and where they are best beyond the noise."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import dist

from flowviz.assess.words import named
from flowviz.comparison.cautions import cautions
from flowviz.comparison.curves import Curve, Wording, best_of_each, curves, headline
from flowviz.comparison.differences import OVER_THE_CYCLE
from flowviz.comparison.sentences import sentence
from flowviz.scene.model import Caution, Vector
from flowviz.study import Study
from flowviz.units import System, shown

DIGITS = 3  # of a length in a sentence


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
    found, system = curves(studies), studies[0].scene.show
    when = f", as means {OVER_THE_CYCLE}" if studies[0].cycle else ""
    words = wording(places, moved, system)
    told = tuple(reasons(opening, found, words, system, when))
    head = headline(found, words, system)
    return Course(opening, tuple(studies), places, moved, found, head, told, tuple(warnings(studies)))


def warnings(studies: Sequence[Study]) -> Iterator[Caution]:
    """What must be known before a course is believed."""
    yield from cautions(studies[0], studies[-1])
    if studies[0].scene.pipes:
        why = "Its run gets longer or shorter with it; write the lengths of the place that you choose into the scene"
        yield Caution("pipes", "are taken as they stand in the scene, wherever the opening is", why)


def wording(places: Sequence[Vector], moved: Sequence[float], system: System) -> Wording:
    """How places are spoken of, by how far they are from the first."""
    names = [shown(way, "length", system, DIGITS) for way in moved]
    at = [", ".join(shown(part, "length", system, DIGITS) for part in place) for place in places]
    whole = [f"{name} from where it is, at {place}" for name, place in zip(names, at, strict=True)]
    return Wording(
        one="place",
        tried=f"{len(places)} places tried",
        are=whole,
        there=whole,
        where=["where it is", *(f"at {name}" for name in names[1:])],
        names=names,
        unmoved="No place on the way is surely better than where it is",
        undecided="Too close to call anywhere on the way",
    )


def reasons(opening: str, found: Sequence[Curve], words: Wording, system: System, when: str) -> Iterator[str]:
    """Where each measure is best; when says of what time they are."""
    steps = f"{len(words.names)} places over {words.names[-1]}"
    yield sentence(f"{named(opening)} in {steps}; all measures stand against the way it has moved{when}")
    yield from best_of_each(found, words, system)
