"""How the triangles of a mesh are sewn together: open edges, shells, and which side is out."""

import numpy as np
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import breadth_first_order, connected_components


def seams(faces: np.ndarray) -> tuple[int, int]:
    """Number of open edges, which an odd number of triangles share, and of edges that more run along one way than back.

    Every open edge is one of the second too.
    """
    edges, way, _ = _edges(faces)
    _, number = np.unique(edges, axis=0, return_inverse=True)
    used = np.bincount(number.reshape(-1))
    net = np.bincount(number.reshape(-1), weights=way)
    return int((used % 2 == 1).sum()), int((net != 0).sum())


def oriented(faces: np.ndarray) -> np.ndarray:
    """The triangles turned so that neighbours agree about which side is out; each shell by its first triangle."""
    agreement = _agreement(faces)
    _, shell = connected_components(agreement, directed=False)
    flip = np.zeros(len(faces), dtype=bool)
    for start in np.unique(shell, return_index=True)[1]:
        order, before = breadth_first_order(agreement, start, directed=False)
        for face in order[1:]:
            flip[face] = flip[before[face]] ^ (agreement[face, before[face]] < 0)
    return np.where(flip[:, None], faces[:, ::-1], faces)


def outward(corners: np.ndarray, faces: np.ndarray) -> np.ndarray:
    """The triangles with shells that are inside out turned; a shell within another is turned only if that one is.

    So a hollow, which looks the other way than the shell round it, stays a hollow.
    """
    _, shell = connected_components(_agreement(faces), directed=False)
    volumes = np.bincount(shell, weights=_pyramids(corners, faces))
    parts = np.split(faces[np.argsort(shell, kind="stable")], np.cumsum(np.bincount(shell))[:-1])
    low = np.array([corners[part].min(axis=(0, 1)) for part in parts])
    high = np.array([corners[part].max(axis=(0, 1)) for part in parts])
    turn = volumes < 0
    by_size = np.argsort(-np.abs(volumes), kind="stable")
    for place, number in enumerate(by_size):
        point = corners[parts[number][0, 0]]
        larger = by_size[:place][::-1]
        near = larger[((low[larger] <= point) & (point <= high[larger])).all(axis=1)]
        holder = next((other for other in near if abs(_windings(corners, parts[other], point)) > 0.5), number)
        turn[number] = turn[holder]
    return np.where(turn[shell][:, None], faces[:, ::-1], faces)


def enclosed(corners: np.ndarray, faces: np.ndarray) -> float:
    """Volume enclosed by triangles; negative where they are seen anticlockwise from inside."""
    return float(_pyramids(corners, faces).sum())


def _pyramids(corners: np.ndarray, faces: np.ndarray) -> np.ndarray:
    """Volume between each triangle and the middle of the corners, negative where the triangle is seen from inside."""
    a, b, c = (corners[faces[:, side]] - corners.mean(axis=0) for side in range(3))
    return np.einsum("ij,ij->i", a, np.cross(b, c)) / 6


def _edges(faces: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Sides of all triangles: their corners, the lower number first (3 m, 2); 1 or -1 by direction; their triangle."""
    sides = np.concatenate((faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]))
    return np.sort(sides, axis=1), np.where(sides[:, 0] < sides[:, 1], 1, -1), np.tile(np.arange(len(faces)), 3)


def _agreement(faces: np.ndarray) -> csr_array:
    """Above 0 where two triangles have an edge to themselves and agree which side is out, below 0 where not (m, m)."""
    edges, way, face = _edges(faces)
    order = np.lexsort(edges.T)
    edges, way, face = edges[order], way[order], face[order]
    same = np.concatenate(([False], (edges[1:] == edges[:-1]).all(axis=1), [False]))
    pair = np.flatnonzero(same[1:-1] & ~same[:-2] & ~same[2:])
    agree = -way[pair] * way[pair + 1]
    ends = (np.append(face[pair], face[pair + 1]), np.append(face[pair + 1], face[pair]))
    return coo_array((np.tile(agree, 2), ends), shape=(len(faces), len(faces))).tocsr()


def _windings(corners: np.ndarray, faces: np.ndarray, point: np.ndarray) -> float:
    """How often triangles wind round a point [-].

    A. van Oosterom and J. Strackee, The solid angle of a plane triangle, IEEE Trans. Biomed. Eng. 30 (1983) 125-126.
    """
    a, b, c = (corners[faces[:, side]] - point for side in range(3))
    la, lb, lc = (np.linalg.norm(side, axis=1) for side in (a, b, c))
    above = np.einsum("ij,ij->i", a, np.cross(b, c))
    ab, bc, ca = (np.einsum("ij,ij->i", *pair) for pair in ((a, b), (b, c), (c, a)))
    return float(np.arctan2(above, la * lb * lc + ab * lc + bc * la + ca * lb).sum()) / (2 * np.pi)
