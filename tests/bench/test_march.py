"""How long a march takes, and how much room: pytest tests/bench/test_march.py --benchmark-only -rP

Times are set against a cosine transform of the same box there and back, in the same minute; what is asked stands with
each. Another machine, or a busy one, has other ratios.
"""

import os
import subprocess
import sys
import tracemalloc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from time import perf_counter, process_time, sleep

import numpy as np
import pytest
from scipy.fft import dctn, idctn

from flowviz.assess.measures import Measures, measure
from flowviz.assess.renewal import Renewal, measure_renewal
from flowviz.flow import levels
from flowviz.flow.field import Field
from flowviz.flow.levels import FINE
from flowviz.flow.march import March
from flowviz.flow.solve import solve_flow
from flowviz.flow.state import FORGETFUL
from flowviz.flow.statistics import gather
from flowviz.flow.walls import TANK
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.progress import silent
from flowviz.scene.file import read_scene

PENINSULA = Path(__file__).parents[2] / "scenes" / "peninsula.toml"
VISCOSITY = 1e-6  # [m²/s]
PEAK = 1.3  # [m/s]
SMALL, LARGE = 0.02, 0.008  # cells of about 140,000 and 2.2 million in the tank [m]


def marching(cell: float) -> March:
    """The peninsula on cells of that edge [m], begun from coarse cells, its fastest water at 1.3 m/s."""
    scene = read_scene(PENINSULA)
    grid, rates = voxelise(scene, cell), solve_loop(scene).rates
    case = levels.Case(grid, rates, VISCOSITY, (0.03, 0.5), silent, 0, FORGETFUL)
    below = levels.on_coarse_cells(case, None)
    march = levels.begun(case, grid, FINE, below.velocity, below.grid)
    gather(march, 0.5)
    factor = PEAK / max(float(np.abs(along).max()) for along in march.velocity)
    slower = tuple(np.float32(factor) * along for along in march.velocity)
    rates = {name: factor * rate for name, rate in rates.items()}
    march = March(grid, rates, VISCOSITY, TANK, FINE.closure, slower, 0)
    gather(march, 0.1)
    return march


@pytest.fixture(scope="module")
def small() -> March:
    return marching(SMALL)


@pytest.fixture(scope="module")
def large() -> March:
    return marching(LARGE)


def pair_of(march: March) -> Callable[[], object]:
    """A cosine transform of the same box and back."""
    values = np.random.default_rng(0).random(march.grid.shape, np.float32)
    return lambda: idctn(dctn(values))


def times(rounds: int, *acts: Callable[[], object], clock: Callable[[], float] = perf_counter) -> np.ndarray:
    """How long each of several things takes, by turns (rounds, n) [s]: what else the machine does hits all alike."""
    taken = np.empty((rounds, len(acts)))
    for row in taken:
        for number, act in enumerate(acts):
            begun = clock()
            act()
            row[number] = clock() - begun
    return taken


def test_step(benchmark, told, small):
    benchmark.pedantic(small.step, rounds=60, warmup_rounds=5)
    step, pair = times(60, small.step, pair_of(small)).min(axis=0)
    told("cosine pairs a step, 140,000 cells", step / pair, 3)
    work, pair = times(60, small.step, pair_of(small), clock=process_time).min(axis=0)
    told("the same in processor time, of all threads together", work / pair, 6)


def test_second(benchmark, told, small):
    before = small.steps
    benchmark.pedantic(gather, (small, 1.0), rounds=5, warmup_rounds=1)
    told("steps in a second of flow", (small.steps - before) / 6, 100)
    told("a second of flow at a peak of 1.3 m/s, 140,000 cells [s]", benchmark.stats.stats.min, 0.4)


def test_cost_against_cells(benchmark, told, small, large):
    benchmark.pedantic(large.step, rounds=10, warmup_rounds=2)
    little, much = times(20, small.step, large.step).min(axis=0)
    power = np.log(much / little) / np.log(large.grid.kind.size / small.grid.kind.size)
    told("exponent of the cost of a step, 140,000 to 2.2 million cells", power, 1.1)


def test_memory(benchmark, told, monkeypatch):
    """Of a fine run with as many windows as it ever has, and of all that is measured of it; of all cells of the box."""
    scene = read_scene(PENINSULA)
    grid, rates = voxelise(scene, 0.0126), solve_loop(scene).rates
    monkeypatch.setattr(levels, "FINE", levels.Level(FINE.closure, 0.05, 0.05))
    monkeypatch.setattr(levels, "LONGEST", 0.05 * levels.MOST)
    monkeypatch.setattr(levels, "PRECISION", dict.fromkeys(levels.PRECISION, 1e-9))
    start = solve_flow(grid, rates, VISCOSITY, "sketch")

    def whole() -> tuple[Field, Measures, Renewal]:
        field = solve_flow(grid, rates, VISCOSITY, "fine", start=start)
        return field, measure(scene, grid, field), measure_renewal(scene, grid, field, rates)

    tracemalloc.start()
    benchmark.pedantic(whole, rounds=1)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    bare = sum(getattr(grid, name).nbytes for name in ("kind", "open_volume", "open_x", "open_y", "open_z", "aslant"))
    told("bytes a cell", (peak + bare) / grid.kind.size, 200)


@contextmanager
def others_busy() -> Iterator[None]:
    """All cores but one at work for somebody else."""
    spin = [sys.executable, "-c", "while True: pass"]
    others = [subprocess.Popen(spin) for _ in range(max(1, (os.cpu_count() or 2) - 1))]
    try:
        sleep(0.5)
        yield
    finally:
        for other in others:
            other.kill()
            other.wait()


def test_other_core_busy(benchmark, told, small):
    idle = times(100, small.step)
    with others_busy():
        busy = times(100, small.step)
    benchmark.pedantic(small.step, rounds=10)
    told("median step beside a busy core, over an idle one", median(busy[:, 0]) / median(idle[:, 0]), 2.5)
    told("longest step beside a busy core, over the median idle one", busy.max() / median(idle[:, 0]), 10)


WHOLE_RUN = """
import sys
from time import time
from flowviz import Settings, read_scene, run
def whole():
    study = run(read_scene(sys.argv[1]), Settings("coarse"))
    run(study.scene)
begun = float(sys.argv[2])
whole()
first = time()
whole()
print(first - begun - (time() - first))
"""


def overhead(cache: Path) -> float:
    """What a fresh process takes beyond the work itself: start, loading and, with an empty cache, compiling [s]."""
    from time import time

    words = [sys.executable, "-c", WHOLE_RUN, str(PENINSULA), str(time())]
    done = subprocess.run(words, env={**os.environ, "NUMBA_CACHE_DIR": str(cache)}, capture_output=True, check=True)
    return float(done.stdout)


def test_start(benchmark, told, tmp_path):
    cold = benchmark.pedantic(overhead, (tmp_path,), rounds=1)
    told("compiling everything a run needs, and starting [s]", cold, 22)
    told("starting once that is done [s]", min(overhead(tmp_path) for _ in range(3)), 2)
