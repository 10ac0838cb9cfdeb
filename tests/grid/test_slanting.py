"""Which cells a wall cuts aslant."""

from math import cos, radians, sin

import numpy as np
import pytest

from flowviz.grid.coarsen import coarsen
from flowviz.grid.edges import beside_edges
from flowviz.grid.voxelise import voxelise
from flowviz.scene.model import Rock, Sand
from flowviz.shapes.plans import Disc, Polygon
from flowviz.shapes.solids import Box, Ellipsoid, turned

CELL = 0.02  # [m]
EDGES = np.arange(0.0, 1.0, 0.125)  # where in a cell those of a block lie [-]


@pytest.mark.parametrize("offset", EDGES)
def test_none_by_straight_walls(offset, tank):
    """A block on level sand, wherever in their cells its edges, which these bevel, and the sand's top lie."""
    assert not voxelise(askew(offset, tank), CELL).aslant.any()


def askew(offset, tank):
    """A tank with a block on sand, so far off the cells [cells]."""
    block = Box(tuple(np.array((0.6, 0.3, 0.1)) + offset * CELL), (0.2, 0.24, 0.2))
    return tank(rocks=(Rock("block", block),), sand=Sand(0.04 + offset * CELL, 0.001))


@pytest.mark.parametrize("larger", [2, 2.5, 3])
def test_hardly_any_in_larger_cells(larger, tank):
    """Of the cells that the block cuts, a twentieth: there, finer ones that are shut leave its sides uneven."""
    grids = [coarsen(voxelise(askew(offset, tank), CELL), larger) for offset in EDGES]
    cut, partly = (sum(np.count_nonzero(which(grid)) for grid in grids) for which in (aslant, partly_open))
    assert cut < 0.05 * partly


def aslant(grid) -> np.ndarray:
    return grid.aslant


def partly_open(grid) -> np.ndarray:
    """Which water cells are (nx, ny, nz) bool."""
    return grid.water & (grid.open_volume < 1)


@pytest.mark.parametrize(("cells", "larger"), [(20, 1), (14, 2), (7, 1)])
def test_nearly_all_that_a_ball_cuts(cells, larger, tank):
    """Not those where its side runs along the cells: less than a tenth of those that it fills by a hundredth."""
    ball = Ellipsoid((0.6, 0.3, 0.25), (cells * CELL,) * 3)
    grid = coarsen(voxelise(tank(rocks=(Rock("ball", ball),)), CELL), larger)
    partly = partly_open(grid) & (grid.open_volume <= 0.99)
    assert np.count_nonzero(grid.aslant & partly) > 0.9 * np.count_nonzero(partly)


def test_by_round_glass_and_by_glass_that_stands_askew(tank):
    """All along it, as much in every layer, and nowhere else."""
    corner = Polygon(((0, 0), (1.2, 0), (1.2, 0.3), (0.8, 0.6), (0, 0.6)), ("front", "right", "slant", "back", "left"))
    for plan, length in ((Disc(0.8), 4 * 0.8), (corner, 0.4 + 0.3)):
        cut = voxelise(tank(plan=plan), CELL).aslant
        layers = cut.sum(axis=(0, 1))
        assert (layers == layers[0]).all()
        assert layers[0] == pytest.approx(length / CELL, rel=0.15)


@pytest.mark.parametrize("angle", [3, 10, 30, 45])
def test_by_the_sides_of_a_turned_block_and_not_at_its_edges(angle, tank):
    """None within a cell of the edges that stand up and those round its top, none over that."""
    middle, size = (0.6, 0.3, 0.1), (0.3, 0.24, 0.2)
    grid = voxelise(tank(rocks=(turned_block(middle, size, angle),)), CELL)
    sides, off = from_its_sides(grid, middle, size, angle)
    assert not grid.aslant[on_edges(grid, sides, off, size)].any()
    assert not grid.aslant[:, :, grid.centres()[2] > 0.2].any()
    for one, other in (off[:2], off[1::-1]):
        assert np.count_nonzero(grid.aslant & (one < CELL) & (other > 3 * CELL)) > 10


def turned_block(middle, size, angle) -> Rock:
    """A block on the floor, turned about the vertical [°]."""
    return Rock("block", turned(Box(middle, size), radians(angle), middle))


