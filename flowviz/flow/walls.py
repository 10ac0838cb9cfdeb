"""What the sides of the box, rock and sand take from the water that runs along them, and how it mixes beside them.

Eddies are as large as they are far from a wall, and cells cannot carry any as small as themselves: between the first
two layers of cells the eddy viscosity is that of the layer of constant stress. Without it a jet that runs along glass
stays a cell or two thick, and too fast. Water does not run along a block but leaves it at its edges: mixed beside it,
the cavity behind a cube of eight cells in a calm stream is 2.0 heights long instead of 1.6. It runs along rock that is
round or slants, as along glass.
"""

from dataclasses import dataclass
from math import hypot, sqrt
from typing import Literal

import numpy as np
from scipy.ndimage import maximum_filter

from flowviz.flow.stepping.kernels import rub
from flowviz.flow.velocity import Velocity, part_of
from flowviz.formulas.walls import eddy_viscosity, rough_wall, smooth_wall
from flowviz.grid.grid import Grid, Kind, Vector

BOX, SLOPE = len(Kind), len(Kind) + 1  # beyond the box of cells, and rock that slants, beside the values of Kind
ROUGHNESS = {Kind.ROCK: 0.010, Kind.SAND: 0.003}  # equivalent sand grain [m]: common practice, no source


@dataclass(frozen=True, slots=True)
class Side:
    """One side of the box of cells.

    glass    smooth, with the stress of a turbulent boundary layer
    slip     no stress: the water surface
    still    no slip, its laminar layer resolved by the cells
    """

    law: Literal["glass", "slip", "still"]
    moving: Vector = (0.0, 0.0, 0.0)  # along itself [m/s]


GLASS = Side("glass")
SLIP = Side("slip")
STILL = Side("still")


@dataclass(frozen=True, slots=True)
class Walls:
    """The sides of the box of cells: low and high along x, y and z."""

    x: tuple[Side, Side]
    y: tuple[Side, Side]
    z: tuple[Side, Side]

    def fastest(self) -> float:
        """Speed of the fastest side [m/s]."""
        return max(hypot(*side.moving) for side in (*self.x, *self.y, *self.z))


TANK = Walls((GLASS, GLASS), (GLASS, GLASS), (GLASS, SLIP))


@dataclass(frozen=True, slots=True, eq=False)
class Bounds:
    """The water of a grid and what bounds it."""

    grid: Grid
    viscosity: float  # [m²/s]
    walls: Walls


class Friction:
    """What walls do to the velocity along them."""

    def __init__(self, grid: Grid, viscosity: float, walls: Walls) -> None:
        bounds = Bounds(grid, viscosity, walls)
        self._tables = tuple(_table(axis, bounds) for axis in range(3))
        self._layers = [layer for axis in range(3) for layer in _layers(axis, grid, viscosity, walls)]

    def act(self, first: int, last: int, velocity: Velocity, dt: float, moved: Velocity) -> None:
        """Add to what has moved what the walls do within dt in the planes from first to before last [m/s]."""
        flat, on = (tuple(along.reshape(-1) for along in which) for which in (velocity, moved))
        for axis, table in enumerate(self._tables):
            beside, across = (flat[other] for other in range(3) if other != axis)
            rub(first, last, *table, flat[axis], beside, across, np.float32(dt), on[axis])

    def correct(self, velocity: Velocity, dt: float, moved: Velocity) -> None:
        """Add what a parabola through the second layer along resolved walls changes in the first [m/s]."""
        for layer in self._layers:
            layer.act(velocity, dt, moved)


@dataclass(frozen=True, slots=True)
class Layer:
    """The first faces of one axis along a side of no slip, and the ones beyond them.

    With U1 at h/2 and U2 at 3h/2 from a side of speed V the parabola has the slope (9 U1 - U2 - 8 V)/3h at the wall,
    which is (3 U1 - U2 - 2 V)/3h more than the straight line to U1.
    """

    axis: int
    first: tuple[slice | int, ...]
    second: tuple[slice | int, ...]
    opened: np.ndarray
    rate: float  # [1/s]
    moving: float  # [m/s]

    def act(self, velocity: Velocity, dt: float, moved: Velocity) -> None:
        """Add to what has moved what the curvature does within dt [m/s]."""
        first, second = velocity[self.axis][self.first], velocity[self.axis][self.second]
        more = self.opened * (first - second / 3 - 2 / 3 * self.moving)
        moved[self.axis][self.first] -= np.float32(self.rate * dt) * more.astype(np.float32)


