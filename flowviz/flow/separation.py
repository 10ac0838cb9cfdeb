"""How water leaves a wall at its edge.

Round the edge of a wall, a velocity is carried from a volume whose face is shut, and in which none is known, into one
whose face is open. Advection takes the mean of the two, as everywhere, and nought for the unknown one. But water runs
along a wall up to its very edge: across the wall it brings nothing with it, and therefore goes on past the edge and
leaves the wall. Taken for half of what lies beyond, the fastest water behind a sharp gap of ten cells has 1.4 times the
gap's mean speed, where 1.6 is right.

Where a wall leans, water brings as much as running along it needs; how it leans is read from the open shares of the two
cells beside the edge. Walls that slant through the cells off their own edges shut faces that hold what runs along them
(flow/slanting.py): there nothing is amiss.
"""

from dataclasses import dataclass

import numpy as np

from flowviz.flow.slanting import Shut, slanting
from flowviz.flow.stepping.kernels import separate
from flowviz.flow.velocity import Velocity, part_of
from flowviz.grid.grid import Faces, Grid

STRAIGHT = 0.95  # of the box that a cell with straight walls is open in, at least


@dataclass(frozen=True, slots=True)
class Edges:
    """The edges that a velocity along one axis is carried past along another, as `separate` wants them."""

    axis: int
    across: int
    table: tuple[np.ndarray, ...]

    def act(self, first: int, last: int, velocity: Velocity, dt: float, moved: Velocity) -> None:
        """Add to what has moved what the edges do within dt in the planes from first to before last [m/s]."""
        along, across, third = (velocity[a].reshape(-1) for a in _axes(self.axis, self.across))
        separate(first, last, *self.table, along, across, third, np.float32(dt), moved[self.axis].reshape(-1))


@dataclass(frozen=True, slots=True)
class Ends:
    """Where walls end beside open faces of one axis; places (3, n) among faces and cells."""

    face: np.ndarray  # the open one along the axis
    past: np.ndarray  # the open one across, through which water comes past the edge
    behind: np.ndarray  # the cell that it comes from
    over: np.ndarray  # the cell over the end of the wall


def edges(grid: Grid) -> list[Edges]:
    """All edges of a grid, by the two axes."""
    shares = grid.shares
    walls = tuple((share == 0) & ~slant for share, slant in zip(shares, slanting(grid), strict=True))
    pairs = [(axis, across) for axis in range(3) for across in range(3) if across != axis]
    return [Edges(*pair, _table(*pair, grid, walls)) for pair in pairs]


def _axes(axis: int, across: int) -> tuple[int, int, int]:
    """These two and the third."""
    return axis, across, 3 - axis - across


def _table(axis: int, across: int, grid: Grid, walls: Shut) -> tuple[np.ndarray, ...]:
    """The edges by the planes of the faces beside them."""
    shares = grid.shares
    sides = [(upper, after) for upper in (False, True) for after in (False, True)]
    each = [_side(axis, across, *side, grid, walls) for side in sides]
    face, past, behind, law = (np.concatenate(parts, axis=-1) for parts in zip(*each, strict=True))
    *_, third = _axes(axis, across)
    _, ny, nz = shares[axis].shape
    order = face.argsort(kind="stable")
    starts = np.searchsorted(face[order], np.arange(grid.shape[0] + 1) * (ny * nz))
    step = np.uint64(np.prod(shares[third].shape[third + 1 :]))
    places = (values[order].astype(np.uint32) for values in (face, past, behind))
    return starts, *places, step, np.ascontiguousarray(law[:, order], np.float32)


def _side(axis: int, across: int, upper: bool, after: bool, grid: Grid, walls: Shut) -> tuple[np.ndarray, ...]:
    """Flat places (n,) of open faces, of those that water comes through, of what it comes from; laws (3, n)."""
    shares = grid.shares
    ends = _ends(axis, across, upper, after, shares, walls[axis])
    *_, third = _axes(axis, across)
    toward, over = (-1.0 if after else 1.0), (-1.0 if upper else 1.0)
    slopes = _slopes(toward, _axes(axis, across), shares, grid, ends)
    rate = over * shares[across][*ends.past] / (4 * grid.spacing[across])
    where = (ends.face, axis), (ends.past, across), (ends.behind, third)
    flat = (np.ravel_multi_index(tuple(places), shares[a].shape) for places, a in where)
    return *flat, np.stack((rate, *slopes))


def _ends(axis: int, across: int, upper: bool, after: bool, shares: Faces, wall: np.ndarray) -> Ends:
    """Walls that end above or below open faces, where water can come past them behind or before those."""
    inside, past = part_of(axis, slice(1, -1)), shares[across][part_of(across, slice(1, -1))] > 0
    low, high = slice(None, -1), slice(1, None)
    ends, opened = (part_of(across, side) for side in ((high, low) if upper else (low, high)))
    edge = wall[inside][ends] & (shares[axis][inside] > 0)[opened] & past[part_of(axis, high if after else low)]
    lowest = np.array(np.nonzero(edge))  # of the four cells round an edge

    def place(along: int, beside: int) -> np.ndarray:
        offsets = np.zeros((3, 1), int)
        offsets[axis], offsets[across] = along, beside
        return lowest + offsets

    return Ends(place(1, not upper), place(after, 1), place(after, upper), place(not after, not upper))


def _slopes(toward: float, axes: tuple[int, int, int], shares: Faces, grid: Grid, ends: Ends) -> np.ndarray:
    """What water along the walls brings, over its speed along the second axis, and over the sum of two along the third.

    With n, the wall's area in a cell, U n_axis + V n_across + W n_third = 0; by least squares in the two cells.
    """
    axis, across, third = axes
    walls = np.array([_walls(axes, shares, grid.open_volume, cell) for cell in (ends.behind, ends.over)])
    facing = np.maximum(-toward * walls[:, 0], 0.0)
    squares = (facing**2).sum(axis=0)
    slopes = toward * np.einsum("cn,can->an", facing, walls[:, 1:]) / np.where(squares > 0, squares, np.inf)
    opened = sum(shares[third][*places] > 0 for places in _ends_of(third, ends.behind))
    areas = np.array([[grid.spacing[axis] / grid.spacing[other]] for other in (across, third)])
    return slopes * areas / np.array([np.ones_like(opened), np.maximum(opened, 1)])


def _ends_of(axis: int, cell: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Places of the two faces of cells across an axis (3, n)."""
    return cell, cell + (np.arange(3) == axis)[:, None]


def _walls(axes: tuple[int, int, int], shares: Faces, volume: np.ndarray, cell: np.ndarray) -> np.ndarray:
    """Share of an end of cells that is wall, square to each axis (3, n).

    Of straight walls only the one that ends counts, no floor that it stands on: what they leave open is a box, whose
    volume is the root of the product of its three sides.
    """
    opened = np.array([[shares[a][*places] for places in _ends_of(a, cell)] for a in axes])
    less = opened[:, 1] - opened[:, 0]
    less[1:] *= volume[*cell] < STRAIGHT * np.sqrt(opened.max(axis=1).prod(axis=0))
    return less
