"""A coarse field read on a finer grid: what must come over exactly, and what must hold afterwards."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.ndimage import binary_erosion

from flowviz.flow.balance import balance_error
from flowviz.flow.field import Field, Quality
from flowviz.flow.refine import Cells, balanced, refine, refine_velocity
from flowviz.grid.coarsen import coarsen
from flowviz.grid.grid import Grid


def linear_velocity(grid: Grid) -> tuple[np.ndarray, ...]:
    """A velocity that is linear in place, on every face."""
    velocity = []
    for axis in range(3):
        along = [(np.arange(n) + 0.5) * h for n, h in zip(grid.shape, grid.spacing, strict=True)]
        along[axis] = np.arange(grid.shape[axis] + 1) * grid.spacing[axis]
        x, y, z = np.meshgrid(*along, indexing="ij")
        velocity.append((0.1 + axis + 0.3 * x - 0.2 * y + 0.5 * z).astype(np.float32))
    return tuple(velocity)


def any_field(grid: Grid) -> Field:
    """A random field that keeps to the rules: no flow through shut faces, nothing outside the water."""
    random = np.random.default_rng(3)
    shares = grid.shares
    velocity = (np.where(s > 0, 0.05 * random.standard_normal(s.shape), 0).astype(np.float32) for s in shares)
    batches = np.where(grid.water, random.random((8, *grid.shape)), 0).astype(np.float32)
    quality = Quality(0.0, 10, 5.0, 4.0, steady=False)
    return Field(*velocity, batches.mean(axis=0), batches.std(axis=0), batches, quality)


def test_linear_velocity_comes_over_exactly(boulder):
    """Linear interpolation is exact in open water, six cells from rock and glass; float32 rounding."""
    grid, coarse = boulder.grid, coarsen(boulder.grid, 2)
    clear = binary_erosion(grid.open_volume == 1, iterations=6)
    assert clear.sum() > 1000
    found, expected = refine_velocity(linear_velocity(coarse), coarse, grid), linear_velocity(grid)
    for axis in range(3):
        lower = (*(slice(None),) * axis, slice(None, -1))
        assert found[axis][lower][clear] == pytest.approx(expected[axis][lower][clear], rel=1e-5)


def test_shut_faces_let_nothing_through(boulder):
    coarse = coarsen(boulder.grid, 3)
    velocity = refine_velocity(linear_velocity(coarse), coarse, boulder.grid)
    for along, share in zip(velocity, (boulder.grid.open_x, boulder.grid.open_y, boulder.grid.open_z), strict=True):
        assert not along[share == 0].any()


def test_solid_cells_have_no_say(boulder):
    """The same value in all water stays that value, beside rock and glass too; float32 rounding."""
    coarse = coarsen(boulder.grid, 2)
    values = np.where(coarse.water, np.float32(0.25), np.float32(9))
    found = Cells(coarse, boulder.grid).read(values)
    near_water = Cells(coarse, boulder.grid).read(np.ones(coarse.shape, np.float32)) > 0.5
    assert found[boulder.grid.water & near_water] == pytest.approx(0.25, rel=1e-5)
    assert np.mean(near_water[boulder.grid.water]) > 0.999
    assert not found[~boulder.grid.water].any()


def test_a_grid_read_on_itself_stays_as_it_is(boulder):
    """Exact but for float32 rounding."""
    field = any_field(boulder.grid)
    found = refine(field, boulder.grid, boulder.grid)
    assert found.speed == pytest.approx(field.speed, abs=1e-6)
    assert found.u == pytest.approx(field.u, abs=1e-6)


def test_mirror_image_comes_over_as_mirror_image(boulder):
    """Rounding only: the order of two sums is turned round."""
    grid = boulder.grid
    coarse = coarsen(grid, 3)
    values = any_field(coarse).speed
    assert Cells(mirrored(coarse), mirrored(grid)).read(values[:, ::-1]) == pytest.approx(
        Cells(coarse, grid).read(values)[:, ::-1], abs=1e-6
    )


def mirrored(grid: Grid) -> Grid:
    """Front and back changed; the openings are left where they were."""
    turned = {
        name: getattr(grid, name)[:, ::-1] for name in ("kind", "open_volume", "open_x", "open_y", "open_z", "aslant")
    }
    return replace(grid, **turned)


def test_balanced_field_keeps_water_and_is_no_slower_than_its_mean(boulder):
    """Promise of the summary: 1e-3. The sum is done once more here, in double precision."""
    grid = boulder.grid
    field = balanced(any_field(grid), grid, boulder.rates)
    out = np.diff(np.float64(field.u) * grid.open_x, axis=0) / grid.spacing[0]
    out += np.diff(np.float64(field.v) * grid.open_y, axis=1) / grid.spacing[1]
    out += np.diff(np.float64(field.w) * grid.open_z, axis=2) / grid.spacing[2]
    worst = np.abs(out * grid.cell_volume - grid.source(boulder.rates)).max() / boulder.rates["left high"]
    assert worst < 1e-3
    assert field.quality.balance_error == pytest.approx(worst, rel=0.01)  # float32 products there
    mean = np.sqrt((field.velocity().astype(float) ** 2).sum(axis=-1))
    assert (field.speed >= mean * (1 - 1e-6))[grid.water].all()
    assert field.batches.mean(axis=0) == pytest.approx(field.speed, abs=1e-6)


def test_balance_error_tells_openings_that_do_not_agree(boulder):
    """3 of 100 litres come in and do not go out; the velocity is at rest, so the outlet's cells lack all they bring."""
    still = tuple(np.zeros_like(s) for s in (boulder.grid.open_x, boulder.grid.open_y, boulder.grid.open_z))
    error = balance_error(boulder.grid, {"left high": 1.0, "right low": -0.97}, still)
    largest = max(patch.share.max() for patch in boulder.grid.patches if patch.inflow)
    assert error == pytest.approx(max(0.03, largest), rel=1e-9)