def _layers(axis: int, grid: Grid, viscosity: float, walls: Walls) -> list[Layer]:
    """Along the sides of no slip, for the velocity along one axis."""
    opened, layers = _opened(axis, grid), []
    for across in {0, 1, 2} - {axis}:
        for side, (first, second) in zip((walls.x, walls.y, walls.z)[across], ((0, 1), (-1, -2)), strict=True):
            if side.law == "still" and grid.shape[across] > 1:
                places = (*(slice(None),) * across, first), (*(slice(None),) * across, second)
                rate = viscosity / grid.spacing[across] ** 2
                both = opened[places[0]] & opened[places[1]]
                layers.append(Layer(axis, *places, both, rate, side.moving[axis]))
    return layers


def _table(axis: int, bounds: Bounds) -> tuple[np.ndarray, ...]:
    """The faces of one axis that lie along walls, those beyond them, and what is done to them, as `rub` wants it."""
    grid, shape = bounds.grid, bounds.grid.shares[axis].shape
    ends = [(across, upper) for across in range(3) if across != axis for upper in (False, True)]
    each = [_beside(axis, *end, bounds) for end in ends]
    face, beyond, law = (np.concatenate(parts, axis=-1) for parts in zip(*each, strict=True))
    order = face.argsort(kind="stable")
    face, beyond, law = face[order], beyond[order], np.ascontiguousarray(law[:, order])
    around = [_around(np.unravel_index(face, shape), axis, other, grid.shape) for other in {0, 1, 2} - {axis}]
    (one, other), steps = zip(*around, strict=True)
    mixed = np.flatnonzero((law[4] > 0) & (beyond != face))  # what the one gains by it, the other loses
    given = mixed[beyond[mixed].argsort(kind="stable")]
    planes = np.arange(grid.shape[0] + 1) * (shape[1] * shape[2])
    starts, gives = np.searchsorted(face, planes), np.searchsorted(beyond[given], planes)
    places = face.astype(np.uint32), beyond.astype(np.uint32)
    return starts, *places, one, other, np.array(steps, np.uint64), law, gives, given.astype(np.uint32)


def _beside(axis: int, across: int, upper: bool, bounds: Bounds) -> tuple[np.ndarray, ...]:
    """Places of the faces of one axis (n,) along the walls at one end of cells, of those beyond, and laws (5, n)."""
    opened = _opened(axis, bounds.grid)
    cells, rates = _cell_rates(axis, across, upper, bounds), np.zeros((5, *opened.shape), np.float32)
    low, high = part_of(axis + 1, slice(None, -1)), part_of(axis + 1, slice(1, None))
    rates[part_of(axis + 1, slice(1, -1))] = (cells[low] + cells[high]) / 2
    faces = np.nonzero(rates.any(axis=0) & opened)
    places = (np.ravel_multi_index(which, opened.shape) for which in (faces, _next(faces, across, upper, opened)))
    return *places, rates[:, *faces]


def _opened(axis: int, grid: Grid) -> np.ndarray:
    """Which faces across an axis are open, bool."""
    return grid.shares[axis] > 0


def _next(faces: tuple[np.ndarray, ...], across: int, upper: bool, opened: np.ndarray) -> tuple[np.ndarray, ...]:
    """The next faces away from walls at one end of cells; the same ones where those are shut."""
    beyond = list(faces)
    beyond[across] = np.clip(faces[across] + (-1 if upper else 1), 0, opened.shape[across] - 1)
    return tuple(np.where(opened[*beyond], new, old) for new, old in zip(beyond, faces, strict=True))


