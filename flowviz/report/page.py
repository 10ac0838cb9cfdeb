"""From a study and its pictures to the text of the page."""

import re
from base64 import b64encode
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from io import BytesIO
from pathlib import Path

from jinja2 import Environment, FunctionLoader
from markupsafe import Markup
from PIL import Image

from flowviz.comparison import Comparison
from flowviz.draw.pictures import Picture
from flowviz.plumbing.dossier import Dossier
from flowviz.report.bar import bar
from flowviz.report.chapters import chapters
from flowviz.report.client import facts, facts_of_two, sentences, sentences_of_two
from flowviz.report.pictures import Drawn
from flowviz.report.turning import packed
from flowviz.study import Study
from flowviz.units import display_unit

SCRIPTS = ("shapes.js", "shaders.js", "graphics.js", "viewer.js", "start.js")
FIGURE = re.compile(r"(?<=[\d±→]) (?=\S)| (?=→)")  # spaces in and behind one
EFFORT, QUALITY = 1, 50  # of packing: more takes longer than it saves


def page(study: Study, told: Dossier, held: Comparison | None, drawn: Drawn, folder: Path) -> str:
    """The whole page; the pictures lie in a folder."""
    template = environment().get_template("page.html")
    return template.render(
        scene=study.scene,
        heading=heading(study, held),
        drawn=drawn,
        sentences=sentences_of_two(held) if held else sentences(study),
        facts=facts_of_two(held) if held else facts(study),
        tanks=tanks(study, held),
        bar=bar(study.scene),
        length=Length(*display_unit("length", study.scene.show)),
        chapters=chapters(study, told, drawn, held),
        uri=lambda picture: uri(picture, folder),
        style=Markup(text_of("page.css")),
        script=Markup(joined(SCRIPTS)),
    )


def heading(study: Study, held: Comparison | None) -> str:
    """What the page is about."""
    title = study.scene.title
    if held is None:
        return title
    before = held.before.scene.title
    return (
        f"{title}, the changed layout held against the first" if before == title else f"{title}, held against {before}"
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


def tanks(study: Study, held: Comparison | None) -> list[Tank]:
    """Before and after, or the one layout there is."""
    layouts = {"before": held.before, "after": held.after} if held else {"": study}
    return [Tank(name, packed(each)) for name, each in layouts.items()]


@cache
def environment() -> Environment:
    """Where templates come from; whatever is put into them is escaped."""
    found = Environment(loader=FunctionLoader(text_of), autoescape=True, trim_blocks=True, lstrip_blocks=True)
    found.filters["bound"] = bound
    return found


def bound(words: str) -> str:
    """A sentence in which no line ends between a number and what it counts, nor beside an arrow."""
    return FIGURE.sub("\N{NO-BREAK SPACE}", words)


def text_of(name: str) -> str:
    """A file of the page's own."""
    return files("flowviz.report").joinpath("pages", name).read_text(encoding="utf-8")


def joined(names: Sequence[str]) -> str:
    """Modules as one, in which they need not import each other."""
    lines = (line for name in names for line in text_of(name).splitlines())
    return "\n".join(line for line in lines if not line.startswith("import "))


def uri(picture: Picture, folder: Path) -> str:
    """A picture as the page carries it: raster without loss, in half the bytes of the file."""
    path = folder / picture.file
    kind, content = ("svg+xml", path.read_bytes()) if path.suffix == ".svg" else ("webp", packed_raster(path))
    return f"data:image/{kind};base64,{b64encode(content).decode('ascii')}"


def packed_raster(path: Path) -> bytes:
    """A raster picture as WebP."""
    made = BytesIO()
    with Image.open(path) as picture:
        picture.convert("RGB").save(made, "webp", lossless=True, method=EFFORT, quality=QUALITY)
    return made.getvalue()
