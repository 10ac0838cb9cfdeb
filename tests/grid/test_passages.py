"""Openings that larger cells would cut off: the way of their water is opened, and walls elsewhere stay shut."""

import numpy as np
import pytest

from flowviz.grid.coarsen import coarsen
from flowviz.grid.grid import Grid
from flowviz.grid.joining import bodies
from flowviz.grid.voxelise import voxelise
from flowviz.scene.apertures import Bore
from flowviz.scene.model import Intake, Outlet, Rock
from flowviz.shapes.solids import Box

CELL = 0.02  # [m]
LENGTH, WIDTH, DEPTH = 1.2, 0.64, 0.48  # of the tank [m]
JET = Outlet("jet", (0.0, 0.23, 0.31), (1.0, 0.0, 0.0), (1.0, 0.0, 0.0), Bore(CELL), "left", None, None)
DRAIN = Intake("drain", (LENGTH, 0.32, 0.1), (-1.0, 0.0, 0.0), Bore(0.06), "right", None, None, None)
HOLES = (0.1, 0.3, 0.5)  # where each of the comb's begins, one cell wide and high [m]
RIM = 0.4  # height of their lower edge [m]
TOP = 0.3  # of the wall that nothing passes below its top [m]


def block(low: tuple[float, float, float], high: tuple[float, float, float]) -> Rock:
    """A box from corner to corner [m]."""
    return Rock(f"block {low} {high}", Box(tuple(np.add(low, high) / 2), tuple(np.subtract(high, low))))


def comb(at: float) -> tuple[Rock, ...]:
    """A plate of one cell with a row of holes [m]."""
    ends = (0.0, *(end for hole in HOLES for end in (hole, hole + CELL)), WIDTH)
    teeth = [block((at, ends[n], RIM), (at + CELL, ends[n + 1], RIM + CELL)) for n in range(0, len(ends), 2)]
    plates = [block((at, 0, low), (at + CELL, WIDTH, high)) for low, high in ((0, RIM), (RIM + CELL, DEPTH))]
    return (*plates, *teeth)


def baffles(first: float, pitch: float, count: int) -> tuple[Rock, ...]:
    """Plates of one cell from floor to surface, past which only a gap of one cell leads, at one side and the other."""
    sides = ((0, WIDTH - CELL), (CELL, WIDTH))
    places = [(first + n * pitch, sides[n % 2]) for n in range(count)]
    return tuple(block((x, low, 0), (x + CELL, high, DEPTH)) for x, (low, high) in places)


def niche() -> tuple[Rock, ...]:
    """Rock before the jet, but for a bore of one cell."""
    rims = ((0.0, 0.22, 0.0, DEPTH), (0.24, WIDTH, 0.0, DEPTH), (0.22, 0.24, 0.0, 0.3), (0.22, 0.24, 0.32, DEPTH))
    return tuple(block((0, front, low), (0.3, back, high)) for front, back, low, high in rims)


LABYRINTHS = {
    "comb": (comb(1.0), (5, 6, 8)),
    "baffles": (baffles(0.7, 0.06, 6), (4, 4.3, 6)),
    "narrow baffles": (baffles(0.7, 0.04, 8), (2.5, 3, 4, 6)),
    "niche": (niche(), (5, 5.5, 6, 8)),
}
CASES = [(name, factor) for name, (_, factors) in LABYRINTHS.items() for factor in factors]


@pytest.fixture
def larger(tank):
    """A labyrinth in larger cells, with what else stands in the tank."""

    def build(name: str, factor: float, *others: Rock) -> Grid:
        rocks = (*LABYRINTHS[name][0], *others)
        return coarsen(voxelise(tank(rocks=rocks, outlets=(JET,), intakes=(DRAIN,)), CELL), factor)

    return build


def below(grid: Grid, height: float) -> np.ndarray:
    """Numbers of the bodies of water, were there none above a height [m]."""
    low = int(height / grid.spacing[2])
    faces = grid.open_x[:, :, :low], grid.open_y[:, :, :low], grid.open_z[:, :, : low + 1]
    return bodies(grid.water[:, :, :low].copy(), tuple(face.copy() for face in faces))


@pytest.mark.parametrize(("name", "factor"), CASES)
def test_an_opening_in_a_labyrinth_stays_joined(name, factor, larger):
    """All of its flow has a cell to go to; exact but for rounding."""
    grid = larger(name, factor)
    label = bodies(grid.water, grid.shares)
    assert len({int(label[tuple(cell)]) for patch in grid.patches for cell in patch.cells}) == 1
    assert [patch.share.sum() for patch in grid.patches] == pytest.approx([1, 1], abs=1e-12)


@pytest.mark.parametrize(("name", "factor"), CASES)
def test_a_thin_wall_elsewhere_stays_shut(name, factor, larger):
    """No water gets from one end to the other below its top, as where nothing is cut off."""
    wall = block((0.5, 0, 0), (0.506, WIDTH, TOP))
    label = below(larger(name, factor, wall), TOP)
    before, behind = (round(x / (LENGTH / len(label))) for x in (0.4, 0.65))
    assert label[:before].any()
    assert label[behind:].any()
    assert set(np.unique(label[:before])).isdisjoint(set(np.unique(label[behind:])) - {0})


@pytest.mark.parametrize("factor", [5, 6, 8])
def test_a_comb_lets_water_through_at_its_holes_alone(factor, larger):
    """Below them nothing passes; and, on cells that end at the comb, their area is kept: a sum in single precision."""
    grid = larger("comb", factor)
    label = below(grid, RIM)
    assert set(np.unique(label[0])).isdisjoint(set(np.unique(label[-1])) - {0})
    if factor == 5:
        area = grid.open_x[10].sum() * np.prod(grid.spacing[1:])
        assert area == pytest.approx(len(HOLES) * CELL**2, rel=1e-6)


def test_all_of_a_gap_is_opened(larger):
    """One that is passed from floor to surface keeps all of its area; a sum in single precision.

    Between the larger cells of 120 mm, where the first, the third and the fifth baffle end.
    """
    grid = larger("baffles", 6)
    areas = grid.open_x[6:9].sum(axis=(1, 2)) * np.prod(grid.spacing[1:])
    assert areas == pytest.approx([CELL * DEPTH] * 3, rel=1e-6)
