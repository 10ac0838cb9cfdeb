"""The door: a scene file to a Scene."""

import tomllib
from dataclasses import replace
from pathlib import Path

from pydantic import ValidationError

from flowviz.errors import InputError
from flowviz.scene.beside import contents
from flowviz.scene.build import build
from flowviz.scene.check import check
from flowviz.scene.circuit import driven
from flowviz.scene.faults import input_error
from flowviz.scene.model import Scene, Source
from flowviz.scene.phases import phases
from flowviz.scene.schema.whole import SceneTable


def read_scene(path: str | Path) -> Scene:
    """The scene that a TOML file describes, checked.

    Raises InputError with the key, what was found there, and what to write instead.
    """
    path = Path(path)
    text = _text(path)
    table = _table(text, path)
    scene = build(table, path)
    cautions = (*scene.cautions, *check(scene, table.rock, str(path)))
    scene = driven(scene, str(path))
    cycle = phases(table.phase, scene, str(path))
    return replace(scene, phases=cycle, cautions=cautions, source=Source(text, contents(table, path.parent)))


def _text(path: Path) -> str:
    """The text of a file in UTF-8, with or without a byte order mark."""
    try:
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise InputError(str(path), "there is no such file", "Mend the name of the scene file") from error
    except OSError as error:
        raise InputError(
            str(path), f"cannot be read ({error.strerror})", "Name a scene file that may be read"
        ) from error
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise InputError(f"{path}, line {line}", "is not UTF-8", "Save the file again with UTF-8 encoding") from error


def _table(text: str, path: Path) -> SceneTable:
    """The tables of a scene file, each value checked by itself."""
    try:
        raw = tomllib.loads(text)
    except RecursionError as error:
        raise InputError(str(path), "is nested too deeply", "Write it as the example scenes are written") from error
    except ValueError as error:
        raise InputError(str(path), f"is not TOML: {error}", "Mend that line") from error
    try:
        return SceneTable.model_validate(raw)
    except ValidationError as error:
        raise input_error(error, raw, str(path)) from error
