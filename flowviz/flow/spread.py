"""Forces at points, shared out among the faces around."""

from collections.abc import Callable

import numpy as np

from flowviz.grid.grid import Grid, Vector

AROUND = np.stack(np.meshgrid((-1, 0, 1), (-1, 0, 1), (-1, 0, 1), indexing="ij"), axis=-1).reshape(27, 3)


def softly(distance: np.ndarray) -> np.ndarray:
    """Share of faces along one axis, by their distance from the point in cells: three of them, equally wide anywhere.

    A. M. Roma, C. S. Peskin, M. J. Berger, J. Comput. Phys. 153 (1999) 509-534, eq. 23.
    """
    near = (1 + np.sqrt(np.maximum(1 - 3 * distance**2, 0))) / 3
    far = (5 - 3 * distance - np.sqrt(np.maximum(1 - 3 * (1 - distance) ** 2, 0))) / 6
    return np.where(distance <= 0.5, near, np.where(distance < 1.5, far, 0.0))


def sharply(distance: np.ndarray) -> np.ndarray:
    """Share of faces along one axis, by their distance from the point in cells: the two that it lies between."""
    return np.maximum(1 - distance, 0)


Share = Callable[[np.ndarray], np.ndarray]


def spread(axis: int, grid: Grid, points: np.ndarray, share: Share = softly) -> tuple[np.ndarray, np.ndarray]:
    """Places (n, 27) of the faces around points in the flat velocity along an axis, and the share of each.

    points    (n, 3), in cells from the corner of the box
    share     of faces along one axis, by their distance from the point in cells

    Shares sum to 1 over the open faces; all are 0 where none is open. Softly shared, a force is equally wide wherever
    its point lies between the faces, and whichever axis they belong to: else it would turn with the place.
    """
    opened = grid.shares[axis]
    place = points - 0.5 * (np.arange(3) != axis)
    faces = np.rint(np.round(place, 9)).astype(int)[:, None] + AROUND
    shares = share(np.abs(faces - place[:, None])).prod(axis=-1)
    last = np.array(opened.shape) - 1
    places = np.ravel_multi_index(tuple(np.moveaxis(np.clip(faces, 0, last), -1, 0)), opened.shape)
    shares *= ((faces >= 0) & (faces <= last)).all(axis=-1) & (opened.reshape(-1)[places] > 0)
    total = shares.sum(axis=-1, keepdims=True)
    return places, np.divide(shares, total, out=np.zeros_like(shares), where=total > 1e-6)


def sideways(directions: Vector | np.ndarray) -> np.ndarray:
    """Two unit vectors (2, ..., 3) square to each of directions (..., 3) and to each other."""
    along = np.asarray(directions)
    first = np.cross(along, np.eye(3)[np.argmin(np.abs(along), axis=-1)])
    first /= np.linalg.norm(first, axis=-1, keepdims=True)
    return np.stack((first, np.cross(along, first)))
