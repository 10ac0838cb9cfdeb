"""A picture that is drawn, and what stands over and under every one."""

from dataclasses import dataclass

from matplotlib.figure import Figure

from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.paragraphs import Text
from flowviz.draw.sheets.theme import INK, QUIET, SMALL, TEXT, TITLE
from flowviz.draw.sheets.wording import badges
from flowviz.scene.model import Intake, Outlet
from flowviz.study import Study
from flowviz.units import System, shown

KEPT = "\N{NO-BREAK SPACE}"  # between a badge and what it is of: no line ends there


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """A picture that is drawn and not yet written."""

    figure: Figure
    title: str
    description: str  # for those who cannot see it


def head(title: str, below: str) -> tuple[Text, ...]:
    """What stands over a picture."""
    return (Text(title, TITLE, INK, "bold", 3), Text(below, TEXT, QUIET))


def subject(study: Study) -> str:
    """The scene, and which phase of its cycle is shown."""
    phase = study.main_phase
    return f"{short(study.scene.title, 80)}{f', phase {short(phase.name)}' if phase else ''}"


def foot(study: Study) -> tuple[Text, ...]:
    """What stands under a picture: the openings by their badges."""
    kinds = ((Outlet, "Outlets"), (Intake, "Intakes"))
    return tuple(Text(openings_line(study, kind, noun), SMALL) for kind, noun in kinds)


def flow_told(rate: float, show: System) -> str:
    """What an opening passes."""
    return shown(abs(rate), "flow", show) if rate else "at rest"


def openings_line(study: Study, kind: type[Outlet | Intake], noun: str) -> str:
    """Badge, name and flow of each opening of a kind."""
    letters, show = badges(study.scene), study.scene.show
    told = [
        f"{letters[opening.name]}{KEPT}{short(opening.name)}, {flow_told(study.loop.rates[opening.name], show)}"
        for opening in study.scene.openings
        if isinstance(opening, kind)
    ]
    return f"{noun}: {'; '.join(told)}"