def _around(
    faces: tuple[np.ndarray, ...], axis: int, other: int, shape: tuple[int, int, int]
) -> tuple[np.ndarray, tuple[int, int]]:
    """Places (n,), in the flat velocity along another axis, of the first of four faces round each face of an axis.

    Last, how far from there the next one along the other axis is, and the next one along the axis.
    """
    nx, ny, nz = (n + (a == other) for a, n in enumerate(shape))
    first = (along - (a == axis) for a, along in enumerate(faces))
    strides = ny * nz, nz, 1
    return np.ravel_multi_index(tuple(first), (nx, ny, nz)).astype(np.uint32), (strides[other], strides[axis])


def _cell_rates(axis: int, across: int, upper: bool, bounds: Bounds) -> np.ndarray:
    """What the wall at one end of each cell does to the velocity along an axis (5, nx, ny, nz): see `rub`."""
    grid, viscosity, walls = bounds.grid, bounds.viscosity, bounds.walls
    h = grid.spacing[across]
    side = (walls.x, walls.y, walls.z)[across][upper]
    glass = _law(GLASS, axis, viscosity, h)
    laws = {Kind.WATER: glass, Kind.OUTSIDE: glass, Kind.CUT_OFF: glass, BOX: _law(side, axis, viscosity, h)}
    for kind, roughness in (*ROUGHNESS.items(), (SLOPE, ROUGHNESS[Kind.ROCK])):
        mixing = 0.0 if kind == Kind.ROCK else _mixing(h)
        laws[kind] = (2 * viscosity / h, 0.0, rough_wall(roughness, h / 2), 0.0, mixing)
    table = np.array([laws[key] for key in sorted(laws)], np.float32)
    rates = table[_beyond(across, upper, bounds)] * (_wall_area(across, upper, grid) / np.float32(h))[..., None]
    return np.moveaxis(rates, -1, 0)


def _law(side: Side, axis: int, viscosity: float, h: float) -> tuple[float, float, float, float, float]:
    """Laminar, smooth, rough, drive and mixing of a side of the box, per wall area over cell volume."""
    laminar = 2 * viscosity / h
    if side.law == "slip":
        return 0.0, 0.0, 0.0, 0.0, 0.0
    if side.law == "still":
        return laminar, 0.0, 0.0, laminar * side.moving[axis], 0.0
    return laminar, smooth_wall(viscosity, h / 2), 0.0, 0.0, _mixing(h)


def _mixing(h: float) -> float:
    """Eddy viscosity a cell from a wall, for u* of √h: that times the root of the rate that U is taken by, and |U|."""
    return eddy_viscosity(sqrt(h), h) / h


def _beyond(across: int, upper: bool, bounds: Bounds) -> np.ndarray:
    """What lies beyond one end of each cell along an axis: a Kind, BOX or SLOPE; where a solid cuts it, that one."""
    kind = bounds.grid.kind
    near = np.where(maximum_filter(kind == Kind.SAND, 3, mode="constant"), Kind.SAND, Kind.WATER)
    near = np.where(maximum_filter(kind == Kind.ROCK, 3, mode="constant"), Kind.ROCK, near)
    beyond = np.full(kind.shape, BOX)
    this, that = (slice(None, -1), slice(1, None)) if upper else (slice(1, None), slice(None, -1))
    beyond[part_of(across, this)] = kind[part_of(across, that)]
    beyond = np.where(beyond == Kind.WATER, near, beyond)
    return np.where((beyond == Kind.ROCK) & bounds.grid.aslant, SLOPE, beyond)


def _wall_area(across: int, upper: bool, grid: Grid) -> np.ndarray:
    """Share of one end of each cell along an axis that is wall (nx, ny, nz).

    A cut cell's wall is what its wider end has more than its narrower one.
    """
    shares = grid.shares[across]
    low, high = shares[part_of(across, slice(None, -1))], shares[part_of(across, slice(1, None))]
    wider = np.maximum(low, high)
    whole = np.where(wider > 0, wider, 1.0)
    return grid.water * (whole - (high if upper else low))
