"""A small sound scene with a loop, and a way to spoil it."""

import json
import tomllib

import pytest

SOUND = """
title = "Test tank"

[water]
temperature = "25 degC"
salinity = "35 g/kg"

[tank]
length = "1200 mm"
width = "600 mm"
height = "600 mm"
depth = "500 mm"
seen_from = ["front", "left"]

[tank.panels.left]
material = "glass"
thickness = "12 mm"
tempered = false

[sand]
depth = "40 mm"
grain = "1 mm"

[[rock]]
name = "boulder"
shape = "ellipsoid"
centre = ["600 mm", "300 mm", "100 mm"]
size = ["300 mm", "300 mm", "300 mm"]

[[rock]]
name = "slab"
shape = "box"
centre = ["950 mm", "300 mm", "60 mm"]
size = ["200 mm", "200 mm", "100 mm"]
turn = "20 deg"

[[coral]]
name = "crest"
centre = ["600 mm", "300 mm", "300 mm"]
size = ["200 mm", "200 mm", "80 mm"]
speed = ["8 cm/s", "30 cm/s"]

[[outlet]]
name = "left high"
at = ["0 mm", "200 mm", "400 mm"]
direction = [1, 0.1, 0]
bore = "25 mm"
panel = "left"
hole = "50 mm"

[[outlet]]
name = "right rim"
at = ["1150 mm", "500 mm", "350 mm"]
direction = [-1, 0, 0]
slot = ["60 mm", "10 mm"]
panel = "rim"

[[intake]]
name = "left low"
at = ["0 mm", "300 mm", "120 mm"]
bore = "52 mm"
panel = "left"
hole = "90 mm"
strainer = { shape = "basket", diameter = "110 mm", length = "90 mm", open_area = 0.38, slot = "3 mm" }

[[pump]]
name = "pump"
curve = [["0 m3/h", "5 m"], ["6 m3/h", "4 m"], ["10 m3/h", "1 m"]]
power = "150 W"
npsh_required = "1.5 m"

[[pipe]]
from = "left low"
to = "pump"
size = "2 in sch 40"
length = "1.4 m"
rise = "-0.5 m"
fittings = { "elbow 90" = 2 }

[[pipe]]
from = "pump"
to = "tee"
size = "2 in sch 40"
length = "1.2 m"

[[pipe]]
from = "tee"
to = "left high"
inside = "35 mm"
length = "0.5 m"
loss = 0.4

[[pipe]]
from = "tee"
to = "right rim"
size = "1 1/4 in sch 40"
length = "2.5 m"

[[junction]]
name = "tee"
kind = "tee"
in_line = ["pump", "right rim"]
"""


def written(value) -> str:
    """A value as TOML writes it."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(key)} = {written(part)}" for key, part in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(written, value)) + "]"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str | bool) else repr(value)


def document(tables: dict) -> str:
    """Tables as the text of a scene file."""
    return "\n".join(f"{json.dumps(key)} = {written(value)}" for key, value in tables.items())


def changed(tables: dict, path: str, value) -> None:
    """Put a value at a dotted path such as outlet.0.bore, or take the key out (None)."""
    *way, last = (int(part) if part.isdigit() else part for part in path.split("."))
    here = tables
    for part in way:
        here = here[part]
    if value is None:
        del here[last]
    elif isinstance(here, list) and last == len(here):
        here.append(value)
    else:
        here[last] = value


@pytest.fixture
def scene_file(tmp_path):
    """Writes the sound scene with changes by dotted path, and gives its path."""

    def write(changes=None):
        tables = tomllib.loads(SOUND)
        for path, value in (changes or {}).items():
            changed(tables, path, value)
        file = tmp_path / "tank.toml"
        file.write_text(document(tables), encoding="utf-8")
        return file

    return write
