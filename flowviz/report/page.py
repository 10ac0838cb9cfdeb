"""From a study and its pictures to the text of the page."""

from base64 import b64encode
from functools import cache
from importlib.resources import files
from pathlib import Path

from jinja2 import Environment, FunctionLoader
from markupsafe import Markup

from flowviz.comparison import compare
from flowviz.draw.pictures import Picture
from flowviz.plumbing.dossier import dossier
from flowviz.report.chapters import chapters
from flowviz.report.client import facts, facts_of_two, sentences, sentences_of_two
from flowviz.report.pictures import Drawn
from flowviz.study import Study

KINDS = {".png": "image/png", ".svg": "image/svg+xml"}


def page(study: Study, drawn: Drawn, folder: Path, against: Study | None = None) -> str:
    """The whole page; the pictures lie in a folder."""
    told = dossier(study.scene)
    held = compare(against, study) if against else None
    return (
        environment()
        .get_template("page.html")
        .render(
            scene=study.scene,
            drawn=drawn,
            sentences=sentences_of_two(held) if held else sentences(study),
            facts=facts_of_two(held) if held else facts(study),
            chapters=chapters(study, told, drawn, held),
            uri=lambda picture: uri(picture, folder),
            source=lambda name: Markup(text_of(name)),
        )
    )


@cache
def environment() -> Environment:
    """Where templates come from; whatever is put into them is escaped."""
    return Environment(loader=FunctionLoader(text_of), autoescape=True, trim_blocks=True, lstrip_blocks=True)


def text_of(name: str) -> str:
    """A file of the page's own."""
    return files("flowviz.report").joinpath("pages", name).read_text(encoding="utf-8")


def uri(picture: Picture, folder: Path) -> str:
    """A picture as the page carries it."""
    path = folder / picture.file
    return f"data:{KINDS[path.suffix]};base64,{b64encode(path.read_bytes()).decode('ascii')}"
