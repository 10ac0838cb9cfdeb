"""Studies on disk: their numbers against the field itself, the way back, what full disks and killed runs leave."""

import errno
import json
import os
import resource
import shutil
import signal
import subprocess
import sys
import time
from contextlib import contextmanager
from dataclasses import astuple, fields, replace
from pathlib import Path

import numpy as np
import pytest
import pyvista

from flowviz.assess.corals import CoralFigures
from flowviz.assess.measures import measure
from flowviz.assess.zones import Zone
from flowviz.errors import InputError, OutputError
from flowviz.flow.field import Field, Quality
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.loop import IntakeFigures, OutletFigures, PipeFlow, PumpDuty
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene
from flowviz.store import fresh_folder, loop_summary, read_study, summary, write_study
from flowviz.store.summary import UNITS
from flowviz.study import Settings, Study

SCENE = """
title = "Kleines Becken \\"am Fenster\\" <b>"
show = "metric"

[water]
temperature = "25 degC"
salinity = "35 g/kg"

[tank]
length = "600 mm"
width = "300 mm"
height = "400 mm"
depth = "360 mm"
seen_from = ["front"]

[limits]
dead = "3 cm/s"
over = "50 cm/s"

[[rock]]
name = "boulder"
shape = "mesh"
file = "meshes/wedge.stl"
scale = "1 mm"
at = ["300 mm", "150 mm", "-10 mm"]

[[coral]]
name = "speed"
centre = ["300 mm", "150 mm", "250 mm"]
size = ["100 mm", "100 mm", "60 mm"]
speed = ["10 cm/s", "35 cm/s"]

[[outlet]]
name = "head"
at = ["0 mm", "150 mm", "200 mm"]
direction = [1, 0, 0]
bore = "32 mm"
panel = "left"
flow = "2 m3/h"

[[intake]]
name = "flow"
at = ["600 mm", "150 mm", "100 mm"]
bore = "50 mm"
panel = "right"
flow = "2 m3/h"
"""
CORNERS = [(-60.0, -60.0, 0.0), (60.0, -60.0, 0.0), (0.0, 60.0, 0.0), (0.0, 0.0, 120.0)]  # of a wedge [mm]
FACES = [(0, 2, 1), (0, 1, 3), (1, 2, 3), (2, 0, 3)]


def stl() -> str:
    """The wedge as a text STL."""
    faces = "".join(
        f"facet normal 0 0 0\nouter loop\n{''.join('vertex {} {} {}'.format(*CORNERS[i]) + chr(10) for i in face)}"
        "endloop\nendfacet\n"
        for face in FACES
    )
    return f"solid wedge\n{faces}endsolid wedge\n"


@pytest.fixture(scope="module")
def study(tmp_path_factory) -> Study:
    """A scene read from its file, with a made-up field on its cells."""
    folder = tmp_path_factory.mktemp("scenes")
    (folder / "meshes").mkdir()
    (folder / "meshes" / "wedge.stl").write_text(stl())
    (folder / "tank.toml").write_text(SCENE, encoding="utf-8")
    scene, settings = read_scene(folder / "tank.toml"), Settings("coarse", 0.03)
    grid = voxelise(scene, settings.cell)
    field = made_up(grid)
    return Study(scene, settings, solve_loop(scene), grid, field, measure(scene, grid, field))


def made_up(grid) -> Field:
    """Speeds of all sizes in the water, in five windows, and face velocities."""
    random = np.random.default_rng(0)
    batches = np.where(grid.water, random.gamma(2.0, 0.08, (5, *grid.shape)), 0).astype(np.float32)
    faces = [
        random.normal(0, 0.1, share.shape).astype(np.float32) * share
        for share in (grid.open_x, grid.open_y, grid.open_z)
    ]
    speed = batches.mean(axis=0)
    return Field(*faces, speed, speed / 2, batches, Quality(1e-5, 400, 60.0, 40.0, steady=True))


@pytest.fixture(scope="module")
def folder(study, tmp_path_factory) -> Path:
    """The study as it is written."""
    target = tmp_path_factory.mktemp("results") / "tank"
    with fresh_folder(target) as fresh:
        write_study(study, fresh)
    return target


@pytest.fixture(scope="module")
def numbers(folder) -> dict:
    """summary.json, refusing what strict JSON does not know."""

    def refuse(constant):
        raise AssertionError(constant)

    return json.loads((folder / "summary.json").read_text(encoding="utf-8"), parse_constant=refuse)


