"""How long the numbers of a study take, in cosine transforms of the grid there and back.

All measures are to take less than a second and the renewal less than two on 140,000 cells, on a machine whose cosine
pair takes 1.2 ms: 800 and 1600 pairs. Both have a margin of three or more where the other core is idle:

    pytest tests/bench/test_assess.py --benchmark-only
"""

from dataclasses import replace
from pathlib import Path
from timeit import repeat

import numpy as np
import pytest
from scipy.fft import dctn, idctn

from flowviz.assess.measures import measure
from flowviz.assess.renewal import measure_renewal
from flowviz.flow.pressure.projection import potential_flow
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene

PENINSULA = Path(__file__).parents[2] / "scenes" / "peninsula.toml"


@pytest.fixture(scope="module")
def tank(make):
    """The peninsula with its potential flow, made-up speeds in eight windows and eddies of 5 cm/s."""
    scene = read_scene(PENINSULA)
    grid, rates = voxelise(scene, None), solve_loop(scene).rates
    windows = np.random.default_rng(0).gamma(2.0, 0.05, (8, *grid.shape))
    eddies = np.where(grid.water, np.float32(0.05), np.float32(0))
    field = make.field(grid, windows, potential_flow(grid, rates))
    return scene, grid, replace(field, fluctuation=eddies), rates


@pytest.fixture(scope="module")
def pair(tank) -> float:
    """A cosine transform of the grid and back [s]."""
    values = np.random.default_rng(0).random(tank[1].shape, np.float32)
    return min(repeat(lambda: idctn(dctn(values)), number=1, repeat=50))


def test_measures(benchmark, told, tank, pair):
    benchmark.pedantic(measure, tank[:3], rounds=5)
    told("cosine pairs for all measures, 140,000 cells", benchmark.stats.stats.min / pair, 800)


def test_renewal(benchmark, told, tank, pair):
    benchmark.pedantic(measure_renewal, tank, rounds=3)
    told("cosine pairs for the renewal, 140,000 cells", benchmark.stats.stats.min / pair, 1600)
