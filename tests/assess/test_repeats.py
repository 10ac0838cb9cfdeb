"""A sketch marched again and again: what its intervals claim of chance, and what chance does."""

from dataclasses import replace
from math import sqrt
from pathlib import Path

import numpy as np
import pytest
from scipy.stats import t as student

from flowviz.assess.measures import measure
from flowviz.flow.state import FORGETFUL
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.progress import silent
from flowviz.scene.file import read_scene
from flowviz.study import Settings, flow_on

FIRST = Path(__file__).parents[2] / "scenes" / "first.toml"
REPEATS = 16
CHANCE = 2 / sqrt(2 * (REPEATS - 1))  # two standard errors of a scatter, of the scatter


@pytest.fixture(scope="module")
def looks():
    """Sketches of the first scene, each by a chance of its own."""
    scene = replace(read_scene(FIRST), measured=())
    grid, rates = voxelise(scene, None), solve_loop(scene).rates
    flows = [flow_on(grid, scene, Settings(seed=number), silent, FORGETFUL)(0, rates) for number in range(REPEATS)]
    return [(measure(scene, grid, flow), len(flow.batches)) for flow in flows]


@pytest.mark.slow
@pytest.mark.parametrize(("name", "most"), [("dead_fraction", 2.5), ("over_fraction", 4.0)])
def test_no_interval_promises_more_than_repeated_sketches_keep(looks, name, most):
    """Claimed is the scatter at least, but for chance; how much more is what a single short look costs."""
    scatter = np.std([getattr(measures, name) for measures, _ in looks], ddof=1)
    errors = [measures.uncertainty[name] / student.ppf(0.975, windows - 1) for measures, windows in looks]
    claimed = sqrt(np.mean(np.square(errors)))
    assert (1 - CHANCE) * scatter <= claimed <= most * (1 + CHANCE) * scatter
