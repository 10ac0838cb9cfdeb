"""From a comparison to pictures in a folder: what moved, what got better, what it cost."""

from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from dataclasses import replace
from pathlib import Path

from matplotlib.axes import Axes

from flowviz.comparison import Comparison
from flowviz.comparison.speeds import speed_change
from flowviz.draw.comparison import Layouts, Mark, alike, sections_view, stills_view
from flowviz.draw.difference import difference_view, plane_of_change
from flowviz.draw.labels import Label
from flowviz.draw.lettering import short
from flowviz.draw.moves import Move, Point, mark_moves, moves
from flowviz.draw.paragraphs import Text
from flowviz.draw.pictures import Album, Form, as_caution, write
from flowviz.draw.rendering import rendering
from flowviz.draw.still import Shot, seen
from flowviz.draw.theme import TEXT
from flowviz.draw.verdicts import verdicts_view
from flowviz.draw.views import View, head
from flowviz.errors import GraphicsError

HEADINGS = ("Before", "After")
SENTENCES = 3  # of the reasons, over the stills


def write_comparison(comparison: Comparison, folder: Path, form: Form = "png") -> Album:
    """Draw a comparison into a folder: stills side by side, sections, where the water changed, and the verdicts.

    Where this machine cannot render the stills the rest is drawn, and a caution says what to install.
    """
    layouts = dict(zip(HEADINGS, (comparison.before, comparison.after), strict=True))
    shots = alike(layouts)
    with ExitStack() as stack:
        jobs = [
            stack.enter_context(rendering(shot.view(study)))
            for shot, study in zip(shots, layouts.values(), strict=True)
        ]
        flat = [write(view, name, folder, form) for name, view in flat_views(comparison, layouts)]
        try:
            images = [job.image() for job in jobs]
        except GraphicsError as error:
            return Album(tuple(flat), (as_caution(error),))
        view = stills_view(layouts, shots, images, above(comparison, shots[0]), marker(comparison))
        return Album((write(view, "before-and-after", folder, form), *flat), ())


def flat_views(comparison: Comparison, layouts: Layouts) -> Iterator[tuple[str, View]]:
    """The flat pictures, by name."""
    yield "verdicts", replace(verdicts_view(comparison), title="Every share before and after, with its verdict")
    change = speed_change(comparison.before, comparison.after)
    cut = plane_of_change(comparison, change)
    if cut is not None:
        sections = sections_view(layouts, cut.axis, cut.at, comparison.title)
        yield "sections-before-and-after", replace(sections, title="Sections through what changed most")
        yield "difference", difference_view(comparison, cut, change)


def above(comparison: Comparison, shot: Shot) -> tuple[Text, ...]:
    """What stands over the stills: the title, from where they are seen, and the reasons."""
    seen_from = f"Seen from the {short(shot.standpoint.side)}; all speeds are means over time"
    return (*head(comparison.title, seen_from), *(Text(words, TEXT) for words in comparison.reasons[:SENTENCES]))


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
