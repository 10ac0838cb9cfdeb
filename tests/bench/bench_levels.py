"""How long the levels take, warm, in cosine transforms of the grid there and back: pytest tests/bench/bench_levels.py

The figures to reach are 0.5 s for a sketch, 0.15 s for one that is dragged and 3 s for a coarse field of 140,000 cells,
on a machine whose cosine pair takes 1.2 ms: 420, 125 and 2500 pairs.
"""

from pathlib import Path
from time import perf_counter

import numpy as np
import pytest
from scipy.fft import dctn, idctn

from flowviz.flow.solve import solve_flow
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene

PENINSULA = Path(__file__).parents[2] / "scenes" / "peninsula.toml"


@pytest.fixture(scope="module")
def tank():
    """The peninsula's grid of about 140,000 cells, and its rates."""
    scene = read_scene(PENINSULA)
    return voxelise(scene, None), solve_loop(scene).rates


@pytest.fixture(scope="module")
def pair(tank) -> float:
    """A cosine transform of the grid and back [s], the shortest of many."""
    values = np.random.default_rng(0).random(tank[0].shape, np.float32)
    times = []
    for _ in range(50):
        begun = perf_counter()
        idctn(dctn(values))
        times.append(perf_counter() - begun)
    return min(times)


@pytest.mark.parametrize(("detail", "pairs"), [("sketch", 420), ("coarse", 2500)])
def test_level_from_rest(benchmark, tank, pair, detail, pairs):
    benchmark.pedantic(solve_flow, (*tank, 1e-6, detail), rounds=4, warmup_rounds=1)
    assert_quick(benchmark, pair, pairs)


def test_dragged_sketch(benchmark, tank, pair):
    start = solve_flow(*tank, 1e-6, "sketch")
    benchmark.pedantic(solve_flow, (*tank, 1e-6, "sketch"), {"start": start}, rounds=8, warmup_rounds=1)
    assert_quick(benchmark, pair, 125)


def assert_quick(benchmark, pair: float, pairs: float) -> None:
    """The shortest round takes no more than so many cosine pairs."""
    taken = benchmark.stats.stats.min / pair
    benchmark.extra_info["pairs"] = round(taken)
    assert taken <= pairs
