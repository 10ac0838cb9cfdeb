"""The first march on a machine, which has its kernels compiled, is the later ones, which find them: bit for bit."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

SCENE = Path(__file__).parents[2] / "scenes" / "first.toml"
MARCH = """
import sys
from hashlib import sha256

from flowviz import read_scene
from flowviz.flow.levels import FINE
from flowviz.flow.march import March
from flowviz.flow.velocity import still
from flowviz.flow.walls import TANK
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop

scene = read_scene(sys.argv[1])
grid = voxelise(scene, 0.02)
march = March(grid, solve_loop(scene).rates, 1e-6, TANK, FINE.closure, still(grid), 0)
for _ in range(6):
    march.step()
print(sha256(b"".join(along.tobytes() for along in march.velocity)).hexdigest())
"""


@pytest.mark.slow
def test_the_first_march_is_the_second(tmp_path):
    """Exact: what adds up is compiled in one place alone, so it adds in one order."""
    place = os.environ | {"NUMBA_CACHE_DIR": str(tmp_path)}
    command = [sys.executable, "-c", MARCH, SCENE]
    first, second = (subprocess.run(command, env=place, capture_output=True, text=True, check=True) for _ in range(2))
    assert first.stdout == second.stdout
    assert len(first.stdout) == 65
