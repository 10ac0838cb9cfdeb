"""The named flat pictures of a study."""

from dataclasses import dataclass

from matplotlib.figure import Figure

from flowviz.draw.bar import draw_bar
from flowviz.draw.key import draw_key, openings_line, section_entries
from flowviz.draw.lettering import short
from flowviz.draw.planes import Section
from flowviz.draw.section import draw_section
from flowviz.draw.sheet import Text, sheet
from flowviz.draw.slices import SIDES
from flowviz.draw.theme import INK, QUIET, SMALL, TEXT, TITLE
from flowviz.draw.titles import section_title, whereabouts
from flowviz.scene.model import Intake, Outlet
from flowviz.study import Study


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
    extents = (*scene.tank.plan.size, scene.tank.height)
    size = tuple(extents[side] for side in SIDES[section.plane.axis])
    page = sheet(size, head(title, f"{where}.  {short(scene.title, 80)}"), foot(study))
    draw_section(page.picture, study, section.plane)
    draw_bar(page.bar, scene.limits, scene.show)
    draw_key(page.key, section_entries(study))
    return View(page.figure, title, f"{title}. {where}.")


def head(title: str, below: str) -> tuple[Text, ...]:
    """What stands over a picture."""
    return (Text(title, TITLE, INK, "bold", 2), Text(below, TEXT, QUIET))


def foot(study: Study) -> tuple[Text, ...]:
    """What stands under a picture: the openings by their badges."""
    kinds = ((Outlet, "Outlets"), (Intake, "Intakes"))
    return tuple(Text(openings_line(study, kind, noun), SMALL, INK) for kind, noun in kinds)