def test_speeds_and_shares_are_those_of_the_field_file_read_by_pyvista(folder, numbers):
    """Plain numpy on the cells whose water is 1; single precision allows for 1e-6."""
    image = pyvista.read(folder / "field.vti")
    speed = image.cell_data["speed"][image.cell_data["water"] == 1]
    p05, median, p95 = np.percentile(speed, (5, 50, 95))
    expected = {"mean": speed.mean(), "median": median, "p05": p05, "p95": p95, "max": speed.max()}
    assert numbers["speed_m_s"] == pytest.approx({name: float(value) for name, value in expected.items()}, rel=1e-6)
    assert numbers["dead_fraction"] == pytest.approx(np.mean(speed < numbers["limits"]["dead_m_s"]), abs=1e-12)
    assert numbers["over_fraction"] == pytest.approx(np.mean(speed > numbers["limits"]["over_m_s"]), abs=1e-12)


def test_cells_and_volume_are_those_of_the_field_file(folder, numbers):
    image = pyvista.read(folder / "field.vti")
    cell = np.prod(image.spacing)
    assert numbers["cells"] == image.n_cells
    assert numbers["water_cells"] == image.cell_data["water"].sum()
    assert numbers["cell_m"] ** 3 == pytest.approx(cell, rel=1e-12)  # rounding
    volume = image.cell_data["open_volume"].sum(dtype=np.float64) * cell
    assert numbers["water_volume_m3"] == pytest.approx(volume, rel=1e-9)


def test_the_field_file_has_each_cell_where_it_is(study, folder):
    image = pyvista.read(folder / "field.vti")
    assert image.origin == (0.0, 0.0, 0.0)
    assert image.spacing == pytest.approx(study.grid.spacing)
    for i, j, k in ((0, 0, 0), (3, 7, 2), (19, 0, 11), (7, 9, 0)):
        middle = [(index + 0.5) * edge for index, edge in zip((i, j, k), study.grid.spacing, strict=True)]
        cell = image.find_containing_cell(middle)
        assert image.cell_data["water"][cell] == study.grid.water[i, j, k]
        assert image.cell_data["speed"][cell] == study.field.speed[i, j, k]
        assert image.cell_data["fluctuation"][cell] == study.field.fluctuation[i, j, k]
        assert np.array_equal(
            image.cell_data["velocity"][cell], study.field.velocity()[i, j, k] * study.grid.water[i, j, k]
        )


def test_the_summary_has_what_is_promised(study, numbers):
    assert (numbers["scene"], numbers["detail"]) == ('Kleines Becken "am Fenster" <b>', "coarse")
    assert numbers["balance_error"] == 1e-5
    assert numbers["outlets"]["head"]["flow_m3_s"] == pytest.approx(2 / 3600, rel=1e-12)  # as the scene says
    assert numbers["outlets"]["head"]["speed_m_s"] == pytest.approx(2 / 3600 / (np.pi / 4 * 0.032**2), rel=1e-12)
    assert numbers["intakes"]["flow"]["flow_m3_s"] == pytest.approx(2 / 3600, rel=1e-12)
    assert numbers["intakes"]["flow"]["screen_speed_m_s"] == pytest.approx(2 / 3600 / (np.pi / 4 * 0.05**2), rel=1e-12)
    assert numbers["pumps"] == {}
    assert {"dead_fraction", "over_fraction", "mean_speed_m_s", "p95_speed_m_s"} <= set(numbers["uncertainty"])
    coral = numbers["corals"]["speed"]
    assert {"speed_m_s", "under_fraction", "in_band_fraction", "over_fraction", "verdict"} <= set(coral)
    assert coral["wanted_m_s"] == [0.10, 0.35]
    assert coral["uncertainty"]["speed_m_s"] > 0
    assert [zone["volume_m3"] for zone in numbers["zones"]] == [zone.volume for zone in study.measures.zones]
    assert all(set(caution) == {"where", "what", "why"} for caution in numbers["cautions"])


def test_what_is_unknown_is_null(study):
    lone = replace(study.field, batches=study.field.batches[:1])
    numbers = summary(replace(study, measures=measure(study.scene, study.grid, lone)))
    assert numbers["uncertainty"]["dead_fraction"] is None
    json.dumps(numbers, allow_nan=False)


def test_the_loop_alone(study):
    numbers = loop_summary(study.scene, study.loop)
    assert set(numbers) == {"scene", "outlets", "intakes", "pumps", "pipes", "heads_m", "cautions"}


@pytest.mark.parametrize("kind", [PumpDuty, PipeFlow, OutletFigures, IntakeFigures, Zone, CoralFigures])
def test_every_number_in_the_summary_has_its_unit_in_its_name(kind):
    """The numbers without a unit are told here by the last word of their names."""
    bare = {"cells", "efficiency", "fraction", "persistence", "reynolds", "share", "uncertainty"}
    words = {"end", "kind", "place", "start", "sure", "verdict"}
    assert {field.name.rpartition("_")[2] for field in fields(kind)} <= bare | words | set(UNITS)