def from_its_sides(grid, middle, size, angle):
    """How far cells are from the middle of a block along its own sides, and from these [m]."""
    x, y, z = (along - at for along, at in zip(np.ix_(*grid.centres()), middle, strict=True))
    c, s = cos(radians(angle)), sin(radians(angle))
    sides = tuple(np.broadcast_to(each, grid.shape) for each in (abs(x * c + y * s), abs(y * c - x * s), z))
    return sides, [abs(along - side / 2) for along, side in zip(sides, size, strict=True)]


def on_edges(grid, sides, off, size) -> np.ndarray:
    """Which cells lie within a cell of those edges of a block that stand up, or are round its top, bool."""
    edge = max(grid.spacing)
    within = np.logical_and.reduce([along < side / 2 + edge for along, side in zip(sides, size, strict=True)])
    return within & (np.sum([each < edge for each in off], axis=0) >= 2)


@pytest.mark.parametrize("larger", [1, 2, 3.7])
@pytest.mark.parametrize("angle", [10, 20, 30, 45])
def test_not_at_the_edges_of_what_stands_in_sand(angle, larger, tank):
    """A block two and a half of the larger cells above it."""
    size = (0.3, 0.24, 0.04 + 2.5 * larger * CELL)
    middle = (0.6, 0.3, size[2] / 2)
    grid = voxelise(tank(rocks=(turned_block(middle, size, angle),), sand=Sand(0.04, 0.001)), CELL)
    grid = coarsen(grid, larger)
    assert not grid.aslant[on_edges(grid, *from_its_sides(grid, middle, size, angle), size)].any()


@pytest.mark.parametrize("gap", [1, 2, 3])
def test_not_at_its_edges_where_another_stands_beside_it(gap, tank):
    """So many cells away, face to face."""
    middle, size, angle = (0.45, 0.25, 0.1), (0.3, 0.24, 0.2), 30
    way = (size[0] + gap * CELL) * np.array((cos(radians(angle)), sin(radians(angle)), 0))
    rocks = turned_block(middle, size, angle), turned_block(tuple(np.add(middle, way)), size, angle)
    grid = voxelise(tank(rocks=rocks), CELL)
    assert not grid.aslant[on_edges(grid, *from_its_sides(grid, middle, size, angle), size)].any()


@pytest.mark.parametrize("angle", [30, 45])
def test_not_at_its_edges_where_round_glass_is_beside_it(angle, tank):
    """A cell away."""
    middle, size = (0.59, 0.4, 0.1), (0.3, 0.24, 0.2)
    grid = voxelise(tank(plan=Disc(0.8), rocks=(turned_block(middle, size, angle),), seen_from=("wall",)), CELL)
    assert not grid.aslant[on_edges(grid, *from_its_sides(grid, middle, size, angle), size)].any()


@pytest.mark.parametrize("larger", [1, 2])
def test_no_edge_on_a_low_dome_in_sand(larger, tank):
    """Nor along its rim, where sand ends it."""
    dome = Rock("dome", Ellipsoid((0.6, 0.3, 0.02), (0.5, 0.4, 0.3)))
    grid = coarsen(voxelise(tank(rocks=(dome,), sand=Sand(0.04, 0.001)), CELL), larger)
    assert not beside_edges(grid.open_volume, grid.shares).any()


@pytest.mark.parametrize("larger", [1, 2])
@pytest.mark.parametrize("sunk", [0.0, 0.006, 0.01])
def test_no_edge_where_a_ball_touches_flat_glass(sunk, larger, tank):
    """Or runs so far into it [m]."""
    ball = Rock("ball", Ellipsoid((0.16 - sunk, 0.32, 0.24), (0.32,) * 3))
    grid = coarsen(voxelise(tank(rocks=(ball,)), CELL), larger)
    assert not beside_edges(grid.open_volume, grid.shares).any()


def test_no_edge_on_a_ball_that_reaches_through_the_surface(tank):
    """Three tenths of its height stand out."""
    grid = voxelise(tank(rocks=(Rock("ball", Ellipsoid((0.6, 0.32, 0.4), (0.4,) * 3)),)), CELL)
    assert not beside_edges(grid.open_volume, grid.shares).any()


@pytest.mark.parametrize("angle", [0, 3, 30])
def test_none_by_a_plate_of_a_cell(angle, tank):
    """The water on its sides runs for itself."""
    plate = turned(Box((0.6, 0.3, 0.1), (0.5, CELL, 0.2)), radians(angle), (0.6, 0.3, 0.1))
    assert not voxelise(tank(rocks=(Rock("plate", plate),)), CELL).aslant.any()
