"""The way that a narrow jet takes through water that moves across it.

A jet takes in the water beside it with the motion that that has, and is turned by it. Cells that make the jet too wide
let it be turned too soon; so its way is reckoned from what moves around it instead.
"""

from dataclasses import dataclass
from math import pi

import numpy as np

from flowviz.flow.spread import sideways

ANGLES = np.linspace(0, pi, 12, endpoint=False)
HALF_RING = np.stack((np.cos(ANGLES), np.sin(ANGLES)), axis=-1)  # each place has another one opposite
STEEP = 0.5  # cosine of the angle with a wall beyond which a jet spreads along it to all sides


@dataclass(frozen=True, slots=True)
class Water:
    """What a jet may go through, and how that moves."""

    clear: np.ndarray  # (nx, ny, nz) bool: cells of water without rubble
    spacing: np.ndarray  # (3,) [m]
    velocity: np.ndarray  # (nx, ny, nz, 3) [m/s]

    def at(self, points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Velocity at points (..., 3) [m/s], that of their cells, and whether these are clear (...)."""
        cells, shape = np.floor(points / self.spacing).astype(int), np.array(self.clear.shape)
        inside = ((cells >= 0) & (cells < shape)).all(axis=-1)
        places = tuple(np.moveaxis(np.clip(cells, 0, shape - 1), -1, 0))
        return self.velocity[places], inside & self.clear[places]


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
    for radius in radii:
        across = _across(water, point + step / 2 * way, way, radius)
        way, goes_on = _slid(water, point, step, way + step * turns[:, None] * across)
        point = point + step / 2 * (ways[-1] + way)
        points.append(point)
        ways.append(way)
        clear.append(clear[-1] & goes_on & water.at(point)[1])
    counts = np.sum(clear, axis=0)
    along = zip(np.stack(points, axis=1), np.stack(ways, axis=1), counts, strict=True)
    return [(points[:count], ways[:count]) for points, ways, count in along]


def _slid(water: Water, points: np.ndarray, step: float, ways: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Ways (m, 3) that do not lead out of clear water, of unit length, and whether enough is left of each (m,)."""
    inside, kept = water.at(points)[1], ways.copy()
    for axis, along in enumerate(np.eye(3)):
        kept[inside & ~water.at(points + step * ways * along)[1], axis] = 0
    enough = np.linalg.norm(kept, axis=-1) > STEEP
    kept = np.where(enough[:, None], kept, ways)
    return kept / np.linalg.norm(kept, axis=-1, keepdims=True), enough


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
