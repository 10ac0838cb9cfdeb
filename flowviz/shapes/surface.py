"""Closed triangle meshes read from files: where they are solid, and what is wrong with those that enclose nothing."""

from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import numpy as np
from scipy.spatial import ConvexHull

from flowviz.errors import InputError
from flowviz.shapes.kernels import (
    exits_on_lattice,
    nearest_on_lattice,
    nearest_to_points,
    shells_round_points,
)
from flowviz.shapes.seams import enclosed, oriented, outward, seams
from flowviz.shapes.solids import Bounds, Triangles, Vector, turn_points

SAME_POINT = 1e-6  # corners nearer than this are one corner [of the mesh's longest edge of its bounding box]
FILLED = 1e-6  # of the hull of the corners that a body which fills it may leave: numbers in files are rounded
BAND = 2.01  # distance that is worked out on a lattice [steps]


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """A body bounded by one or more closed triangle meshes."""

    corners: np.ndarray  # (n, 3) float64 [m]
    faces: np.ndarray  # (m, 3) int64, numbers of corners, anticlockwise seen from outside

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Surface):
            return NotImplemented
        return np.array_equal(self.corners, other.corners) and np.array_equal(self.faces, other.faces)

    def __hash__(self) -> int:
        return hash((len(self.corners), len(self.faces), *self.bounds))

    @property
    def bounds(self) -> Bounds:
        """Lowest and highest corner of the box that holds it [m]."""
        return (tuple(self.corners.min(axis=0).tolist()), tuple(self.corners.max(axis=0).tolist()))

    @property
    def volume(self) -> float:
        """Enclosed, hollows taken off; where shells overlap the overlap counts twice [m³]."""
        return enclosed(self.corners, self.faces)

    @property
    def convex(self) -> bool:
        """Whether every straight line runs through it in one piece: it fills the hull of its corners."""
        hull = ConvexHull(self.corners).volume
        return abs(self.volume - hull) < FILLED * hull

    def distance(self, points: np.ndarray) -> np.ndarray:
        """Signed distance of points (n, 3) [m], exact: (n,) [m]."""
        points = np.ascontiguousarray(points, dtype=float)
        squared, shells = np.empty(len(points)), np.empty(len(points), dtype=np.int64)
        a, b, c = (self.corners[self.faces[:, side]] for side in range(3))
        boxes = np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)  # 20 times as fast as along an axis
        mesh = (self.corners, self.faces, np.concatenate(boxes, axis=1))
        nearest_to_points(*mesh, points, squared)
        shells_round_points(*mesh, points, shells)
        return np.where(shells > 0, -np.sqrt(squared), np.sqrt(squared))

    def lattice_distance(self, x: np.ndarray, y: np.ndarray, z: np.ndarray) -> np.ndarray:
        """Signed distance on a lattice (len x, len y, len z) float32 [m]: exact within two steps, cut off beyond."""
        band = BAND * max(np.diff(row).max(initial=0.0) for row in (x, y, z))
        shape = (len(x), len(y), len(z))
        squared, exits = np.full(shape, band**2), np.zeros((shape[0] + 1, *shape[1:]), dtype=np.int64)
        nearest_on_lattice(self.corners, self.faces, x, y, z, band, squared)
        exits_on_lattice(self.corners, self.faces, x, y, z, exits)
        inside = exits.cumsum(axis=0)[:-1] < 0
        return np.where(inside, -np.sqrt(squared), np.sqrt(squared)).astype(np.float32)

    def triangles(self) -> Triangles:
        """The mesh itself."""
        return self.corners, self.faces


def read_surface(path: Path, scale: float, at: Vector, turn: float) -> Surface:
    """A closed body from an STL, PLY or OBJ file.

    scale    what one unit of the file is [m]
    at       where the origin of the file comes to lie [m]
    turn     about the upright through that origin, counter-clockwise seen from above [rad]

    Raises InputError, naming the file, where the file cannot be read or its triangles do not enclose a body.
    """
    corners, faces = _welded(path, *_read(path))
    faces = _closed(path, corners, faces)
    moved = turn_points(corners * scale, turn, (0.0, 0.0, 0.0)) + np.array(at)
    return Surface(moved, faces)


def _read(path: Path) -> tuple[np.ndarray, np.ndarray]:
    """Corners and triangles as they stand in the file."""
    kind = path.suffix.lower().removeprefix(".")
    if kind not in ("stl", "ply", "obj"):
        raise InputError(path.name, f"a mesh of the kind {path.suffix!r} cannot be read", "Save it as STL, PLY or OBJ")
    if not path.is_file():
        raise InputError(path.name, "there is no such file", "Put the mesh beside the scene or mend the name")
    import trimesh  # a fifth of a second that scenes without a mesh need not wait for

    try:
        mesh = trimesh.load_mesh(BytesIO(path.read_bytes()), file_type=kind, process=False)
        corners, faces = np.array(mesh.vertices, dtype=float), np.array(mesh.faces, dtype=np.int64)
    except Exception as error:  # the readers of mesh formats raise whatever comes to them
        fault = f"it is not a readable {kind.upper()} file ({error})"
        raise InputError(path.name, fault, "Save the mesh again from the program that made it") from error
    if faces.size == 0:
        raise InputError(path.name, "it holds no triangles", "Save the mesh again, with its surface")
    if not np.isfinite(corners[faces]).all():
        raise InputError(path.name, "some of its coordinates are not numbers", "Save the mesh again, without them")
    return corners, faces


def _welded(path: Path, corners: np.ndarray, faces: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Corners that lie on each other made one, and triangles that have become lines or doubles left out."""
    low, high = corners[faces].min(axis=(0, 1)), corners[faces].max(axis=(0, 1))
    size = float((high - low).max())
    if size == 0:
        raise InputError(path.name, "all its corners lie in one point", "Save the mesh again, in larger units")
    steps = np.rint((corners - low) / (SAME_POINT * size)).astype(np.int64)
    _, first, number = np.unique(steps, axis=0, return_index=True, return_inverse=True)
    faces = number.reshape(-1)[faces]
    whole = (faces[:, 0] != faces[:, 1]) & (faces[:, 1] != faces[:, 2]) & (faces[:, 2] != faces[:, 0])
    faces = faces[whole]
    _, single = np.unique(np.sort(faces, axis=1), axis=0, return_index=True)
    return corners[first], faces[np.sort(single)]


def _closed(path: Path, corners: np.ndarray, faces: np.ndarray) -> np.ndarray:
    """The triangles, all seen anticlockwise from outside."""
    gaps, clashes = seams(faces)
    if gaps:
        fault = f"the mesh is not closed: it has {gaps} open edges"
        raise InputError(path.name, fault, 'Fill its holes in the program that made it ("make watertight")')
    if clashes:
        faces = oriented(faces)
    left = seams(faces)[1]
    if left:
        fault = f"its triangles disagree along {left} edges about which side is out"
        raise InputError(path.name, fault, "Let the program that made it recompute the normals")
    faces = outward(corners, faces)
    if enclosed(corners, faces) <= SAME_POINT * float(np.prod(np.ptp(corners, axis=0))):
        raise InputError(path.name, "the mesh is flat and encloses nothing", "Give it a thickness")
    return faces
