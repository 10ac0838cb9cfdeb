"""The named flat pictures of a study."""

from dataclasses import dataclass

import numpy as np
from matplotlib.figure import Figure

from flowviz.draw.bar import draw_bands, draw_bar
from flowviz.draw.key import (
    band_entries,
    corals_cut,
    draw_key,
    openings_line,
    plan_entries,
    section_entries,
    still_entries,
)
from flowviz.draw.lettering import short
from flowviz.draw.panel import panel
from flowviz.draw.paragraphs import Text, column, write
from flowviz.draw.plan import draw_plan
from flowviz.draw.planes import Section
from flowviz.draw.section import draw_section
from flowviz.draw.sheet import EDGE, GAP, add_axes, sheet
from flowviz.draw.slices import Plane, flat
from flowviz.draw.still import Shot, draw_still
from flowviz.draw.theme import INK, QUIET, SMALL, TEXT, TITLE, blank, speed_scale
from flowviz.draw.titles import plan_title, section_title, study_title, whereabouts
from flowviz.scene.model import Intake, Outlet, Tank
from flowviz.study import Study

PAGE, PANEL, COLUMN_GAP = 11.5, 3.0, 0.25  # width of the still's page, of its figures, and between them and it [in]
STILL = (PAGE - 2 * EDGE - PANEL - COLUMN_GAP, 5.4)  # the largest still [in]
KEY = 0.55  # height of the still's key [in]


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """A picture that is drawn and not yet written."""

    figure: Figure
    title: str
    description: str  # for those who cannot see it


def section_view(study: Study, section: Section) -> View:
    """The picture of a section."""
    scene = study.scene
    title, where = section_title(study, section.subject), whereabouts(section.plane, scene.tank, scene.show)
    page = sheet(face(scene.tank, section.plane), head(title, f"{subject(study)}: {where}"), foot(study))
    scale = speed_scale(scene.limits)
    draw_section(page.picture, study, section.plane, scale)
    draw_bar(page.bar, scene.limits, scene.show, scale)
    draw_bands(page.bar, corals_cut(scene, section.plane), scale)
    draw_key(page.key, [*section_entries(scene, section.plane), *band_entries(scene, section.plane)])
    return View(page.figure, title, f"{title}. {where[0].upper()}{where[1:]}.")


def plan_view(study: Study) -> View:
    """The picture from above."""
    scene, title = study.scene, plan_title(study)
    over = head(title, f"{subject(study)}: seen from above, means over the depth")
    page = sheet(scene.tank.plan.size, over, foot(study))
    scale = speed_scale(scene.limits)
    draw_plan(page.picture, study, scale)
    draw_bar(page.bar, scene.limits, scene.show, scale)
    draw_key(page.key, plan_entries(scene))
    return View(page.figure, title, f"{title}. The tank seen from above.")


def still_view(study: Study, shot: Shot, image: np.ndarray) -> View:
    """The page of the still: the rendered picture, the figures beside it, the key below."""
    title = study_title(study)
    figure = blank(PAGE, PAGE)
    line = PAGE - 2 * EDGE
    above = column(head(title, f"{subject(study)}: seen from the {short(shot.standpoint.side)}"), line, figure)
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


def face(tank: Tank, cut: Plane) -> tuple[float, float]:
    """Width and height of a picture of a plane [m]."""
    return flat((*tank.plan.size, tank.height), cut.axis)


def subject(study: Study) -> str:
    """The scene, and which phase of its cycle is shown."""
    phase = study.main_phase
    return f"{short(study.scene.title, 80)}{f', phase {short(phase.name)}' if phase else ''}"


def head(title: str, below: str) -> tuple[Text, ...]:
    """What stands over a picture."""
    return (Text(title, TITLE, INK, "bold", 2), Text(below, TEXT, QUIET))


def foot(study: Study) -> tuple[Text, ...]:
    """What stands under a picture: the openings by their badges."""
    kinds = ((Outlet, "Outlets"), (Intake, "Intakes"))
    return tuple(Text(openings_line(study, kind, noun), SMALL) for kind, noun in kinds)
