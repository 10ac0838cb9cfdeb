"""Reports of small tanks: one with plain names, one with names that are hard to set."""

from types import SimpleNamespace

import pytest

from flowviz.report import write_report
from flowviz.report.pdf import find_browser, is_root
from flowviz.scene.file import read_scene
from flowviz.study import Settings, run

HARD = ("Höhle <b>\"3\" & '4'</b>", "\N{TROPICAL FISH} 岩 </script><!-- {{ 7 * 7 }}", "x" * 200)  # 200 letters

SCENE = """
title = {title}
show = "{show}"

[water]
temperature = "25 degC"
salinity = "35 g/kg"

[tank]
length = "1200 mm"
width = "500 mm"
height = "550 mm"
depth = "500 mm"
seen_from = ["front"]

[sand]
depth = "40 mm"
grain = "1 mm"

[[rock]]
name = "wall"
shape = "box"
centre = ["600 mm", "300 mm", "150 mm"]
size = ["300 mm", "100 mm", "300 mm"]

[[coral]]
name = {coral}
centre = ["600 mm", "300 mm", "350 mm"]
size = ["200 mm", "200 mm", "60 mm"]
speed = ["5 cm/s", "30 cm/s"]

[[outlet]]
name = {jet}
at = ["0 mm", "{at} mm", "400 mm"]
direction = [1, 0, 0]
bore = "30 mm"
panel = "left"
hole = "50 mm"

[[intake]]
name = "right low"
at = ["1200 mm", "250 mm", "200 mm"]
bore = "60 mm"
panel = "right"
hole = "80 mm"
strainer = {{ shape = "basket", diameter = "110 mm", length = "120 mm", open_area = 0.38, slot = "8 mm" }}

[[pump]]
name = "loop pump"
curve = [["0 m3/h", "4 m"], ["4 m3/h", "3 m"], ["8 m3/h", "1 m"]]
power = "90 W"
npsh_required = "1 m"
mounting = "dry"

[[pipe]]
from = "right low"
to = "loop pump"
size = "2 in sch 40"
length = "1.2 m"
rise = "-0.6 m"
fittings = {{ "elbow 90" = 1, "union ball valve" = 1 }}

[[pipe]]
from = "loop pump"
to = {jet}
size = "1 1/4 in sch 40"
length = "3 m"
rise = "0.8 m"
fittings = {{ "elbow 90" = 3, "union ball valve" = 1 }}

[[animal]]
name = "goby"
length = "30 mm"
width = "5 mm"
speed = "6 cm/s"

[[measured]]
name = "before the wall"
at = ["300 mm", "100 mm", "400 mm"]
speed = "20 cm/s"
uncertainty = "4 cm/s"
"""


@pytest.fixture(scope="session")
def make(tmp_path_factory):
    """A sketch of the tank, with the names and the place of its outlet [mm] as they are asked for."""

    def study(title="Hall tank", coral="crest", jet="left jet", at=100, show="metric"):
        file = tmp_path_factory.mktemp("scene") / "scene.toml"
        quoted = {key: toml(name) for key, name in {"title": title, "coral": coral, "jet": jet}.items()}
        file.write_text(SCENE.format(**quoted, at=at, show=show), encoding="utf-8")
        return run(read_scene(file), Settings(cell=0.03))

    return study


@pytest.fixture(scope="session")
def plain(make, tmp_path_factory):
    """A study with plain names, and its report."""
    return reported(make(), None, tmp_path_factory)


@pytest.fixture(scope="session")
def hard(make, tmp_path_factory):
    """A study in US units with hard names held against one with plain names, and the report of both."""
    return reported(make(*HARD, at=400, show="us"), make(), tmp_path_factory)


@pytest.fixture(scope="session", params=["plain", "hard"])
def done(request):
    """Each of the two."""
    return request.getfixturevalue(request.param)


@pytest.fixture(scope="session")
def browser():
    """A browser of this machine, driven from here; without one, or without a driver, its tests are skipped."""
    driver = pytest.importorskip("playwright.sync_api", reason="no driver for browsers: pip install playwright")
    found = find_browser()
    if found is None:
        pytest.skip("no Chromium, Chrome or Edge on the PATH")
    with driver.sync_playwright() as running:
        sandbox = ["--no-sandbox"] if is_root() else []
        chromium = running.chromium.launch(executable_path=found, args=[*sandbox, "--enable-unsafe-swiftshader"])
        yield chromium
        chromium.close()


def reported(study, against, factory):
    file = factory.mktemp("report") / "report.html"
    album = write_report(study, file, against)
    return SimpleNamespace(study=study, file=file, album=album, text=file.read_text(encoding="utf-8"))


def toml(name):
    """A name as TOML writes it: a string in double quotes."""
    escaped = name.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
