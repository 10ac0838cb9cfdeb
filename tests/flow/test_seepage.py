"""Water through rubble that fills a duct: pressure and speeds as Ergun's equation has them, whatever the time step."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from flowviz.flow.march import March
from flowviz.flow.momentum import LAMINAR
from flowviz.flow.seepage import Seepage
from flowviz.flow.statistics import gather
from flowviz.flow.velocity import still
from flowviz.flow.walls import SLIP, Walls
from flowviz.formulas.rubble import laminar_drag, turbulent_drag
from flowviz.grid.coarsen import coarsen
from flowviz.grid.grid import Patch, Rubble

SHAPE, H = (32, 8, 4), 0.025
UNLIKE = (0.02, 0.0235, 0.017)  # edges of cells that are no cubes [m]
FIRST, LAST = 10, 22  # planes of cells that the heap lies between
SPEED, VISCOSITY = 0.05, 1e-6  # over the whole duct [m/s], [m²/s]
OPEN, COARSE_STONE, FINE_STONE = 0.4, 0.04, 0.02
SLIPPERY = Walls((SLIP, SLIP), (SLIP, SLIP), (SLIP, SLIP))


def end(name: str, plane: int, along: float) -> Patch:
    """All of one end of the duct."""
    cells = np.array([(plane, j, k) for j in range(SHAPE[1]) for k in range(SHAPE[2])])
    share, axis = np.full(len(cells), 1 / len(cells)), (along, 0.0, 0.0)
    extent = SHAPE[1] * H, SHAPE[2] * H
    return Patch(name, along > 0, cells, share, (0.0, 0.0, 0.0), axis, axis, extent[0] * extent[1], extent, False)


@pytest.fixture
def duct(box):
    """Makes the duct with stones of one diameter in its front half and of another in its back half."""

    def make(front: float, back: float):
        grid = box(SHAPE, (H,) * 3, patches=(end("in", 0, 1.0), end("out", SHAPE[0] - 1, -1.0)))
        share, laminar, turbulent = (np.zeros(SHAPE, np.float32) for _ in range(3))
        share[FIRST:LAST] = 1
        for half, stone in ((slice(4), front), (slice(4, 8), back)):
            laminar[FIRST:LAST, half] = laminar_drag(OPEN, stone)
            turbulent[FIRST:LAST, half] = turbulent_drag(OPEN, stone)
        return replace(grid, rubble=Rubble(share, laminar, turbulent))

    return make


def seeping(grid, longest: float) -> March:
    """The flow through the duct after 120 steps of at most so long [s].

    The pressure in the heap takes some steps to follow, more where they are longer than the drag takes, which is 50 ms.
    """
    rate = SPEED * SHAPE[1] * SHAPE[2] * H**2
    start = tuple(np.zeros(opened.shape, np.float32) for opened in grid.shares)
    march = March(grid, {"in": rate, "out": -rate}, VISCOSITY, SLIPPERY, LAMINAR, start, 0)
    while march.steps < 120:
        gather(march, 2 * longest)
    return march


def loss(speed: float, stone: float) -> float:
    """Pressure over density that seepage loses per length, by both terms of Ergun [m/s²]."""
    return VISCOSITY * laminar_drag(OPEN, stone) * speed + turbulent_drag(OPEN, stone) * speed**2


@pytest.mark.parametrize("longest", [0.01, 0.3], ids=["short steps", "steps longer than the drag takes"])
def test_pressure_lost_in_a_heap(duct, longest):
    """Uniform flow: what is left is the divergence that a step leaves, most of it far below what is allowed."""
    pressure = seeping(duct(COARSE_STONE, COARSE_STONE), longest).pressure
    lost = pressure[FIRST - 3].mean() - pressure[LAST + 2].mean()
    assert lost == pytest.approx(loss(SPEED, COARSE_STONE) * (LAST - FIRST) * H, rel=2e-3)


@pytest.mark.parametrize("longest", [0.01, 0.3], ids=["short steps", "steps longer than the drag takes"])
def test_flow_takes_the_easier_way(duct, longest):
    """Both halves lose the same, and their speeds have the given mean; the ends of the heap, where water still crosses
    over, are 5 % of it, and the middle is looked at.
    """
    front = brentq(lambda speed: loss(speed, COARSE_STONE) - loss(2 * SPEED - speed, FINE_STONE), SPEED, 2 * SPEED)
    u = seeping(duct(COARSE_STONE, FINE_STONE), longest).velocity[0][(FIRST + LAST) // 2]
    assert u[:3].mean() == pytest.approx(front, rel=0.02)
    assert u[5:].mean() == pytest.approx(2 * SPEED - front, rel=0.02)


def test_larger_cells_keep_the_drag(duct):
    """The heap's ends lie on the larger cells' faces: exact but for rounding."""
    grid = duct(COARSE_STONE, FINE_STONE)
    larger = coarsen(grid, 2)
    for mine, its in ((grid.rubble.turbulent, larger.rubble.turbulent), (grid.rubble.share, larger.rubble.share)):
        assert its.mean() == pytest.approx(mine.mean(), rel=1e-5)
    assert set(np.unique(larger.rubble.share)) == {0.0, 1.0}


@pytest.mark.parametrize("axis", range(3))
def test_water_that_seeps_steadily_goes_on(axis, box):
    """At the speed that its pressure keeps up by Ergun, all of that still to act: exact but for single precision."""
    grid, dt = box((6, 6, 6), UNLIKE), 0.3
    all_over = np.ones(grid.shape, np.float32)
    drags = (drag(OPEN, COARSE_STONE) * all_over for drag in (laminar_drag, turbulent_drag))
    grid = replace(grid, rubble=Rubble(all_over, *drags))
    slope, velocity = loss(SPEED, COARSE_STONE), still(grid)
    inner = (*(slice(None),) * axis, slice(1, -1))
    velocity[axis][inner] = SPEED
    pressure = -slope * np.meshgrid(*grid.centres(), indexing="ij")[axis].astype(np.float32)
    Seepage(grid, VISCOSITY).act(velocity, pressure, dt, dt)
    assert velocity[axis][inner] + slope * dt == pytest.approx(SPEED, rel=1e-5)