def test_a_study_is_read_back_as_it_was(study, folder):
    again = read_study(folder)
    assert summary(again) == summary(study)
    assert again.settings == study.settings
    assert again.scene.source == study.scene.source
    assert astuple(again.field.quality) == astuple(study.field.quality)
    for name in ("u", "v", "w", "speed", "fluctuation", "batches"):
        assert np.array_equal(getattr(again.field, name), getattr(study.field, name))


def test_a_scene_that_was_not_read_from_a_file_is_stored_without_the_way_back(study, tmp_path):
    with fresh_folder(tmp_path / "made") as fresh:
        write_study(replace(study, scene=replace(study.scene, source=None)), fresh)
    with pytest.raises(InputError, match=r"holds no scene/scene\.toml"):
        read_study(tmp_path / "made")


@pytest.fixture
def copy(folder, tmp_path) -> Path:
    """The written study, to be spoilt."""
    return shutil.copytree(folder, tmp_path / "copy")


def test_a_folder_without_a_study_is_refused(tmp_path):
    with pytest.raises(InputError, match=r"no readable summary\.json"):
        read_study(tmp_path)


def test_a_study_of_another_format_is_refused(copy):
    (copy / "summary.json").write_text('{"format": "flowviz study 0"}')
    with pytest.raises(InputError, match="is not of the format"):
        read_study(copy)


