"""Marches that several processes share are those of one process; what goes wrong in another is heard of in this one."""

import os
import subprocess
import sys
from dataclasses import astuple
from functools import partial
from pathlib import Path
from pickle import PicklingError
from time import monotonic, sleep

import numpy as np
import pytest

from flowviz.errors import ConvergenceError
from flowviz.flow import processes, team
from flowviz.flow.solve import solve_flow
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene

FIRST = Path(__file__).parents[2] / "scenes" / "first.toml"


@pytest.fixture
def begun(monkeypatch):
    """The helpers that a test begins, of which there may be two at a time; all are ended after it."""
    found = []

    class Noted(processes.Helper):
        def __init__(self):
            super().__init__()
            found.append(self)

    monkeypatch.setattr(processes, "Helper", Noted)
    monkeypatch.setattr(processes, "WAITING", [])
    monkeypatch.setattr(team, "HELPERS", 2)
    yield found
    for each in found:
        each.end()


def unhurried(number):
    """Made here, and slowly, so that helpers have their turns."""
    sleep(0.2)
    return number


def test_marches_of_several_processes_are_those_of_one_bit_for_bit(begun, monkeypatch):
    scene = read_scene(FIRST)
    grid, rates = voxelise(scene, 0.025), solve_loop(scene).rates

    def solved(helpers):
        monkeypatch.setattr(team, "HELPERS", helpers)
        return solve_flow(grid, rates, 1e-6, "sketch", marches=4)

    alone, shared = solved(0), solved(2)
    assert len(begun) == 2
    assert astuple(alone.quality) == astuple(shared.quality)
    for name in ("u", "v", "w", "speed", "fluctuation", "batches"):
        assert np.array_equal(getattr(alone, name), getattr(shared, name)), name


def test_fields_come_with_their_numbers_whoever_made_them(begun):
    assert sorted(processes.made(30, 1, float, float)) == [(number, float(number)) for number in range(30)]
    assert len(begun) == 2


def test_they_are_put_in_order():
    assert list(processes.in_order((number, str(number)) for number in (2, 0, 4, 1, 3))) == list("01234")


def test_helpers_stay_for_the_next_flow(begun):
    for _ in range(3):
        list(processes.made(3, 1, abs, abs))
    assert len(begun) == 2


def test_helpers_go_where_no_flow_comes(begun, monkeypatch):
    monkeypatch.setattr(processes, "STAY", 0.01)
    list(processes.made(2, 1, abs, abs))
    begun[0].process.wait(30)
    list(processes.made(2, 1, abs, abs))
    assert len(begun) == 2


def test_what_a_helper_prints_is_no_answer(begun):
    assert sorted(processes.made(4, 1, print, lambda number: sleep(0.2))) == [(number, None) for number in range(4)]


def test_what_goes_wrong_in_a_helper_is_raised_here(begun):
    with pytest.raises(ValueError, match=r"int\(\)"):
        list(processes.made(3, 1, partial(int, "no number"), unhurried))
    assert all(each.process.poll() is not None for each in begun)
    assert processes.WAITING == []


def test_what_cannot_be_sent_to_a_helper_is_told_and_not_waited_for(begun):
    with pytest.raises((AttributeError, TypeError, PicklingError)):
        list(processes.made(3, 1, lambda number: number, unhurried))


def test_a_helper_that_is_ended_from_outside_is_told(begun):
    with pytest.raises(ConvergenceError, match=r"made march \d was ended from outside"):
        list(processes.made(3, 1, os._exit, unhurried))


def test_one_that_cannot_be_begun_is_told(begun, monkeypatch, tmp_path):
    monkeypatch.setattr(sys, "executable", str(tmp_path / "nothing"))
    with pytest.raises(ConvergenceError, match=r"no further process could be begun .*nothing"):
        list(processes.made(3, 1, abs, abs))


def test_an_interruption_ends_helpers_in_the_midst_of_their_work(begun):
    def interrupted(number):
        raise KeyboardInterrupt

    began = monotonic()
    with pytest.raises(KeyboardInterrupt):
        list(processes.made(3, 1, partial(sum, range(10**11)), interrupted))  # which would take minutes
    assert monotonic() - began < 30
    assert all(each.process.poll() is not None for each in begun)


def test_no_more_are_begun_than_the_memory_bears(begun, monkeypatch):
    monkeypatch.setattr(processes, "free_memory", lambda: 2 * (processes.LIBRARIES + processes.CELL * 1e6))
    list(processes.made(5, 10**6, abs, abs))
    assert len(begun) == 1
    list(processes.made(5, 2 * 10**6, abs, abs))
    assert len(begun) == 1


KILLED = """
import os
from flowviz.flow import processes, team
team.HELPERS = 1
list(processes.made(2, 1, abs, abs))
os._exit(len(processes.WAITING))
"""


def test_helpers_end_with_the_process_that_began_them_even_if_it_has_no_time_to_say_so():
    """The helper has the same stderr, which is read to its end."""
    assert subprocess.run([sys.executable, "-c", KILLED], capture_output=True, timeout=60).returncode == 1


FORKED = """
import os
from flowviz.flow import processes, team
team.HELPERS = 1
list(processes.made(2, 1, abs, abs))
child = os.fork()
if child == 0:
    os._exit(len(processes.WAITING))
os._exit(os.waitpid(child, 0)[1] != 0 or len(processes.WAITING) != 1)
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes cannot be forked here")
def test_a_forked_process_leaves_helpers_to_the_one_that_began_them():
    done = subprocess.run([sys.executable, "-c", FORKED], capture_output=True, timeout=60, text=True)
    assert done.returncode == 0, done.stderr
