"""From layouts to pictures in a folder: what moved, what got better, what it cost."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path

from matplotlib.axes import Axes

from flowviz.assess.words import named
from flowviz.comparison import Comparison
from flowviz.comparison.places import one_ground
from flowviz.comparison.speeds import speed_change
from flowviz.draw.flat.planes import choose_sections
from flowviz.draw.layouts.difference import difference_view, plane_of_change
from flowviz.draw.layouts.moves import Move, Point, mark_moves, moves
from flowviz.draw.layouts.stack import APART
from flowviz.draw.layouts.together import (
    LARGEST,
    Layouts,
    Mark,
    alike,
    comparison_title,
    page_head,
    sections_view,
    stills_view,
)
from flowviz.draw.layouts.verdicts import verdicts_view
from flowviz.draw.pictures import Album, Form, as_caution, write
from flowviz.draw.sheets.labels import Label
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.paragraphs import Text
from flowviz.draw.sheets.theme import TEXT
from flowviz.draw.sheets.unlettered import lettering_cautions
from flowviz.draw.sheets.view import View, head
from flowviz.draw.tank.rendering import renderings
from flowviz.draw.tank.still import Shot, seen
from flowviz.errors import GraphicsError
from flowviz.folder import made

HEADINGS = ("Before", "After")
SENTENCES, LINES = 3, 6  # of the reasons, over the stills, and of each: the last one ends in what no layout mends


def write_comparison(comparison: Comparison, folder: str | Path, form: Form = "png") -> Album:
    """Draw a comparison into a folder, made if there is none: stills, sections, what changed, and the verdicts.

    Where this machine cannot render the stills the rest is drawn, and a caution says what to install.
    """
    layouts = dict(zip(HEADINGS, (comparison.before, comparison.after), strict=True))
    folder, shots = made(folder), alike(list(layouts.values()), *LARGEST)
    cautions = lettering_cautions(*(study.scene for study in layouts.values()))
    with renderings(shot.view(study) for shot, study in zip(shots, layouts.values(), strict=True)) as jobs:
        flat = [write(view, name, folder, form) for name, view in views_of_change(comparison, layouts)]
        try:
            images = [job.image() for job in jobs]
        except GraphicsError as error:
            return Album(tuple(flat), (as_caution(error), *cautions))
        view = stills_view(layouts, shots, images, above(comparison, shots[0]), marker(comparison))
        return Album((write(view, "before-and-after", folder, form), *flat), cautions)


def write_layouts(layouts: Layouts, folder: str | Path, form: Form = "png") -> Album:
    """Draw layouts of a tank into a folder: stills below each other, and the section that shows most of the first one.

    layouts   heading to study; all are seen from one side and coloured on one scale; of tanks of unlike plan there is
              no section
    folder    is made if there is none
    """
    folder, shots = made(folder), alike(list(layouts.values()), *LARGEST)
    cautions = lettering_cautions(*(study.scene for study in layouts.values()))
    with renderings(shot.view(study) for shot, study in zip(shots, layouts.values(), strict=True)) as jobs:
        flat = [write(view, "sections", folder, form) for view in one_section(layouts)]
        try:
            stills = stills_view(layouts, shots, [job.image() for job in jobs], page_head(layouts, shots))
        except GraphicsError as error:
            return Album(tuple(flat), (as_caution(error), *cautions))
        return Album((write(stills, "tanks", folder, form), *flat), cautions)


def one_section(layouts: Layouts) -> Iterator[View]:
    """The layouts cut where most is seen of the first, if that is one place in all."""
    if one_ground(study.scene for study in layouts.values()):
        cut = choose_sections(next(iter(layouts.values())))[0].plane
        yield sections_view(layouts, cut.axis, cut.at, comparison_title(layouts))


def views_of_change(comparison: Comparison, layouts: Layouts) -> Iterator[tuple[str, View]]:
    """What a comparison shows but the stills, by name; of tanks of unlike plan no places are compared."""
    yield "verdicts", replace(verdicts_view(comparison), title="Every share before and after, with its verdict")
    if not one_ground(study.scene for study in layouts.values()):
        return
    change = speed_change(comparison.before, comparison.after)
    cut = plane_of_change(comparison, change)
    if cut is not None:
        sections = sections_view(layouts, cut.axis, cut.at, comparison.title)
        yield "sections-before-and-after", replace(sections, title="Sections through what changed most")
        yield "difference", difference_view(comparison, cut, change)


def above(comparison: Comparison, shot: Shot) -> tuple[Text, ...]:
    """What stands over the stills: the title, from where they are seen, and the reasons."""
    seen_from = f"Seen from {named(short(shot.standpoint.side))}; all speeds are means over time"
    if not one_ground((comparison.before.scene, comparison.after.scene)):
        seen_from = f"Two tanks of unlike size or shape, each as large as the page allows. {seen_from}"
    reasons = (Text(words, TEXT, most=LINES, apart=APART) for words in comparison.reasons[:SENTENCES])
    return (*head(comparison.title, seen_from), *reasons)


def marker(comparison: Comparison) -> Mark:
    """Marks in the later picture what was moved."""
    found = moves(comparison.before.scene, comparison.after.scene)

    def mark(axes: Axes, shot: Shot, number: int) -> Iterable[Label]:
        return mark_moves(axes, [(move, *in_the_picture(move, shot)) for move in found]) if number else ()

    return mark


def in_the_picture(move: Move, shot: Shot) -> tuple[Point | None, Point | None]:
    """Where a move starts and ends in a still."""
    start, end = (seen([at], shot)[0] if at else None for at in (move.start, move.end))
    return start, end
