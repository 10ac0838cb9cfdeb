"""Every example runs, stays short, and tells of dead water; every shipped scene balances."""

import subprocess
import sys
from pathlib import Path

import pytest

from flowviz import read_scene, run

ROOT = Path(__file__).parent.parent
EXAMPLES = sorted((ROOT / "examples").glob("*.py"))
SCENES = sorted((ROOT / "scenes").glob("*.toml"))
BALANCE = 1e-3  # what the whole tool promises of every shipped scene


@pytest.mark.slow
@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_runs_and_says_something(example, tmp_path):
    done = subprocess.run([sys.executable, example], cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    assert "dead" in done.stdout


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_an_example_is_under_forty_lines(example):
    assert len(example.read_text(encoding="utf-8").splitlines()) < 40


@pytest.mark.parametrize("scene", SCENES, ids=lambda path: path.stem)
def test_a_shipped_scene_balances(scene):
    study = run(read_scene(scene))
    assert study.field.quality.balance_error < BALANCE
    assert sum(study.loop.rates.values()) == pytest.approx(0, abs=1e-9 * study.loop.total)


def test_the_shipped_scenes_differ_in_what_is_wrong():
    troubles = {path.stem: path.read_text(encoding="utf-8").split("What is wrong with it:")[-1][:80] for path in SCENES}
    assert len(set(troubles.values())) == len(SCENES)
