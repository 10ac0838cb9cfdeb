"""From a study to pictures in a folder."""

from collections.abc import Iterator, Mapping
from contextlib import nullcontext
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from matplotlib import rc_context

from flowviz.draw.flat.cycle import cycle_view
from flowviz.draw.flat.measured import measured_view
from flowviz.draw.flat.pages import plan_view, section_view
from flowviz.draw.flat.planes import choose_sections
from flowviz.draw.sheets.unlettered import lettering_cautions
from flowviz.draw.sheets.view import View
from flowviz.draw.tank.page import STILL, still_view
from flowviz.draw.tank.rendering import Renderer, renderer
from flowviz.draw.tank.still import set_up
from flowviz.errors import GraphicsError
from flowviz.folder import made
from flowviz.scene.model import Caution
from flowviz.study import Study

Form = Literal["png", "svg", "pdf"]

COMPRESSION = 3  # of PNG, 0 to 9: more takes longer than it saves
SAVING: Mapping[Form, Mapping[str, object]] = {  # no dates, so that the same study gives the same files
    "png": {"pil_kwargs": {"compress_level": COMPRESSION}},
    "svg": {"metadata": {"Date": None}},
    "pdf": {"metadata": {"CreationDate": None}},
}


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


def write_pictures(study: Study, folder: str | Path, form: Form = "png", ready: Renderer | None = None) -> Album:
    """Draw a study into a folder: the still, the view from above, three sections, the cycle and the measured points.

    folder  is made if there is none (see fresh_folder for one that appears whole)
    ready   a renderer that has been started before; None: one is started now

    Where this machine cannot render the still the rest is drawn, and a caution says what to install; so does one where
    its fonts lack signs of the names.
    """
    folder, shot, cautions = made(folder), set_up(study, *STILL), lettering_cautions(study.scene)
    with renderer() if ready is None else nullcontext(ready) as program:
        job = program.render(shot.view(study))
        flat = [write(view, name, folder, form) for name, view in flat_views(study)]
        try:
            still = still_view(study, shot, job.image())
        except GraphicsError as error:
            return Album(tuple(flat), (as_caution(error), *cautions))
        return Album((write(still, "tank", folder, form), *flat), cautions)


def flat_views(study: Study) -> Iterator[tuple[str, View]]:
    """The flat pictures of a study, by name."""
    yield "plan", plan_view(study)
    for number, section in enumerate(choose_sections(study), start=1):
        yield f"section-{number}", section_view(study, section)
    if study.cycle:
        yield "cycle", cycle_view(study)
    if study.measures.agreement:
        yield "measured", measured_view(study)


def write(view: View, name: str, folder: Path, form: Form) -> Picture:
    """Write one picture."""
    file = f"{name}.{form}"
    with rc_context({"svg.hashsalt": name}):
        view.figure.savefig(Path(folder, file), **SAVING[form])
    return Picture(file, view.title, view.description)


def as_caution(error: GraphicsError) -> Caution:
    """Why there is no still."""
    return Caution(error.where, error.fault, error.remedy)
