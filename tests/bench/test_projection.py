"""How long the pressure takes: pytest tests/bench/test_projection.py --benchmark-only.

Read the ratios within a group. 900,000 cells from rest, set-up included, are to take at most 4 cosine pairs and a
fiftieth of the better of the two algebraic multigrid solvers; one projection of each march step is affordable at
one and a half pairs.
"""

from itertools import cycle
from pathlib import Path

import numpy as np
import pyamg
import pytest
from scipy.fft import dctn, idctn
from scipy.sparse import coo_array, diags_array

from flowviz.flow.pressure.projection import Projection
from flowviz.grid.grid import Grid
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene

PENINSULA = Path(__file__).parents[2] / "scenes" / "peninsula.toml"
LEFT = 1e-4  # of what the cells lack at rest, in the root mean square


def tank(cell: float) -> tuple[Grid, np.ndarray]:
    """The peninsula on cells of that edge [m], and what enters in each cell [m³/s]."""
    scene = read_scene(PENINSULA)
    grid = voxelise(scene, cell)
    return grid, grid.source(solve_loop(scene).rates)


@pytest.fixture(scope="module")
def large() -> tuple[Grid, np.ndarray]:
    """About 900,000 cells with rock."""
    return tank(0.0107)


@pytest.fixture(scope="module")
def matrix(large):
    """The same system as a sparse matrix, of its water cells, and its right side [m³/s]."""
    grid, source = large
    hx, hy, hz = grid.spacing
    number = np.cumsum(grid.water.ravel()).reshape(grid.shape) - 1
    rows, columns, values = [], [], []
    faces = (grid.open_x, hy * hz / hx), (grid.open_y, hx * hz / hy), (grid.open_z, hx * hy / hz)
    for axis, (opened, full) in enumerate(faces):
        inner = np.moveaxis(opened, axis, 0)[1:-1]
        along = np.moveaxis(number, axis, 0)
        rows.append(along[:-1][inner > 0])
        columns.append(along[1:][inner > 0])
        values.append(full * inner[inner > 0].astype(float))
    size = np.count_nonzero(grid.water)
    value, row, column = (np.concatenate(part) for part in (values, rows, columns))
    beside = coo_array((value, (row, column)), shape=(size, size)).tocsr()
    beside += beside.T
    return (diags_array(beside.sum(axis=1)) - beside).tocsr(), source[grid.water]


def from_rest(grid: Grid, source: np.ndarray) -> tuple[np.ndarray, ...]:
    u, v, w = (np.zeros(opened.shape, np.float32) for opened in grid.shares)
    Projection(grid).project(u, v, w, source, LEFT)
    return u, v, w


@pytest.mark.benchmark(group="900,000 cells from rest, set-up included")
def test_projection(benchmark, large):
    grid, source = large
    u, v, w = benchmark(from_rest, grid, source)
    hx, hy, hz = grid.spacing
    out = np.diff(grid.open_x * u.astype(float), axis=0) * hy * hz
    out += np.diff(grid.open_y * v.astype(float), axis=1) * hx * hz
    out += np.diff(grid.open_z * w.astype(float), axis=2) * hx * hy
    assert np.linalg.norm(source - out) < LEFT * np.linalg.norm(source)


@pytest.mark.benchmark(group="900,000 cells from rest, set-up included")
@pytest.mark.parametrize("kind", ["float32", "float64"])
def test_cosine_pair(benchmark, large, kind):
    values = np.random.default_rng(1).random(large[0].shape).astype(kind)
    benchmark(lambda: idctn(dctn(values)))


@pytest.mark.benchmark(group="900,000 cells from rest, set-up included")
@pytest.mark.parametrize("solver", [pyamg.ruge_stuben_solver, pyamg.smoothed_aggregation_solver])
def test_algebraic_multigrid(benchmark, matrix, solver):
    a, b = matrix
    x = benchmark.pedantic(lambda: solver(a).solve(b, tol=LEFT, accel="cg"), rounds=1)
    assert np.linalg.norm(b - a @ x) < 1.01 * LEFT * np.linalg.norm(b)


@pytest.fixture(scope="module", params=[0.02, 0.0126, 0.008], ids=["140,000", "550,000", "2,200,000"])
def marching(request):
    """A projection that has its pressure, and two velocities to go from one to the other by turns.

    What a cell lacks at the start is then some 0.05 of what a face carries, as within a march.
    """
    grid, source = tank(request.param)
    projection, random = Projection(grid), np.random.default_rng(1)
    fastest = max(np.abs(speed).max() for speed in from_rest(grid, source))
    faces = grid.shares
    velocities = [
        [(0.005 * fastest * random.standard_normal(face.shape)).astype(np.float32) for face in faces] for _ in range(2)
    ]
    return projection, source, velocities


@pytest.mark.benchmark(group="within a march")
def test_projection_within_a_march(benchmark, marching):
    projection, source, velocities = marching
    velocity = [speed.copy() for speed in velocities[0]]
    turns = cycle(velocities)

    def start():
        for speed, begun in zip(velocity, next(turns), strict=True):
            speed[:] = begun

    benchmark.pedantic(lambda: projection.project(*velocity, source, 1e-3), setup=start, rounds=40, warmup_rounds=2)


@pytest.mark.benchmark(group="within a march")
def test_cosine_pair_of_the_same_box(benchmark, marching):
    values = np.random.default_rng(1).random(marching[0].pressure.shape).astype("float32")
    benchmark(lambda: idctn(dctn(values)))
