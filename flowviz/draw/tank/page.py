"""The page of the still: the rendered picture, its key, the figures in columns below."""

import numpy as np
from matplotlib.lines import Line2D

from flowviz.assess.words import named, one_look
from flowviz.draw.sheets.key import BED, FRAME, OPENINGS, ROCKS, Entry, draw_key, hatched, screens
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.paragraphs import column, write
from flowviz.draw.sheets.sheet import EDGE, GAP, PAGE, add_axes
from flowviz.draw.sheets.theme import blank
from flowviz.draw.sheets.view import View, foot, head, subject
from flowviz.draw.tank.panel import panel
from flowviz.draw.tank.stage import JET, WATCHED
from flowviz.draw.tank.still import Shot, draw_still
from flowviz.draw.tank.titles import study_title
from flowviz.scene.model import Scene
from flowviz.study import Study

LINE = PAGE - 2 * EDGE  # width of what is set from edge to edge [in]
STILL = (LINE, 5.0)  # the largest still [in]
KEY = 0.55  # height of the still's key [in]
BETWEEN, BELOW = 0.3, 0.15  # columns of figures, and space below the longest [in]


def still_view(study: Study, shot: Shot, image: np.ndarray) -> View:
    """The page of the still: the rendered picture, its key, the figures in columns below."""
    title, columns, figure = study_title(study), panel(study), blank(PAGE, PAGE)
    above = column(head(title, below_the_title(study, shot)), LINE, figure)
    wide = (LINE + BETWEEN) / len(columns)
    told = [column(texts, wide - BETWEEN, figure) for texts in columns]
    last = column(foot(study), LINE, figure)
    figures = EDGE + last.height + BELOW + max(each.height for each in told)
    whole = figures + GAP + KEY + shot.height + GAP + above.height + EDGE
    figure.set_size_inches(PAGE, whole)
    write(figure, above, EDGE, whole - EDGE)
    for number, each in enumerate(told):
        write(figure, each, EDGE + number * wide, figures)
    write(figure, last, EDGE, EDGE + last.height)
    place = ((PAGE - shot.width) / 2, figures + GAP + KEY)
    draw_still(add_axes(figure, *place, shot.width, shot.height), study, shot, image)
    draw_key(add_axes(figure, EDGE, figures + GAP, LINE, KEY), still_entries(study.scene))
    words = (text.words for texts in columns for text in texts if text.words)
    return View(figure, title, " ".join((f"{title}.", *words)))


def below_the_title(study: Study, shot: Shot) -> str:
    """What is seen from where, and of how short a look the shares are where it was one only."""
    settings = study.settings
    look = one_look(settings.detail, settings.marches, study.field.quality.averaged, study.scene.show)
    seen = f"{subject(study)}: seen from {named(short(shot.standpoint.side))}"
    return f"{seen}; {look}" if look else seen


def still_entries(scene: Scene) -> list[Entry]:
    """The marks of the still."""
    way = (Line2D([], [], color=JET, linewidth=2), f"way of a jet in {WATCHED:.0f} s")
    standing = [*([ROCKS] if scene.rocks else []), *([BED] if scene.sand else []), *([FRAME] if scene.corals else [])]
    return [*hatched("dead water", "too strong"), *OPENINGS, *screens(scene), way, *standing]
