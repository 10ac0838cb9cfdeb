"""The door of the grid: a scene as cells."""

from dataclasses import replace

import numpy as np

from flowviz.errors import InputError
from flowviz.grid.grid import Faces, Grid, Kind, Vector
from flowviz.grid.joining import joined
from flowviz.grid.kernels import open_faces, open_volumes
from flowviz.grid.patches import check_apart, open_patch
from flowviz.grid.rubble import rubble
from flowviz.grid.size import Counts, lay_out
from flowviz.grid.slanting import aslant, unshut
from flowviz.grid.solids import corner_distances, middle_distances
from flowviz.scene.model import Scene

LEAST_VOLUME = 0.2  # open share below which a cell is solid
LEAST_ASLANT = 0.001  # the same where a wall cuts it aslant: larger pieces, shut, would make that wall rough
LEAST_FACE = 0.05  # open share below which a face is shut
GRAIN = np.float32(2.0**-20)  # shares are multiples of this, so that a mirrored scene gives the same ones


def voxelise(scene: Scene, cell: float | None) -> Grid:
    """The tank as cells of about the edge that is asked for [m], or of one chosen from the tank.

    Raises InputError where the cell does not suit the tank, no water is left, an opening has no water before it, or
    openings are cut off from each other.
    """
    shape, spacing = lay_out(scene, cell)
    kind, volume, faces, cut = _fill(scene, shape, spacing)
    if not (kind == Kind.WATER).any():
        raise InputError("tank", "rock and sand fill it, no water is left", "Take some out, or raise the water")
    patches = tuple(open_patch(opening, scene, kind, spacing) for opening in scene.openings)
    check_apart(patches)
    middles = tuple((np.arange(n) + 0.5) * h for n, h in zip(shape, spacing, strict=True))
    heaps = rubble(scene, spacing, middles, volume)
    return replace(joined(spacing, kind, volume, faces, patches, cut), rubble=heaps)


def _fill(scene: Scene, shape: Counts, spacing: Vector) -> tuple[np.ndarray, np.ndarray, Faces, np.ndarray]:
    """What fills the cells, open shares of their volume and of the faces across x, y and z; which are cut aslant."""
    corners = tuple(np.arange(n + 1) * h for n, h in zip(shape, spacing, strict=True))
    middles = tuple((np.arange(-1, n + 1) + 0.5) * h for n, h in zip(shape, spacing, strict=True))
    nodes = corner_distances(scene, corners)
    distances, bars = middle_distances(scene, middles)
    volume = np.empty(shape, dtype=np.float32)
    nearest = np.empty(shape, dtype=np.uint8)
    open_volumes(nodes, distances, volume, nearest)
    volume = _grained(volume)
    faces = tuple(_faces(nodes, axis) for axis in range(3))
    for axis, (face, barred) in enumerate(zip(faces, bars.faces, strict=True)):
        np.moveaxis(face, axis, 0)[1:][np.moveaxis(barred, axis, 0)] = 0
    cut = aslant(volume, faces)
    least = np.where(cut & unshut(faces), np.float32(LEAST_ASLANT), np.float32(LEAST_VOLUME))
    kind = np.where(volume >= least, np.uint8(Kind.WATER), nearest + np.uint8(Kind.OUTSIDE))
    kind[bars.cells & (kind == Kind.WATER)] = Kind.ROCK
    return kind, volume, faces, cut


def _faces(nodes: np.ndarray, axis: int) -> np.ndarray:
    """Open share of the faces across an axis."""
    along, across = np.delete(np.eye(3, dtype=np.int64), axis, axis=0)
    share = np.empty(tuple(np.array(nodes.shape[1:]) - along - across), dtype=np.float32)
    open_faces(nodes, *along, *across, share)
    share = _grained(share)
    share[share < LEAST_FACE] = 0
    return share


def _grained(share: np.ndarray) -> np.ndarray:
    """Shares rounded to multiples of GRAIN."""
    return np.rint(share / GRAIN) * GRAIN
