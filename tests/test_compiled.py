"""Compiled kernels have a place wherever flowviz runs."""

import os
from pathlib import Path

import pytest

from flowviz import compiled


@pytest.fixture
def no_place(monkeypatch, tmp_path):
    """Nobody has told of a place, and temporary folders are made here."""
    monkeypatch.delenv(compiled.PLACE, raising=False)
    monkeypatch.setattr(compiled, "mkdtemp", lambda prefix: str(tmp_path / prefix))
    return tmp_path / "flowviz-"


def test_where_nothing_may_be_written_a_run_has_a_place_of_its_own(monkeypatch, no_place):
    monkeypatch.setattr(os, "access", lambda folder, how: False)
    compiled.ensure_place()
    assert os.environ[compiled.PLACE] == str(no_place)
    del os.environ[compiled.PLACE]


@pytest.mark.parametrize("place", ["beside the code", "cache"])
def test_where_there_is_a_place_nothing_is_done(monkeypatch, no_place, tmp_path, place):
    own = Path(compiled.__file__).parent if place == "beside the code" else tmp_path
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "not" / "yet" / "made"))
    monkeypatch.setattr(os, "access", lambda folder, how: folder == own)
    compiled.ensure_place()
    assert compiled.PLACE not in os.environ


def test_a_place_that_is_told_stays(monkeypatch, no_place):
    monkeypatch.setenv(compiled.PLACE, "elsewhere")
    monkeypatch.setattr(os, "access", lambda folder, how: False)
    compiled.ensure_place()
    assert os.environ[compiled.PLACE] == "elsewhere"
