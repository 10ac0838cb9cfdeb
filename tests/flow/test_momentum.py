"""What moves the water, in cells that are no cubes, against motions that central differences meet exactly."""

import numpy as np
import pytest

from flowviz.flow.momentum import LAMINAR, Closure, Momentum, Stage
from flowviz.flow.velocity import Velocity, still
from flowviz.flow.walls import SLIP, Walls
from flowviz.grid.grid import Grid

SHAPE, EDGES = (9, 8, 7), (0.02, 0.0235, 0.017)  # cells and their edges [m]
VISCOSITY, STEP = 1e-4, 0.5  # [m²/s], [s]
SLIPPERY = Walls(*[(SLIP, SLIP)] * 3)
INSIDE = (slice(2, -2),) * 3  # of the faces: off the sides of the box, where nothing flows
NUMBERS = np.random.default_rng(6)
SLOPES = NUMBERS.standard_normal((3, 3))  # of the velocity along each axis along each axis [1/s]
SLOPES -= np.eye(3) * np.trace(SLOPES) / 3  # so that water is kept
BENDS = NUMBERS.standard_normal((3, 3, 3))  # of the velocity along the first axis along two [1/ms]
BENDS += BENDS.swapaxes(1, 2)


@pytest.fixture
def grid(box) -> Grid:
    return box(SHAPE, EDGES)


def on_faces(grid: Grid, axis: int) -> np.ndarray:
    """The middles of the faces across an axis (..., 3), from the middle of the box [m]."""
    places = list(grid.centres())
    places[axis] = np.arange(SHAPE[axis] + 1) * EDGES[axis]
    return np.stack(np.meshgrid(*places, indexing="ij"), axis=-1) - np.multiply(SHAPE, EDGES) / 2


def linear(grid: Grid) -> Velocity:
    """The motion whose velocity is SLOPES x [m/s]."""
    return tuple((on_faces(grid, axis) @ SLOPES[axis]).astype(np.float32) for axis in range(3))


def test_a_linear_motion_is_carried_on_and_pushed(grid):
    """dU/dt = -(U·∇) U - ∇p: of U = A x and a p of slope g they are -A A x and -g, exact but for single precision."""
    slope, push = np.array((0.3, -0.2, 0.1)), 0.7
    velocity, change, moved = linear(grid), still(grid), still(grid)
    pressure = np.einsum("aijk,a", np.meshgrid(*grid.centres(), indexing="ij"), slope).astype(np.float32)
    stage = Stage(keep=0.0, take=0.5, push=push, lasts=1.0, ahead=0.0)
    Momentum(grid, {}, VISCOSITY, SLIPPERY, LAMINAR).drive(velocity, pressure, stage, STEP, change, moved)
    for axis in range(3):
        expected = -STEP * (on_faces(grid, axis) @ (SLOPES @ SLOPES)[axis] + push * slope[axis])
        assert change[axis][INSIDE] == pytest.approx(expected[INSIDE], abs=1e-5 * np.abs(expected).max())
        assert moved[axis][INSIDE] == pytest.approx((velocity[axis] + 0.5 * change[axis])[INSIDE], abs=1e-6)


def test_viscous_stress_of_a_bent_motion(grid):
    """dUᵢ/dt = ν Σⱼ ∂ⱼ(∂ⱼUᵢ + ∂ᵢUⱼ), of Uᵢ = x·Bᵢx/2 the same everywhere: exact but for single precision."""
    velocity, moved = still(grid), still(grid)
    for axis, along in enumerate(velocity):
        places = on_faces(grid, axis)
        along[:] = np.einsum("...a,ab,...b", places, BENDS[axis], places) / 2
    Momentum(grid, {}, VISCOSITY, SLIPPERY, LAMINAR).slow(velocity, STEP, moved)
    for axis in range(3):
        expected = VISCOSITY * STEP * sum(BENDS[axis, a, a] + BENDS[a, a, axis] for a in range(3))
        gained = (moved[axis] - velocity[axis])[INSIDE]
        assert gained == pytest.approx(expected, abs=float(1e-6 * np.abs(velocity[axis]).max()))


def test_subgrid_viscosity_of_a_linear_motion(grid):
    """ν + (C h)² √(2 Sij Sij), h the edge of a cube as large as the cells: exact but for single precision."""
    momentum = Momentum(grid, {}, VISCOSITY, SLIPPERY, Closure(0.1, 0.0, 0.0))
    momentum.slow(linear(grid), STEP, still(grid))
    strain = (SLOPES + SLOPES.T) / 2
    expected = VISCOSITY + 0.1**2 * np.prod(EDGES) ** (2 / 3) * np.sqrt(2 * (strain**2).sum())
    assert momentum.viscosity[INSIDE] == pytest.approx(expected, rel=1e-5)
