"""The stills of a report: the tank, its key and the names of its openings, as wide as fits on either paper."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from flowviz.assess.words import named
from flowviz.comparison import Comparison
from flowviz.draw.layouts.pictures import marker
from flowviz.draw.layouts.together import Mark, alike, unmarked
from flowviz.draw.pictures import Picture, write
from flowviz.draw.sheets.key import draw_key
from flowviz.draw.sheets.paragraphs import Text, column
from flowviz.draw.sheets.paragraphs import write as write_column
from flowviz.draw.sheets.sheet import GAP, add_axes
from flowviz.draw.sheets.theme import blank
from flowviz.draw.sheets.view import View, foot
from flowviz.draw.sheets.wording import badges
from flowviz.draw.tank.camera import standpoints
from flowviz.draw.tank.page import still_entries
from flowviz.draw.tank.still import Shot, draw_still, set_up, shot_from
from flowviz.draw.tank.titles import study_title
from flowviz.study import Study

WIDTH, TALLEST = 7.0, 3.4  # of a still: what fits between the margins of either paper [in]
TALLEST_OF_TWO = 2.5  # where one stands over the other [in]
MARKED = 1  # number of the layout whose still bears marks
KEY, SIDE = 0.62, 0.1  # height of the key below it, and white border beside what is written [in]


@dataclass(frozen=True, slots=True, eq=False)
class Sight:
    """A still to be drawn."""

    name: str
    title: str
    study: Study
    shot: Shot
    names: tuple[Text, ...]  # of its openings, that stand below
    mark: Mark = unmarked  # draws what else is to be seen, and gives its labels


def written(sights: Sequence[Sight], images: Sequence[np.ndarray], folder: Path) -> Iterator[Picture]:
    """The rendered stills as files; of two layouts the second bears the key of both."""
    for number, (sight, image) in enumerate(zip(sights, images, strict=True)):
        figure = bare(sight, image) if number < len(sights) - 2 else keyed(sight, image)
        words = f"{sight.title}. {study_title(sight.study)}."
        yield write(View(figure, sight.title, words), sight.name, folder, "png")


def sights_of_one(study: Study) -> Iterator[Sight]:
    """The tank, and from another side."""
    first = set_up(study, WIDTH, TALLEST)
    yield Sight(
        "tank", f"The tank{phase_words(study)} seen from {named(first.standpoint.side)}", study, first, foot(study)
    )
    yield from_behind(study, first)


def sights_of_two(held: Comparison) -> Iterator[Sight]:
    """Both layouts from one side, with what was moved marked in the second, and that from another side.

    The first names its openings only where their badges are others.
    """
    before, after = held.before, held.after
    first, second = alike((before, after), WIDTH, TALLEST_OF_TWO)
    seen = f"seen from {named(first.standpoint.side)}"
    names = () if badges(before.scene) == badges(after.scene) else foot(before)
    then, now = (f"{each.scene.title}{phase_words(each)}, {seen}" for each in (before, after))
    yield Sight("before", f"Before: {then}", before, first, names)
    yield Sight("after", f"After: {now}", after, second, foot(after), marker(held))
    yield from_behind(after, first)


def phase_words(study: Study) -> str:
    """Which phase of its cycle a still shows, after a name."""
    return f" in the phase {study.main_phase.name}" if study.main_phase else ""


def from_behind(study: Study, first: Shot) -> Sight:
    """A study from where it looks least like the first."""
    seen_by = first.standpoint.direction
    standpoint = min(standpoints(study.scene.tank), key=lambda other: float(other.direction @ seen_by))
    shot = shot_from(standpoint, study.scene.tank, WIDTH, TALLEST)
    other_end = ", from its other end" if standpoint.side == first.standpoint.side else ""
    seen = f"seen from {named(standpoint.side)}{other_end}"
    return Sight("tank-other-side", f"The tank{phase_words(study)} {seen}", study, shot, foot(study))


def bare(sight: Sight, image: np.ndarray) -> object:
    """The rendered picture with its labels, over the names of its openings."""
    return paged(sight, image, 0.0)


def keyed(sight: Sight, image: np.ndarray) -> object:
    """The same, and its key below."""
    figure = paged(sight, image, KEY)
    draw_key(add_axes(figure, SIDE, 0.0, WIDTH - 2 * SIDE, KEY), still_entries(sight.study.scene))
    return figure


def paged(sight: Sight, image: np.ndarray, free: float) -> object:
    """The rendered picture over the names of its openings, and below them a strip that is left free [in]."""
    figure = blank(WIDTH, WIDTH)
    names = column(sight.names, WIDTH - 2 * SIDE, figure)
    bottom = free + names.height + GAP
    figure.set_size_inches(WIDTH, sight.shot.height + bottom)
    write_column(figure, names, SIDE, bottom - GAP)
    put(figure, bottom, sight, image)
    return figure


def put(figure: object, bottom: float, sight: Sight, image: np.ndarray) -> None:
    """The picture into its page, its foot at a height [in]."""
    shot = sight.shot
    axes = add_axes(figure, (WIDTH - shot.width) / 2, bottom, shot.width, shot.height)
    axes.set(xlim=(-1, 1), ylim=(-1, 1))
    draw_still(axes, sight.study, shot, image, list(sight.mark(axes, shot, MARKED)))
