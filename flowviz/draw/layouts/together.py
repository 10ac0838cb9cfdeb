"""Layouts of a tank below each other, on one scale of speed: what a change of plan brings."""

from collections.abc import Callable, Iterable, Mapping, Sequence

import numpy as np
from matplotlib.axes import Axes

from flowviz.assess.words import named
from flowviz.draw.flat.pages import face, section_entries
from flowviz.draw.flat.section import draw_section
from flowviz.draw.flat.slices import plane_at
from flowviz.draw.flat.titles import whereabouts
from flowviz.draw.layouts.moves import moves
from flowviz.draw.layouts.stack import LINE, Block, stack
from flowviz.draw.sheets.bar import draw_bar
from flowviz.draw.sheets.key import draw_key
from flowviz.draw.sheets.labels import Label
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.paragraphs import Text
from flowviz.draw.sheets.sheet import BAR, BAR_FOOT, BAR_LENGTH, BAR_WIDTH, EDGE, MARGIN, add_axes, add_picture
from flowviz.draw.sheets.theme import INK, TEXT, speed_scale
from flowviz.draw.sheets.view import View, foot, head
from flowviz.draw.sheets.wording import percent_within
from flowviz.draw.tank.camera import Sought, best_standpoint
from flowviz.draw.tank.page import still_entries
from flowviz.draw.tank.still import Shot, draw_still, in_trouble, shot_from
from flowviz.study import Study

HEADING = 12.0  # [pt]
LARGEST, LOW = (LINE, 3.4), 3.6  # the largest still, and the height of a section [in]
KEY = 0.45  # height of the key of the stills [in]

Layouts = Mapping[str, Study]  # heading to study
Mark = Callable[[Axes, Shot, int], Iterable[Label]]


def unmarked(axes: Axes, shot: Shot, number: int) -> Iterable[Label]:
    """Draw nothing."""
    return ()


SHARES = {"dead_fraction": "dead", "over_fraction": "too strong"}  # of the water


def comparison_title(layouts: Layouts) -> str:
    """What differs most between the layouts: the share of dead or of too-strong water."""
    found = {name: [getattr(study.measures, name) for study in layouts.values()] for name in SHARES}
    telling = max(SHARES, key=lambda name: max(found[name]) - min(found[name]))
    doubts = [study.measures.uncertainty[telling] for study in layouts.values()]
    shares = map(percent_within, found[telling], doubts)
    told = (f"{short(name)} {share}" for name, share in zip(layouts, shares, strict=True))
    return f"Water that is {SHARES[telling]}: {'; '.join(told)}"


def heading(name: str, study: Study) -> tuple[Text, Text]:
    """What stands over a layout's picture."""
    measures = study.measures
    told = (f"{percent_within(getattr(measures, s), measures.uncertainty[s])} {word}" for s, word in SHARES.items())
    when = f"In the phase {short(study.main_phase.name)}: " if study.main_phase else ""
    return Text(short(name, 60), HEADING, INK, "bold", 1), Text(when + ",  ".join(told), TEXT)


def alike(studies: Sequence[Study], widest: float, tallest: float) -> list[Shot]:
    """The stills of layouts, no larger than they may be [in], all seen from where most is seen of what is wrong in any
    of them and of what was moved.
    """
    first, *others = studies
    moved = [seats for study in others for seats in moved_to(first, study)]
    standpoint = best_standpoint(first.scene.tank, *map(in_trouble, studies), *moved)
    return [shot_from(standpoint, study.scene.tank, widest, tallest) for study in studies]


def moved_to(before: Study, after: Study) -> tuple[Sought, Sought]:
    """The openings that stand elsewhere or are new, where they stand after; those left out, where they stood."""
    found = moves(before.scene, after.scene)
    stand = [move.end for move in found if move.end]
    stood = [move.start for move in found if not move.end]
    return Sought(np.reshape(stand, (-1, 3)), after.grid), Sought(np.reshape(stood, (-1, 3)), before.grid)


def page_head(layouts: Layouts, shots: Sequence[Shot]) -> tuple[Text, ...]:
    """What stands over the stills of layouts of which no more is said."""
    below = f"Seen from {named(short(shots[0].standpoint.side))}; all speeds are means over time"
    return head(comparison_title(layouts), below)


def stills_view(
    layouts: Layouts, shots: Sequence[Shot], images: Sequence[np.ndarray], above: Sequence[Text], mark: Mark = unmarked
) -> View:
    """The rendered pictures of the layouts below each other, under paragraphs of which the first is the title.

    mark   draws into the picture of the layout of a number what else is to be seen there, and gives its labels
    """
    blocks = [
        Block(heading(name, study), (shot.width, shot.height), foot(study))
        for (name, study), shot in zip(layouts.items(), shots, strict=True)
    ]
    page = stack(above, blocks, KEY)
    for number, (study, shot, image) in enumerate(zip(layouts.values(), shots, images, strict=True)):
        axes = add_axes(page.figure, *page.places[number], shot.width, shot.height)
        axes.set(xlim=(-1, 1), ylim=(-1, 1))
        draw_still(axes, study, shot, image, list(mark(axes, shot, number)))
    scene = next(iter(layouts.values())).scene
    draw_key(add_axes(page.figure, EDGE, EDGE, LINE, KEY), still_entries(scene))
    words = " ".join(f"{text.words.removesuffix('.')}." for text in above)
    return View(page.figure, above[0].words, f"{words} Stills of the layouts below each other.")


def sections_view(layouts: Layouts, axis: int, at: float, title: str) -> View:
    """The layouts cut by the plane square to an axis (0, 1, 2) at a place on it [m], below each other."""
    studies = list(layouts.values())
    cuts = [plane_at(axis, at, study.grid) for study in studies]
    sizes = [face(study.scene.tank, cut) for study, cut in zip(studies, cuts, strict=True)]
    inches = min(min((LINE - 2 * MARGIN) / wide, LOW / tall) for wide, tall in sizes)
    blocks = [
        Block(heading(name, study), tuple(inches * side + 2 * MARGIN for side in size), foot(study))
        for (name, study), size in zip(layouts.items(), sizes, strict=True)
    ]
    where = whereabouts(cuts[0], studies[0].scene.tank, studies[0].scene.show)
    limits = list(dict.fromkeys(study.scene.limits for study in studies))
    page = stack(head(title, f"{where[0].upper()}{where[1:]}"), blocks, BAR * len(limits))
    scale = speed_scale(max(limits, key=lambda each: each.over))
    for place, study, cut, size in zip(page.places, studies, cuts, sizes, strict=True):
        draw_section(add_picture(page.figure, *place, size, inches), study, cut, scale)
    for number, each in enumerate(reversed(limits)):
        bar = add_axes(page.figure, EDGE, EDGE + number * BAR + BAR_FOOT, BAR_LENGTH, BAR_WIDTH)
        draw_bar(bar, each, studies[0].scene.show, scale)
    right = 2 * EDGE + BAR_LENGTH
    key = add_axes(page.figure, right, EDGE, EDGE + LINE - right, BAR)
    draw_key(key, section_entries(studies[0].scene, cuts[0]))
    return View(page.figure, title, f"{title}. {where[0].upper()}{where[1:]}, the layouts below each other.")
