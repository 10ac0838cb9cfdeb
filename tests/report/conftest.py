"""Reports of small tanks: one with plain names, one with names that are hard to set."""

from types import SimpleNamespace

import pytest

from flowviz.report import write_report
from flowviz.report.pdf import find_browser, is_root
from flowviz.scene.file import read_scene
from flowviz.study import Settings, run

HARD = ("Höhle <b>\"3\" & '4'</b>", "\N{TROPICAL FISH} 岩 </script><!-- {{ 1237 * 1237 }}", "x" * 200)  # 200 letters
WALL = {
    "name": "wall",
    "shape": "box",
    "centre": ["600 mm", "300 mm", "150 mm"],
    "size": ["300 mm", "100 mm", "300 mm"],
}
MEASURED = {
    "name": "before the wall",
    "at": ["300 mm", "100 mm", "400 mm"],
    "speed": "20 cm/s",
    "uncertainty": "4 cm/s",
}


@pytest.fixture(scope="session")
def sketch(scene_in, tmp_path_factory):
    """A sketch of the tank, with the names and the place of its outlet [mm] as they are asked for."""

    def study(title="Hall tank", coral="crest", jet="left jet", at=100, show="metric"):
        changes = {
            "title": title,
            "show": show,
            "tank.seen_from": ["front"],
            "rock": [WALL],
            "coral.0.name": coral,
            "outlet.0.name": jet,
            "outlet.0.at": ["0 mm", f"{at} mm", "400 mm"],
            "outlet.0.direction": [1, 0, 0],
            "pipe.2.to": jet,
            "animal": [{"name": "goby", "length": "30 mm", "width": "5 mm", "speed": "6 cm/s"}],
            "measured": [MEASURED],
        }
        return run(read_scene(scene_in(tmp_path_factory.mktemp("scene"), changes, "looped")), Settings(cell=0.025))

    return study


@pytest.fixture(scope="session")
def plain(sketch, tmp_path_factory):
    """A study with plain names, and its report."""
    return reported(sketch(), None, tmp_path_factory)


@pytest.fixture(scope="session")
def hard(sketch, tmp_path_factory):
    """A study in US units with hard names held against one with plain names, and the report of both."""
    return reported(sketch(*HARD, at=400, show="us"), sketch(), tmp_path_factory)


@pytest.fixture(scope="session")
def two(sketch, tmp_path_factory):
    """A study held against one with its outlet elsewhere, both with plain names, and the report of both."""
    return reported(sketch(at=400), sketch(), tmp_path_factory)


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
        pytest.skip("no Chromium-family browser on the PATH")
    with driver.sync_playwright() as running:
        sandbox = ["--no-sandbox"] if is_root() else []
        chromium = running.chromium.launch(executable_path=found, args=[*sandbox, "--enable-unsafe-swiftshader"])
        yield chromium
        chromium.close()


def reported(study, against, factory):
    file = factory.mktemp("report") / "report.html"
    album = write_report(study, file, against)
    return SimpleNamespace(study=study, file=file, album=album, text=file.read_text(encoding="utf-8"))
