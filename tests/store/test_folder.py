"""Folders of results: what full disks, killed runs and other people's files find and leave."""

import errno
import os
import resource
import shutil
import signal
import subprocess
import sys
import time
from contextlib import contextmanager
from itertools import count
from pathlib import Path
from threading import Event, active_count

import pytest

from flowviz.errors import InputError, OutputError
from flowviz.store import fresh_folder, write_study


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
from flowviz.folder import fresh_folder
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


def test_a_run_that_lasts_for_days_keeps_its_folder(target, monkeypatch):
    """Its folder is made as old as a day and a half, as if the machine had slept; a sign of life is waited for."""
    monkeypatch.setattr("flowviz.folder.BEAT", 0.01)
    with fresh_folder(target) as long:
        made = time.time() - 1.5 * 86400
        os.utime(long, (made, made))
        while long.stat().st_mtime == pytest.approx(made, abs=1):
            time.sleep(0.01)
        with fresh_folder(target) as other:
            (other / "summary.json").write_text("other")
        (long / "summary.json").write_text("later")
    assert (target / "summary.json").read_text() == "later"
    assert list(target.parent.iterdir()) == [target]


def test_a_sign_of_life_that_a_full_disk_refuses_ends_no_run(target, monkeypatch):
    third, signs = Event(), count(1)

    def full(_):
        if next(signs) == 3:
            third.set()
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("flowviz.folder.BEAT", 0.01)
    monkeypatch.setattr(os, "utime", full)
    with fresh_folder(target) as fresh:
        assert third.wait(10.0)  # though the first and the second were refused
        (fresh / "summary.json").write_text("later")
    assert (target / "summary.json").read_text() == "later"


def test_a_folder_that_is_removed_meanwhile_is_told_by_what_comes_after(target, monkeypatch):
    monkeypatch.setattr("flowviz.folder.BEAT", 0.01)
    told = pytest.raises(OutputError, match="could not be written: No such file or directory")
    with told, fresh_folder(target) as fresh:
        fresh.rmdir()
        time.sleep(0.1)  # for several signs that find nothing
    assert_earlier(target)


def test_a_finished_run_gives_no_more_signs_of_life(target):
    threads = active_count()
    with fresh_folder(target):
        assert active_count() == threads + 1
    assert active_count() == threads


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


def test_a_folder_below_a_file_is_refused(tmp_path):
    (tmp_path / "file").touch()
    with pytest.raises(InputError, match="file: is a file"), fresh_folder(tmp_path / "file" / "out"):
        pass


def test_a_name_that_is_too_long_is_told(tmp_path):
    with pytest.raises(OutputError, match="Choose a shorter name"), fresh_folder(tmp_path / ("ü" * 300)):
        pass


def test_long_names_with_quotes_and_emoji_are_taken(tmp_path):
    target = tmp_path / ("ü" * 100 + " '\"<🐠>")
    with fresh_folder(target) as fresh:
        (fresh / "summary.json").touch()
    assert (target / "summary.json").exists()
