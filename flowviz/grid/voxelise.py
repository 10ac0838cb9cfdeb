"""The door of the grid: a scene as cells."""

import numpy as np

from flowviz.grid.bodies import main_body, pockets
from flowviz.grid.grid import Grid, Kind
from flowviz.grid.kernels import label_bodies, open_faces, open_volumes
from flowviz.grid.patches import check_apart, open_patch
from flowviz.grid.size import Counts, Vector, lay_out
from flowviz.grid.solids import Rows, corner_distances, rock_distances
from flowviz.scene.model import Scene

LEAST_VOLUME = 0.2  # open share below which a cell is solid
LEAST_FACE = 0.05  # open share below which a face is closed
GRAIN = 2.0**-20  # shares are multiples of this, so that a mirrored scene gives the same ones


def voxelise(scene: Scene, cell: float | None) -> Grid:
    """The tank as cells of about the edge that is asked for [m], or of one chosen from the tank.

    Raises InputError where the cell does not suit the tank, an opening has no water before it, or solid parts the
    openings from each other.
    """
    shape, spacing = lay_out(scene, cell)
    kind, volume, faces = _fill(scene, shape, spacing)
    patches = tuple(open_patch(opening, scene, kind, spacing) for opening in scene.openings)
    check_apart(patches)
    label = np.empty(shape, dtype=np.int32)
    label_bodies(kind == Kind.WATER, *faces, label)
    body, patches = main_body(label, volume, patches)
    cut_off = pockets(label, body, volume, spacing)
    kind[(label > 0) & (label != body)] = Kind.CUT_OFF
    _close(kind, volume, faces)
    return Grid(spacing, kind, volume, *faces, patches, cut_off)


def _fill(scene: Scene, shape: Counts, spacing: Vector) -> tuple[np.ndarray, np.ndarray, tuple[np.ndarray, ...]]:
    """What fills the cells, the open share of their volume and the open share of the faces across x, y and z."""
    corners, middles = _rows(shape, spacing, 0), _rows(shape, spacing, 0.5)
    nodes = corner_distances(scene, corners)
    volume = np.empty(shape, dtype=np.float32)
    nearest = np.empty(shape, dtype=np.uint8)
    open_volumes(nodes, rock_distances((rock.solid for rock in scene.rocks), middles), volume, nearest)
    faces = tuple(_faces(nodes, axis) for axis in range(3))
    volume = _grained(volume)
    kind = np.where(volume >= LEAST_VOLUME, Kind.WATER, nearest + Kind.OUTSIDE).astype(np.uint8)
    _close(kind, volume, faces)
    return kind, volume, faces


def _rows(shape: Counts, spacing: Vector, shift: float) -> Rows:
    """Coordinates of corners (shift 0) or middles (shift 0.5) of the cells [m]."""
    return tuple((np.arange(n + (shift == 0)) + shift) * h for n, h in zip(shape, spacing, strict=True))


def _faces(nodes: np.ndarray, axis: int) -> np.ndarray:
    """Open share of the faces across an axis."""
    along, across = np.delete(np.eye(3, dtype=np.int64), axis, axis=0)
    shape = np.array(nodes.shape[1:]) - along - across
    share = np.empty(tuple(shape), dtype=np.float32)
    open_faces(nodes, *along, *across, share)
    share = _grained(share)
    share[share < LEAST_FACE] = 0
    return share


def _grained(share: np.ndarray) -> np.ndarray:
    """Shares rounded to multiples of GRAIN."""
    return np.rint(share / np.float32(GRAIN)) * np.float32(GRAIN)


def _close(kind: np.ndarray, volume: np.ndarray, faces: tuple[np.ndarray, ...]) -> None:
    """Leave no volume outside the water and no face open but between two water cells."""
    water = kind == Kind.WATER
    volume[~water] = 0
    for axis, face in enumerate(faces):
        both = np.zeros(face.shape, dtype=bool)
        inner = np.moveaxis(both, axis, 0)
        beside = np.moveaxis(water, axis, 0)
        inner[1:-1] = beside[1:] & beside[:-1]
        face[~both] = 0
