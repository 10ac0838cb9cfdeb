"""The flow at any point, for numbers and pictures alike; nothing is taken from across a closed face."""

import numpy as np

from flowviz.flow.field import Field
from flowviz.grid.grid import Grid, Kind


def locate(grid: Grid, points: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The cell of each point (n, 3), where in it the point is, 0 to 1 (n, 3), and whether that is water (n,)."""
    places = np.round(np.asarray(points, np.float64).reshape(-1, 3) / grid.spacing, 9)
    cells = np.clip(np.floor(places), 0, np.array(grid.shape) - 1).astype(np.int64)
    inside = ((places >= 0) & (places <= grid.shape)).all(axis=1)
    return cells, np.clip(places - cells, 0, 1), inside & (grid.kind[tuple(cells.T)] == Kind.WATER)


def velocity_at(grid: Grid, field: Field, points: np.ndarray) -> np.ndarray:
    """Mean velocity at points (n, 3) [m], (n, 3) [m/s]; 0 outside the water.

    Each component is linear between its faces, along and across; a closed face beside those of the point's own cell
    counts as that cell's own, and a closed face of the cell itself as what it holds: 0, but along slanting walls.
    """
    cells, at, wet = locate(grid, points)
    faces = (field.u, grid.open_x), (field.v, grid.open_y), (field.w, grid.open_z)
    along = [_between_faces(axis, speed, opened, cells, at) for axis, (speed, opened) in enumerate(faces)]
    return np.where(wet[:, None], np.stack(along, axis=-1), 0.0)


def speed_at(grid: Grid, field: Field, points: np.ndarray) -> np.ndarray:
    """Time-mean speed at points (n, 3) [m], (n,) [m/s]; 0 outside the water.

    Linear between the middles of water cells; others have no weight.
    """
    cells, at, wet = locate(grid, points)
    water, total, weights = grid.water, np.zeros(len(cells)), np.zeros(len(cells))
    side = np.where(at < 0.5, -1, 1)
    for away in np.ndindex(2, 2, 2):
        place = cells + side * away
        inside = ((place >= 0) & (place < grid.shape)).all(axis=1)
        index = tuple(np.where(inside[:, None], place, cells).T)
        weight = np.abs(np.where(away, at - 0.5, 1 - np.abs(at - 0.5))).prod(axis=1) * (inside & water[index])
        total += weight * field.speed[index]
        weights += weight
    return np.where(wet, total / np.where(wet, weights, 1), 0.0)


def _between_faces(axis: int, speed: np.ndarray, opened: np.ndarray, cells: np.ndarray, at: np.ndarray) -> np.ndarray:
    """One velocity component at points: linear between the cell's two faces across the axis."""
    low = _on_face(axis, speed, opened, cells, at)
    high = _on_face(axis, speed, opened, cells + (np.arange(3) == axis), at)
    return low + (high - low) * at[:, axis]


def _on_face(axis: int, speed: np.ndarray, opened: np.ndarray, faces: np.ndarray, at: np.ndarray) -> np.ndarray:
    """One velocity component on the plane of a face, between that face and those beside it that are open."""
    own_index = tuple(faces.T)
    own, total = speed[own_index].astype(np.float64), np.zeros(len(faces))
    first, second = (other for other in range(3) if other != axis)
    for away in np.ndindex(2, 2):
        beside, weight = faces.copy(), np.ones(len(faces))
        for other, step in zip((first, second), away, strict=True):
            aside = at[:, other] - 0.5
            beside[:, other] += step * np.where(aside < 0, -1, 1)
            weight *= np.abs(aside) if step else 1 - np.abs(aside)
        inside = ((beside >= 0) & (beside < opened.shape)).all(axis=1)
        index = tuple(np.where(inside[:, None], beside, faces).T)
        total += weight * np.where(opened[index] > 0, speed[index], own)
    return np.where(opened[own_index] > 0, total, own)
