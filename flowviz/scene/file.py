"""The door: a scene file to a Scene."""

from dataclasses import replace
from pathlib import Path

from pydantic import ValidationError

from flowviz.scene.beside import contents
from flowviz.scene.build import build
from flowviz.scene.check import check
from flowviz.scene.circuit import driven
from flowviz.scene.faults import input_error
from flowviz.scene.model import Scene, Source
from flowviz.scene.phases import phases
from flowviz.scene.schema.whole import SceneTable
from flowviz.scene.text import tables_of, text_of


def read_scene(path: str | Path) -> Scene:
    """The scene that a TOML file describes, checked.

    Raises InputError with the key, what was found there, and what to write instead.
    """
    path = Path(path)
    text = text_of(path)
    table = _table(text, path)
    scene = build(table, path)
    cautions = (*scene.cautions, *check(scene, table.rock, str(path)))
    scene = driven(scene, str(path))
    cycle = phases(table.phase, scene, str(path))
    return replace(scene, phases=cycle, cautions=cautions, source=Source(text, contents(table, path.parent)))


def _table(text: str, path: Path) -> SceneTable:
    """The tables of a scene file, each value checked by itself."""
    raw = tables_of(text, path)
    try:
        return SceneTable.model_validate(raw)
    except ValidationError as error:
        raise input_error(error, raw, str(path)) from error
