"""The page of the still: the rendered picture, the figures beside it, the key below."""

import numpy as np
from matplotlib.lines import Line2D

from flowviz.assess.words import one_look
from flowviz.draw.sheets.key import BED, FRAME, OPENINGS, ROCKS, Entry, draw_key, hatched, screens
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.paragraphs import column, write
from flowviz.draw.sheets.sheet import EDGE, GAP, add_axes
from flowviz.draw.sheets.theme import blank
from flowviz.draw.sheets.view import View, foot, head, subject
from flowviz.draw.tank.panel import panel
from flowviz.draw.tank.stage import JET, WATCHED
from flowviz.draw.tank.still import Shot, draw_still
from flowviz.draw.tank.titles import study_title
from flowviz.scene.model import Scene
from flowviz.study import Study

PAGE, PANEL, COLUMN_GAP = 11.5, 3.0, 0.25  # width of the still's page, of its figures, and between them and it [in]
STILL = (PAGE - 2 * EDGE - PANEL - COLUMN_GAP, 5.4)  # the largest still [in]
KEY = 0.55  # height of the still's key [in]


def still_view(study: Study, shot: Shot, image: np.ndarray) -> View:
    """The page of the still: the rendered picture, the figures beside it, the key below."""
    title = study_title(study)
    figure = blank(PAGE, PAGE)
    line = PAGE - 2 * EDGE
    above = column(head(title, below_the_title(study, shot)), line, figure)
    beside, below = column(panel(study), PANEL, figure), column(foot(study), line, figure)
    middle = max(shot.height, beside.height)
    key = EDGE + below.height
    top = key + KEY + middle
    figure.set_size_inches(PAGE, top + GAP + above.height + EDGE)
    write(figure, above, EDGE, top + GAP + above.height)
    write(figure, beside, PAGE - EDGE - PANEL, top)
    write(figure, below, EDGE, key)
    left, bottom = EDGE + (STILL[0] - shot.width) / 2, top - (middle + shot.height) / 2
    draw_still(add_axes(figure, left, bottom, shot.width, shot.height), study, shot, image)
    draw_key(add_axes(figure, EDGE, key, line, KEY), still_entries(study.scene))
    return View(figure, title, " ".join((f"{title}.", *(text.words for text in panel(study) if text.words))))


def below_the_title(study: Study, shot: Shot) -> str:
    """What is seen from where, and of how short a look the shares are where it was one only."""
    settings = study.settings
    look = one_look(settings.detail, settings.marches, study.field.quality.averaged, study.scene.show)
    seen = f"{subject(study)}: seen from the {short(shot.standpoint.side)}"
    return f"{seen}; {look}" if look else seen


def still_entries(scene: Scene) -> list[Entry]:
    """The marks of the still."""
    way = (Line2D([], [], color=JET, linewidth=2), f"way of a jet in {WATCHED:.0f} s")
    standing = [*([ROCKS] if scene.rocks else []), *([BED] if scene.sand else []), *([FRAME] if scene.corals else [])]
    return [*hatched("dead water", "too strong"), *OPENINGS, *screens(scene), way, *standing]
