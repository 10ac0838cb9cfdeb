"""A march shared by threads is the march of one thread, bit for bit."""

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from flowviz.flow import team
from flowviz.flow.levels import FINE
from flowviz.flow.march import March
from flowviz.flow.velocity import still
from flowviz.flow.walls import TANK
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene

SCENE = Path(__file__).parents[2] / "scenes" / "first.toml"
CELL = 0.02  # [m]; small enough for more than one thread


@pytest.fixture
def marched(monkeypatch):
    """What a march comes to in a few steps, with so many threads to help."""
    scene = read_scene(SCENE)
    grid, rates = voxelise(scene, CELL), solve_loop(scene).rates
    assert grid.kind.size > team.WORTH_SHARING

    def march(helpers: int) -> list[np.ndarray]:
        monkeypatch.setattr(team, "HELPERS", helpers)
        march = March(grid, rates, 1e-6, TANK, FINE.closure, still(grid), 0)
        for _ in range(6):
            march.step()
        return [*march.velocity, march.pressure, march.momentum.viscosity]

    return march


@pytest.mark.parametrize("helpers", [1, 3])
def test_threads_change_nothing(helpers, marched):
    """Exact: planes are done in any order, and sums over planes are added up in theirs."""
    for alone, shared in zip(marched(0), marched(helpers), strict=True):
        assert np.abs(alone).max() > 0
        assert np.array_equal(alone, shared)


FORKED = """
import os
from flowviz.flow.team import Team
done = []
Team(8, 10**6).planes(lambda first, last: done.append(last - first))
child = os.fork()
if child == 0:
    Team(8, 10**6).planes(lambda first, last: done.append(last - first))
    os._exit(sum(done) != 16)
os._exit(os.waitpid(child, 0)[1] != 0)
"""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are not forked here")
def test_a_forked_process_has_threads_of_its_own():
    """As those of a pool have that computes several scenes; without them it would wait for ever."""
    subprocess.run([sys.executable, "-W", "ignore", "-c", FORKED], check=True, timeout=60)
