"""The way that a narrow jet takes through water that moves across it.

A jet takes in the water beside it with the motion that that has, and is turned by it. Cells that make the jet too wide
let it be turned too soon; so its way is reckoned from what moves around it instead.
"""

from dataclasses import dataclass
from math import pi

import numpy as np

from flowviz.flow.restoring.kernels import BESIDE, UNCLEAR
from flowviz.flow.spread import sideways

ANGLES = np.linspace(0, pi, 12, endpoint=False)
HALF_RING = np.stack((np.cos(ANGLES), np.sin(ANGLES)), axis=-1)  # each place has another one opposite
ON_SIDE = 1e-9  # how far outside the box a point counts as on its side [cells]
SIDES = np.concatenate((np.eye(3), -np.eye(3)))  # normals of a box, outwards
NOWHERE = 1e3  # so far away a wall is put that does not count: nothing is left of an image there [m]
STEEP = 0.5  # cosine of the angle with a wall beyond which a jet spreads along it to all sides


@dataclass(frozen=True, slots=True)
class Water:
    """What a jet may go through, and how that moves."""

    barred: np.ndarray  # (nx+1, ny+1, nz+1) uint8, of cells and the faces below them: see barriers
    spacing: np.ndarray  # (3,) [m]
    velocity: np.ndarray  # (nx, ny, nz, 3) [m/s]

    def at(self, points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Velocity at points (..., 3) [m/s], that of their cells, and whether these are clear (...)."""
        cells, inside = self._cells(points)
        return self.velocity[tuple(cells)], inside & (self.barred[tuple(cells)] & UNCLEAR == 0)

    def leads(self, start: np.ndarray, end: np.ndarray, looks: int) -> np.ndarray:
        """Whether the straight way from points (..., 3) to others [m] ends in clear water that it does not leave (...).

        An outlet may lie behind the first of it.

        looks    at how many places it is looked: at least as many as the way has cells
        """
        shares = np.linspace(0, 1, looks + 1).reshape(-1, *(1,) * end.ndim)
        cells, inside = self._cells(start + shares * (end - start))
        clear = inside & (self.barred[tuple(cells)] & UNCLEAR == 0)
        begun = np.logical_or.accumulate(clear)[:-1]
        return clear[-1] & ~(begun & (~clear[1:] | self._shut(cells[:, :-1], cells[:, 1:]))).any(axis=0)

    def smooth_walls(self, points: np.ndarray, ways: np.ndarray, row: np.ndarray) -> np.ndarray:
        """The smooth wall beside each of a jet's points (n, 3): its normal, towards it, and how far it is (n, 4) [m].

        That is the nearest side of the box, glass or the surface, that has clear water before it and that the jet does
        not meet steeply. Rock and sand are rough and take some of a jet's momentum: with an image behind them too, what
        is too strong over the racks of a raceway agrees less with a fine run (an overlap of 0.36 instead of 0.40).

        ways    (n, 3) where it goes there, of unit length
        row     (3,) direction of the length of its slot, at whose ends no wall counts; 0 where it leaves from a bore
        """
        shape, cells = np.array(self.velocity.shape[:3]), self._cells(points)[0]
        away = np.maximum(np.hstack((shape * self.spacing - points, points)), 0.0)
        for side in range(6):
            beside, axis = cells.copy(), side % 3
            beside[axis] = shape[axis] - 1 if side < 3 else 0
            away[self.barred[tuple(beside)] & UNCLEAR > 0, side] = NOWHERE
        away[(np.abs(ways @ SIDES.T) > STEEP) | (np.abs(row @ SIDES.T) > STEEP)] = NOWHERE
        nearest = away.argmin(axis=-1)
        return np.column_stack((SIDES[nearest], away[np.arange(len(points)), nearest]))

    def _cells(self, points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """The cells (3, ...) that points (..., 3) [m] lie in or are nearest to, and whether they lie in them (...)."""
        places, shape = points / self.spacing, np.array(self.velocity.shape[:3])
        cells = np.clip(np.floor(places).astype(int), 0, shape - 1)
        return np.moveaxis(cells, -1, 0), ((places > -ON_SIDE) & (places < shape + ON_SIDE)).all(axis=-1)

    def _shut(self, one: np.ndarray, other: np.ndarray) -> np.ndarray:
        """Whether a shut face lies between cells (3, ...), in the row of the one and in that of the other (...)."""
        shut = np.zeros(one.shape[1:], bool)
        for axis in range(3):
            crossed = one[axis] != other[axis]
            before, behind = one.copy(), other.copy()
            before[axis] = behind[axis] = np.maximum(one[axis], other[axis])
            shut |= crossed & (self.barred[tuple(before)] & self.barred[tuple(behind)] & (1 << axis) > 0)
        return shut


def barriers(clear: np.ndarray, faces: tuple[np.ndarray, np.ndarray, np.ndarray]) -> np.ndarray:
    """What stands in the way of water (nx+1, ny+1, nz+1) uint8: 1, 2, 4 if a cell's lower face across x, y, z is shut.

    And BESIDE if any of its faces is, and UNCLEAR if the cell is not clear; all as a sum.

    clear    (nx, ny, nz) bool: water without rubble
    faces    open shares of the faces across x, y and z
    """
    barred = np.full(np.add(clear.shape, 1), UNCLEAR, np.uint8)
    cells = barred[:-1, :-1, :-1]
    cells *= ~clear
    for axis, share in enumerate(faces):
        shut = share <= 0
        barred[tuple(slice(n) for n in shut.shape)] += shut.astype(np.uint8) << axis
        along, beside = np.moveaxis(cells, axis, 0), np.moveaxis(shut, axis, 0)
        along |= np.where(beside[1:] | beside[:-1], np.uint8(BESIDE), np.uint8(0))
    return barred


def courses(
    water: Water, point: np.ndarray, way: np.ndarray, turns: np.ndarray, step: float, radii: np.ndarray
) -> list[tuple[np.ndarray, np.ndarray]]:
    """For each of m jets points of its axis (n, 3), a step apart [m], and where it goes there (n, 3).

    Where it would leave clear water it goes on along the border of that, and ends where it meets that steeply.

    point    (m, 3) where they leave [m]
    way      (m, 3) where they go there, of unit length
    turns    (m,) by how much a speed of 1 m/s across turns it in each metre [s/m²]
    step     from one point to the next [m]
    radii    of the ring about each step on which what moves across is read [m]; as many as there are steps at most
    """
    points, ways, clear = [point], [way], [np.full(len(point), True)]
    looks = int(np.ceil(step / water.spacing.min())) + 1
    for radius in radii:
        across = _across(water, point + step / 2 * way, way, radius)
        way, slides, goes_on = _slid(water, point, step, looks, way + step * turns[:, None] * across)
        point = point + step * np.where(slides[:, None], way, (ways[-1] + way) / 2)
        clear.append(clear[-1] & goes_on & water.leads(points[-1], point, looks))
        points.append(point)
        ways.append(way)
    counts = np.sum(clear, axis=0)
    along = zip(np.stack(points, axis=1), np.stack(ways, axis=1), counts, strict=True)
    return [(points[:count], ways[:count]) for points, ways, count in along]


def _slid(
    water: Water, points: np.ndarray, step: float, looks: int, ways: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Ways (m, 3) that do not lead out of clear water, of unit length; which had to turn, and have enough left (m,)."""
    ends = points[:, None] + step * ways[:, None] * np.eye(3)
    out = water.at(points)[1][:, None] & ~water.leads(points[:, None], ends, looks)
    kept = np.where(out, 0.0, ways)
    enough = np.linalg.norm(kept, axis=-1) > STEEP
    kept = np.where(enough[:, None], kept, ways)
    return kept / np.linalg.norm(kept, axis=-1, keepdims=True), out.any(axis=-1), enough


def _across(water: Water, points: np.ndarray, ways: np.ndarray, radius: float) -> np.ndarray:
    """Mean velocity square to ways on rings about them (m, 3) [m/s].

    What a jet draws in comes from all sides, so places count only with those opposite to them: beside a wall, those
    along it.
    """
    ring = radius * np.einsum("ra,amb->mrb", HALF_RING, sideways(ways))
    (here, clear), (there, clear_too) = (water.at(points[:, None] + side * ring) for side in (1, -1))
    pairs = (clear & clear_too)[..., None]
    mean = ((here + there) * pairs).sum(axis=1) / np.maximum(2 * pairs.sum(axis=1), 1)
    return mean - (mean * ways).sum(axis=-1, keepdims=True) * ways
