"""From a study to pictures in a folder."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from flowviz.draw.planes import choose_sections
from flowviz.draw.rendering import rendering
from flowviz.draw.still import set_up
from flowviz.draw.views import STILL, View, plan_view, section_view, still_view
from flowviz.errors import GraphicsError
from flowviz.scene.model import Caution
from flowviz.study import Study

COMPRESSION = 3  # of PNG, 0 to 9: more takes longer than it saves


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture that lies in a folder."""

    file: str
    title: str  # a sentence: what is to be seen
    description: str  # for those who cannot see it


@dataclass(frozen=True, slots=True)
class Album:
    """The pictures of a study, and why one is missing."""

    pictures: tuple[Picture, ...]
    cautions: tuple[Caution, ...]


def write_pictures(study: Study, folder: Path) -> Album:
    """Draw a study into a folder: the still, the view from above and three sections.

    Where this machine cannot render the still the rest is drawn, and a caution says what to install.
    """
    shot = set_up(study, *STILL)
    with rendering(shot.view(study)) as job:
        flat = [write(view, name, folder) for name, view in flat_views(study)]
        try:
            still = write(still_view(study, shot, job.image()), "tank", folder)
        except GraphicsError as error:
            return Album(tuple(flat), (Caution(error.where, error.fault, error.remedy),))
    return Album((still, *flat), ())


def flat_views(study: Study) -> Iterator[tuple[str, View]]:
    """The flat pictures of a study, by name."""
    yield "plan", plan_view(study)
    for number, section in enumerate(choose_sections(study), start=1):
        yield f"section-{number}", section_view(study, section)


def write(view: View, name: str, folder: Path) -> Picture:
    """Write one picture."""
    file = f"{name}.png"
    view.figure.savefig(Path(folder, file), pil_kwargs={"compress_level": COMPRESSION})
    return Picture(file, view.title, view.description)
