"""Walls thinner than a cell stop the water, however they stand."""

import numpy as np
import pytest
import trimesh

from flowviz.grid.grid import Kind
from flowviz.grid.voxelise import voxelise
from flowviz.scene.model import Rock
from flowviz.shapes.plans import rectangle
from flowviz.shapes.solids import Box, Capsule, turned
from flowviz.shapes.surface import Surface

CELL = 0.02


def plate(normal: np.ndarray, point: np.ndarray, thickness: float) -> Surface:
    """A plate that reaches beyond the tank on all sides."""
    body = trimesh.creation.box((3, 3, thickness))
    body.apply_transform(trimesh.geometry.align_vectors((0, 0, 1), normal))
    return Surface(np.array(body.vertices) + point, np.array(body.faces, dtype=np.int64))


def sides(grid, normal: np.ndarray, point: np.ndarray) -> np.ndarray:
    """Distance of the water that hangs together from the middle of the plate (n,) [m], negative behind it."""
    places = np.stack(np.meshgrid(*grid.centres(), indexing="ij"), axis=-1)
    return ((places - point) @ normal)[grid.kind == Kind.WATER]


@pytest.mark.parametrize("thickness", [0.0015, 0.004, 0.012, 0.016, 0.02, 0.03])
def test_no_plate_leaks(tank, thickness):
    """The water that hangs together lies on one side, but for what a cell that the plate cuts may have on the other.

    In 20 x 16 x 24 cells of 20 x 21.9 x 19.6 mm.
    """
    dice = np.random.default_rng(5)
    for _ in range(12):
        normal = dice.normal(size=3)
        normal /= np.linalg.norm(normal)
        point = np.array((0.2, 0.2, 0.2)) + dice.uniform(-0.03, 0.03, 3)
        rocks = (Rock("plate", plate(normal, point, thickness)),)
        grid = voxelise(tank(plan=rectangle(0.4, 0.35), depth=0.47, rocks=rocks), CELL)
        there = sides(grid, normal, point)
        assert abs(there).max() > 0.1
        assert min(there.max(), -there.min()) < thickness / 2 + max(grid.spacing)


@pytest.mark.parametrize("place", [0.2, 0.205, 0.21, 0.197])
def test_a_baffle_across_the_tank_parts_it(tank, place):
    """Square to the grid, with its faces on the middles or corners of cells or between them."""
    for thickness in (0.003, 0.01, 0.02):
        baffle = Box((place, 0.2, 0.2), (thickness, 0.5, 0.5))
        grid = voxelise(tank(plan=rectangle(0.4, 0.4), depth=0.4, rocks=(Rock("baffle", baffle),)), CELL)
        across = grid.water.any(axis=(1, 2))
        assert across[:8].all() != across[-8:].all()
        assert len(grid.pockets) == 1
        assert grid.water_volume + grid.pockets[0].volume == pytest.approx(
            0.4**2 * (0.4 - thickness), abs=0.4**2 * CELL
        )


def test_a_baffle_with_a_gap_below_lets_water_through(tank):
    baffle = Box((0.2, 0.2, 0.3), (0.006, 0.5, 0.4))
    grid = voxelise(tank(plan=rectangle(0.4, 0.4), depth=0.4, rocks=(Rock("baffle", baffle),)), CELL)
    across = int(0.2 / grid.spacing[0])
    passage = grid.open_x[across - 1 : across + 2].min(axis=0).sum() * grid.spacing[1] * grid.spacing[2]
    assert passage == pytest.approx(0.4 * 0.1, rel=0.05)  # the gap's height is five cells; its edge falls on corners
    assert not grid.pockets


def test_stout_rock_is_left_to_its_own_shares(tank):
    """Thin walls are looked for in thin rock only: a flat side through the middles of cells leaves them half open."""
    grid = voxelise(
        tank(plan=rectangle(0.4, 0.4), depth=0.4, rocks=(Rock("block", Box((0, 0.2, 0.2), (0.42, 1, 1))),)), CELL
    )
    assert grid.open_volume[10, 5, 5] == pytest.approx(0.5, abs=1e-6)
    assert grid.open_y[10, 5, 5] == pytest.approx(0.5, abs=1e-6)


def test_a_branch_of_a_cell_and_a_half_is_solid(tank):
    branch = turned(Capsule((0.05, 0.2, 0.1), (0.35, 0.2, 0.3), 0.03), 0.4, (0.2, 0.2, 0.2))
    grid = voxelise(tank(plan=rectangle(0.4, 0.4), depth=0.4, rocks=(Rock("branch", branch),)), CELL)
    places = np.stack(np.meshgrid(*grid.centres(), indexing="ij"), axis=-1)
    assert not grid.water[(branch.distance(places.reshape(-1, 3)) < -1e-9).reshape(grid.shape)].any()
