"""A fine run that is interrupted and gone on with, and what is refused to be gone on from."""

from dataclasses import astuple, replace
from pathlib import Path

import numpy as np
import pytest

from flowviz.errors import InputError
from flowviz.flow import levels
from flowviz.flow.solve import solve_flow
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene
from flowviz.store import checkpoint
from flowviz.store.checkpoint import Checkpoint
from flowviz.study import Settings

SCENES = Path(__file__).parents[2] / "scenes"
SETTINGS = Settings("fine")
SHORT = {"LONGEST": 2.4, "MOST": 4, "FEWEST": 2}  # a fine run of a few windows, joined once
PASSED = ("u", "v", "w", "speed", "fluctuation", "batches")


@pytest.fixture(scope="module")
def first():
    return read_scene(SCENES / "first.toml")


@pytest.fixture(scope="module")
def tank(first):
    """Its grid of 24,000 cells, and what its openings let through."""
    return voxelise(first, 0.025), solve_loop(first).rates


@pytest.fixture
def at_once(monkeypatch):
    """Every state is kept, not one a minute."""
    monkeypatch.setattr(checkpoint, "MINUTE", 0.0)


@pytest.fixture
def short(monkeypatch):
    monkeypatch.setattr(levels, "FINE", levels.Level(levels.FINE.closure, 0.5, 0.3))
    for name, value in SHORT.items():
        monkeypatch.setattr(levels, name, value)


def fine(tank, keeper, **more):
    return solve_flow(*tank, 1e-6, "fine", keeper=keeper, **more)


@pytest.mark.parametrize("seconds", [0.3, 1.0, 2.2], ids=["settling", "in a window", "after joining windows"])
def test_a_run_that_is_taken_up_ends_as_if_it_had_not_been_stopped(tank, first, at_once, short, tmp_path, seconds):
    """Bit for bit, wherever it was stopped."""
    keeper, cells = Checkpoint(tmp_path / "out", first, SETTINGS), np.count_nonzero(tank[0].water)

    def stop(stage):
        if stage.cells == cells and stage.simulated > seconds:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        fine(tank, keeper, progress=stop)
    assert keeper.useful
    again = Checkpoint(tmp_path / "out", first, SETTINGS)
    again.take_up()
    found, whole = fine(tank, again), fine(tank, Checkpoint(tmp_path / "other", first, SETTINGS))
    assert all(np.array_equal(getattr(found, name), getattr(whole, name)) for name in PASSED)
    assert astuple(found.quality) == astuple(whole.quality)


def kept(tmp_path, scene, settings=SETTINGS):
    """A checkpoint with next to nothing in it."""
    keeper = Checkpoint(tmp_path / "out", scene, settings)
    keeper.offer(lambda: {"one": np.ones(3)})
    return keeper


def test_what_was_kept_comes_back(first, at_once, tmp_path):
    kept(tmp_path, first)
    keeper = Checkpoint(tmp_path / "out", first, SETTINGS)
    keeper.take_up()
    assert keeper.last()["one"].tolist() == [1, 1, 1]
    assert [path.suffix for path in tmp_path.iterdir()] == [".npz"]


def test_nothing_is_kept_before_a_minute_has_gone(first, tmp_path):
    assert not kept(tmp_path, first).useful
    assert not list(tmp_path.iterdir())


def test_another_scene_is_refused(first, at_once, tmp_path):
    kept(tmp_path, first)
    with pytest.raises(InputError, match="belongs to another scene"):
        Checkpoint(tmp_path / "out", read_scene(SCENES / "peninsula.toml"), SETTINGS).take_up()


def test_other_settings_are_refused(first, at_once, tmp_path):
    kept(tmp_path, first)
    with pytest.raises(InputError, match="belongs to other settings"):
        Checkpoint(tmp_path / "out", first, replace(SETTINGS, cell=0.02)).take_up()


def test_another_version_is_refused(first, at_once, tmp_path, monkeypatch):
    kept(tmp_path, first)
    monkeypatch.setattr(checkpoint, "version", lambda name: "0.0.0")
    with pytest.raises(InputError, match="belongs to another version"):
        Checkpoint(tmp_path / "out", first, SETTINGS).take_up()


@pytest.mark.parametrize("damage", [b"", b"PK\x03\x04 and then nothing"])
def test_a_damaged_one_is_refused(first, at_once, tmp_path, damage):
    kept(tmp_path, first)
    next(tmp_path.iterdir()).write_bytes(damage)
    with pytest.raises(InputError, match="cannot be read"):
        Checkpoint(tmp_path / "out", first, SETTINGS).take_up()


def test_a_state_that_cannot_be_written_leaves_the_one_before(first, at_once, tmp_path, monkeypatch):
    keeper = kept(tmp_path, first)

    def fail(file, **arrays):
        file.write(b"half")
        raise KeyboardInterrupt

    monkeypatch.setattr(np, "savez", fail)
    with pytest.raises(KeyboardInterrupt):
        keeper.offer(lambda: {"one": np.zeros(3)})
    monkeypatch.undo()
    again = Checkpoint(tmp_path / "out", first, SETTINGS)
    again.take_up()
    assert again.last()["one"].tolist() == [1, 1, 1]
    assert len(list(tmp_path.iterdir())) == 1
