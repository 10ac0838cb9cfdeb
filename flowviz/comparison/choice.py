"""Several layouts of one tank: the measures of each, and which is best beyond the noise."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from flowviz.comparison.curves import Curve, Wording, best_of_each, curves, headline
from flowviz.comparison.differences import OVER_THE_CYCLE
from flowviz.comparison.layout import changes
from flowviz.comparison.sentences import sentence
from flowviz.scene.model import Scene
from flowviz.study import Study

TOLD = 3  # changes of a layout that are told


@dataclass(frozen=True, slots=True, eq=False)
class Choice:
    """Layouts, and what each of them brings."""

    studies: tuple[Study, ...]  # the first is what the others are held against
    names: tuple[str, ...]  # which layout is which, in a sentence each
    curves: tuple[Curve, ...]
    title: str  # which layout is the best, in one sentence, if any is
    reasons: tuple[str, ...]  # sentences: where each measure is best, as far as that can be told


def choice(studies: Sequence[Study]) -> Choice:
    """What three studies or more say of their layouts."""
    found, words, system = curves(studies), wording(len(studies)), studies[0].scene.show
    when = f"all measures are means {OVER_THE_CYCLE}" if any(study.cycle for study in studies) else ""
    told = (*([sentence(when)] if when else ()), *best_of_each(found, words, system))
    scenes = [study.scene for study in studies]
    return Choice(tuple(studies), tuple(which(scenes)), found, headline(found, words, system), told)


def wording(count: int) -> Wording:
    """How layouts are spoken of, by their numbers."""
    names = [f"layout {number}" for number in range(1, count + 1)]
    inside = [f"in {name}" for name in names]
    return Wording(
        one="layout",
        tried=f"{count} layouts",
        are=names,
        there=inside,
        where=inside,
        names=names,
        unmoved="No layout is surely better than layout 1",
        undecided="Too close to call between the layouts",
    )


def which(scenes: Sequence[Scene]) -> Iterator[str]:
    """What each layout is: its title, and what is otherwise than in the first."""
    for number, scene in enumerate(scenes, start=1):
        otherwise = [str(change) for change in changes(scenes[0], scene)] if number > 1 else []
        told = [*otherwise[:TOLD], *(["more is changed"] if len(otherwise) > TOLD else [])]
        yield sentence(f"layout {number} is {scene.title}" + (f": {'; '.join(told)}" if told else ""))
