"""The scenes that come with flowviz: read, explained, and the same in other units."""

import re
import runpy
import tomllib
from dataclasses import fields, is_dataclass
from fractions import Fraction
from math import pi
from pathlib import Path

import numpy as np
import pytest

from flowviz.scene.file import read_scene
from flowviz.study import Settings, run

SCENES = Path(__file__).parents[2] / "scenes"
SHIPPED = sorted(SCENES.glob("*.toml"))
INCH, FOOT, GALLON = 0.0254, 0.3048, 231 * 0.0254**3  # exact definitions
OTHERWISE = {  # unit: SI value of one, another unit of its kind, SI value of that
    "mm": (0.001, "in", INCH),
    "m": (1.0, "ft", FOOT),
    "in": (INCH, "mm", 0.001),
    "ft": (FOOT, "m", 1.0),
    "m3/h": (1 / 3600, "gph", GALLON / 3600),
    "L/h": (0.001 / 3600, "gpm", GALLON / 60),
    "gph": (GALLON / 3600, "m3/h", 1 / 3600),
    "cm/s": (0.01, "ft/s", FOOT),
    "W": (1.0, "kW", 1000.0),
    "deg": (pi / 180, "rad", 1.0),
    "g/kg": (1.0, "ppt", 1.0),
    "ppt": (1.0, "g/kg", 1.0),
    "min": (60.0, "h", 3600.0),
}


def number(text: str) -> float:
    """A number as the scenes write it, with a fraction or without."""
    return float(sum(map(Fraction, text.split())))


def rewritten(line: str) -> str:
    """A line of a scene with every quantity in another unit."""

    def other(match: re.Match) -> str:
        unit = match["unit"]
        if unit == "degC":
            return f'"{float(match["number"]) * 1.8 + 32!r} degF"'
        if unit == "degF":
            return f'"{(float(match["number"]) - 32) / 1.8!r} degC"'
        si, other_unit, other_si = OTHERWISE[unit]
        return f'"{number(match["number"]) * si / other_si!r} {other_unit}"'

    return re.sub(r'"(?P<number>-?[\d./]+(?: \d+/\d+)?) (?P<unit>[a-zA-Z3/]+)"', other, line)


def differences(one, two, where="scene"):
    """Places where two records differ by more than 1e-9, relative, or 1e-12 of anything near zero."""
    if is_dataclass(one):
        names = [field.name for field in fields(one) if field.name != "source"]
        parts = [(getattr(one, name), getattr(two, name), f"{where}.{name}") for name in names]
        return [place for part in parts for place in differences(*part)]
    if isinstance(one, dict):
        return [place for key in one | two for place in differences(one[key], two[key], f"{where}.{key}")]
    if isinstance(one, tuple):
        pairs = zip(one, two, strict=True)
        return [place for index, pair in enumerate(pairs) for place in differences(*pair, f"{where}[{index}]")]
    same = np.allclose(one, two, rtol=1e-9, atol=1e-12) if isinstance(one, float | np.ndarray) else one == two
    return [] if same else [where]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_a_shipped_scene_is_read(path):
    scene = read_scene(path)
    assert scene.outlets
    assert scene.intakes
    assert scene.corals
    assert "nvented" in path.read_text(encoding="utf-8").splitlines()[0]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_a_scene_in_other_units_is_the_same_scene(path, tmp_path):
    """The tolerance is the doubles' own: a number written in full, times a factor, twice."""
    text = path.read_text(encoding="utf-8")
    other = "\n".join(map(rewritten, text.splitlines()))
    assert len(re.findall(r'"[-\d. /]+ (in|ft|gph|gpm|degF)"', other)) > 20
    for mesh in SCENES.glob("*.stl"):
        (tmp_path / mesh.name).write_bytes(mesh.read_bytes())
    (tmp_path / path.name).write_text(other, encoding="utf-8")
    assert differences(read_scene(path), read_scene(tmp_path / path.name)) == []


def test_the_first_scene_explains_its_keys():
    """Every key has a remark on its line, but for those explained in a table of the same kind or by their name."""
    lines = (SCENES / "first.toml").read_text(encoding="utf-8").splitlines()
    keys = [line for line in lines if "=" in line and not line.startswith("#")]
    explained = {line.split(" =")[0] for line in keys if "#" in line}
    assert len(lines) <= 60
    assert {line.split(" =")[0] for line in keys} - explained <= {"temperature", "strainer"}


def test_the_moved_scene_has_one_outlet_elsewhere():
    still, moved = (tomllib.loads((SCENES / f"{name}.toml").read_text()) for name in ("peninsula", "peninsula_moved"))
    changed = [(one, two) for one, two in zip(still["outlet"], moved["outlet"], strict=True) if one != two]
    assert len(changed) == 1
    assert {key for key in changed[0][0] if changed[0][0][key] != changed[0][1][key]} == {"at", "direction"}
    for table in ("water", "tank", "limits", "sand", "rock", "coral", "animal", "intake", "pump", "junction"):
        assert still[table] == moved[table]


def test_the_arch_is_what_its_script_makes():
    """To a hundredth of a millimetre: the file holds single precision, and sines differ by a rounding elsewhere."""
    script = runpy.run_path(str(SCENES / "make_arch.py"))
    made = script["triangles"](script["corners"]())
    record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
    kept = np.frombuffer((SCENES / "arch.stl").read_bytes()[84:], record)["corners"]
    assert kept == pytest.approx(made, abs=0.01)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "kind", "places"),
    [
        ("raceway", "over", ("in the jet of “right jet”", "in the jet of “left corner”")),
        ("peninsula", "dead", ("right end",)),
    ],
)
def test_what_a_scene_says_is_wrong_is_what_several_sketches_find(name, kind, places):
    """The first lines of each file against a sketch of eight marches."""
    zones = run(read_scene(SCENES / f"{name}.toml"), Settings(marches=8)).measures.zones
    found = [zone.place for zone in zones if zone.kind == kind]
    assert all(any(place in told for told in found) for place in places), found


@pytest.mark.slow
def test_which_corals_a_scene_says_get_too_little_is_what_several_marches_find():
    """As above, of eight coarse marches: most of the far garden, and no more of the others than chance leaves."""
    measures = run(read_scene(SCENES / "in_wall.toml"), Settings(detail="coarse", marches=8)).measures
    still = {name: found.under_fraction for name, found in measures.corals.items()}
    assert still.pop("far garden") > 0.5
    assert max(still.values()) < 0.1
    assert measures.dead_fraction < 0.01
