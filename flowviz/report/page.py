"""From a study and its pictures to the text of the page."""

from base64 import b64encode
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path

from jinja2 import Environment, FunctionLoader
from markupsafe import Markup

from flowviz.comparison import compare
from flowviz.draw.pictures import Picture
from flowviz.plumbing.dossier import dossier
from flowviz.report.bar import bar
from flowviz.report.chapters import chapters
from flowviz.report.client import facts, facts_of_two, sentences, sentences_of_two
from flowviz.report.pictures import Drawn
from flowviz.report.turning import packed
from flowviz.study import Study
from flowviz.units import display_unit

SCRIPTS = ("shapes.js", "shaders.js", "viewer.js", "start.js")
KINDS = {".png": "image/png", ".svg": "image/svg+xml"}


def page(study: Study, drawn: Drawn, folder: Path, against: Study | None = None) -> str:
    """The whole page; the pictures lie in a folder."""
    told = dossier(study.scene)
    held = compare(against, study) if against else None
    template = environment().get_template("page.html")
    return template.render(
        scene=study.scene,
        drawn=drawn,
        sentences=sentences_of_two(held) if held else sentences(study),
        facts=facts_of_two(held) if held else facts(study),
        tanks=tanks(study, against),
        bar=bar(study.scene),
        length=Length(*display_unit("length", study.scene.show)),
        chapters=chapters(study, told, drawn, held),
        uri=lambda picture: uri(picture, folder),
        style=Markup(text_of("page.css")),
        script=Markup(joined(SCRIPTS)),
    )


@dataclass(frozen=True, slots=True)
class Tank:
    """A layout as the view that can be turned has it."""

    name: str
    packed: str


@dataclass(frozen=True, slots=True)
class Length:
    """How lengths are shown."""

    unit: str
    per_metre: float


def tanks(study: Study, against: Study | None) -> list[Tank]:
    """Before and after, or the one layout there is."""
    layouts = {"before": against, "after": study} if against else {"": study}
    return [Tank(name, packed(each)) for name, each in layouts.items()]


@cache
def environment() -> Environment:
    """Where templates come from; whatever is put into them is escaped."""
    return Environment(loader=FunctionLoader(text_of), autoescape=True, trim_blocks=True, lstrip_blocks=True)


def text_of(name: str) -> str:
    """A file of the page's own."""
    return files("flowviz.report").joinpath("pages", name).read_text(encoding="utf-8")


def joined(names: Sequence[str]) -> str:
    """Modules as one, in which they need not import each other."""
    lines = (line for name in names for line in text_of(name).splitlines())
    return "\n".join(line for line in lines if not line.startswith("import "))


def uri(picture: Picture, folder: Path) -> str:
    """A picture as the page carries it."""
    path = folder / picture.file
    return f"data:{KINDS[path.suffix]};base64,{b64encode(path.read_bytes()).decode('ascii')}"