@pytest.mark.parametrize("spoil", [lambda data: data[: len(data) // 2], lambda data: b"", lambda data: b"x" * 100])
def test_a_damaged_field_is_refused(copy, spoil):
    path = copy / "fields.npz"
    path.write_bytes(spoil(path.read_bytes()))
    with pytest.raises(InputError, match=r"fields\.npz: cannot be read"):
        read_study(copy)


def test_a_field_of_other_cells_is_refused(copy):
    path = copy / "scene" / "scene.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("300 mm", "310 mm"), encoding="utf-8")
    with pytest.raises(InputError, match="was solved on other cells"):
        read_study(copy)


# --- the folder ---------------------------------------------------------------------------------


@pytest.fixture
def target(tmp_path) -> Path:
    """A folder with an earlier result."""
    target = tmp_path / "out" / "tank"
    with fresh_folder(target) as fresh:
        (fresh / "summary.json").write_text("earlier")
        (fresh / "pictures").mkdir()
        (fresh / "pictures" / "plan.png").write_text("earlier")
    return target


def assert_earlier(target: Path) -> None:
    """The earlier result is whole, and nothing lies beside it."""
    names = sorted(path.relative_to(target).as_posix() for path in target.rglob("*") if path.is_file())
    assert names == [".flowviz", "pictures/plan.png", "summary.json"]
    assert (target / "summary.json").read_text() == "earlier"
    assert list(target.parent.iterdir()) == [target]


@contextmanager
def small_disk(room: int):
    """No file may grow beyond so many bytes: the system refuses to write more, as a full disk does."""
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (room, limits[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)


def test_a_result_replaces_the_earlier_one_whole(target):
    with fresh_folder(target) as fresh:
        (fresh / "summary.json").write_text("later")
        meanwhile = (target / "summary.json").read_text()
    assert meanwhile == "earlier"
    assert sorted(path.name for path in target.iterdir()) == [".flowviz", "summary.json"]
    assert (target / "summary.json").read_text() == "later"
    assert list(target.parent.iterdir()) == [target]


def test_a_result_may_be_read_by_others_as_any_folder(target):
    umask = os.umask(0)
    os.umask(umask)
    assert target.stat().st_mode & 0o777 == 0o777 & ~umask


def write_half(target: Path, fault: type[BaseException]) -> None:
    """A run that stops in the midst of its writing."""
    with fresh_folder(target) as fresh:
        (fresh / "summary.json").write_text("half")
        raise fault


@pytest.mark.parametrize("fault", [RuntimeError, KeyboardInterrupt, SystemExit])
def test_whatever_stops_a_run_leaves_the_earlier_result(target, fault):
    with pytest.raises(fault):
        write_half(target, fault)
    assert_earlier(target)


@pytest.mark.parametrize("name", ["summary.json", "field.vti", "fields.npz"])
def test_a_disk_that_fills_up_leaves_the_earlier_result(study, folder, target, name):
    """There is room for all but the last byte of one file; the files before it are smaller."""
    room = (folder / name).stat().st_size - 1
    full = pytest.raises(OutputError, match="could not be written: File too large")
    with full as told, fresh_folder(target) as fresh, small_disk(room):
        write_study(study, fresh)
    assert str(target) in str(told.value)
    assert_earlier(target)


def test_a_full_disk_is_told_with_what_to_do(target, monkeypatch):
    def full(*_):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError) as told, fresh_folder(target) as fresh:
        (fresh / "summary.json").write_text("later")
    monkeypatch.undo()
    assert str(told.value) == (
        f"{target}: could not be written: No space left on device. "
        "Free some space on the disk or write elsewhere. What was there before is untouched"
    )
    assert_earlier(target)


def test_a_folder_that_cannot_be_put_in_place_leaves_the_earlier_result(target, monkeypatch):
    rename = Path.rename

    def refuse_new(path, goal):
        if "-new-" in path.name:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        return rename(path, goal)

    monkeypatch.setattr(Path, "rename", refuse_new)
    with pytest.raises(OutputError), fresh_folder(target) as fresh:
        (fresh / "summary.json").write_text("later")
    assert_earlier(target)


KILLED = """
import sys, time
from flowviz.store.folder import fresh_folder
with fresh_folder(sys.argv[1]) as fresh:
    (fresh / "summary.json").write_text("half")
    print("writing", flush=True)
    time.sleep(60)
"""


def test_a_killed_run_leaves_the_earlier_result_and_is_swept_up_a_day_later(target):
    child = subprocess.Popen([sys.executable, "-c", KILLED, str(target)], stdout=subprocess.PIPE)
    with child:
        assert child.stdout.readline().strip() == b"writing"
        child.send_signal(signal.SIGKILL)
    (left,) = (path for path in target.parent.iterdir() if path != target)
    assert (target / "summary.json").read_text() == "earlier"
    with fresh_folder(target):
        assert left.exists()  # it might still be at work
    os.utime(left, (time.time() - 2 * 86400,) * 2)
    with fresh_folder(target) as fresh:
        (fresh / "summary.json").write_text("later")
    assert list(target.parent.iterdir()) == [target]


def test_a_run_that_died_between_its_two_renames_is_put_back(target):
    """The state on disk as it is then: the earlier result moved aside, nothing in its place."""
    moved = []
    rename = Path.rename
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Path, "rename", lambda path, goal: moved.append(goal) or rename(path, goal))
        with fresh_folder(target) as fresh:
            shutil.copytree(target, fresh, dirs_exist_ok=True)
    target.rename(moved[0])
    with pytest.raises(RuntimeError):
        write_half(target, RuntimeError)
    assert_earlier(target)


def test_an_empty_folder_is_used(tmp_path):
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / ".DS_Store").touch()
    with fresh_folder(tmp_path / "out") as fresh:
        (fresh / "summary.json").touch()
    assert (tmp_path / "out" / "summary.json").exists()


@pytest.mark.parametrize("name", ["notes.txt", "pictures/mine.png", "deep/down/x"])
def test_what_others_put_into_a_result_is_never_deleted(target, name):
    (target / name).parent.mkdir(parents=True, exist_ok=True)
    (target / name).write_text("mine")
    with pytest.raises(InputError, match=f"holds what flowviz did not write, such as '{name}'"), fresh_folder(target):
        pass
    assert (target / name).read_text() == "mine"


@pytest.mark.parametrize("manifest", [None, "", "5", "[[]]", '{"a": 1}'])
def test_a_folder_of_others_is_refused(tmp_path, manifest):
    (tmp_path / "letters").mkdir()
    (tmp_path / "letters" / "a.txt").touch()
    if manifest is not None:
        (tmp_path / "letters" / ".flowviz").write_text(manifest)
    with pytest.raises(InputError, match="holds what flowviz did not write"), fresh_folder(tmp_path / "letters"):
        pass


def test_a_file_is_refused(tmp_path):
    (tmp_path / "out").write_text("mine")
    with pytest.raises(InputError, match="is a file"), fresh_folder(tmp_path / "out"):
        pass
    assert (tmp_path / "out").read_text() == "mine"


def test_the_folder_one_is_in_is_refused(tmp_path, monkeypatch):
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    with pytest.raises(InputError, match="is the folder you are in"), fresh_folder("."):
        pass


def test_a_folder_below_a_file_cannot_be_written(tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(OutputError, match="could not be written"), fresh_folder(tmp_path / "file" / "out"):
        pass


def test_a_name_that_is_too_long_is_told(tmp_path):
    with pytest.raises(OutputError, match="Choose a shorter name"), fresh_folder(tmp_path / ("ü" * 300)):
        pass


def test_long_names_with_quotes_and_emoji_are_taken(tmp_path):
    target = tmp_path / ("ü" * 100 + " '\"<🐠>")
    with fresh_folder(target) as fresh:
        (fresh / "summary.json").touch()
    assert (target / "summary.json").exists()
