"""The last step to a Grid: what the openings reach is its water, the rest is shut off."""

import numpy as np

from flowviz.grid.bodies import main_body, pockets
from flowviz.grid.grid import Faces, Grid, Kind, Patch, Vector
from flowviz.grid.kernels import label_bodies
from flowviz.grid.slanting import aslant


def joined(
    spacing: Vector,
    kind: np.ndarray,
    volume: np.ndarray,
    faces: Faces,
    patches: tuple[Patch, ...],
    cut: np.ndarray | None = None,
) -> Grid:
    """The grid of the water that the openings share; other water becomes pockets.

    It keeps the arrays of volume and faces that it is given, and shuts in them what lies outside that water.

    cut    whether a wall cuts cells aslant (nx, ny, nz); None: not known yet

    Raises InputError where openings are cut off from each other.
    """
    label = bodies(kind == Kind.WATER, faces)
    body, patches = main_body(label, volume, patches)
    cut_off = pockets(label, body, volume, spacing)
    kind = np.where((label > 0) & (label != body), np.uint8(Kind.CUT_OFF), kind)
    cut = (aslant(volume, faces) if cut is None else cut) & (kind == Kind.WATER)
    _shut(kind, volume, faces)
    return Grid(spacing, kind, volume, *faces, patches, cut_off, cut)


def bodies(water: np.ndarray, faces: Faces) -> np.ndarray:
    """Number of the body, joined through open faces, that each cell of some water belongs to; 0 outside it."""
    label = np.zeros(water.shape, dtype=np.int32)
    label_bodies(water, *faces, label)
    return label


def _shut(kind: np.ndarray, volume: np.ndarray, faces: Faces) -> None:
    """Leave no volume outside the water and no face open but between two water cells."""
    water = kind == Kind.WATER
    volume[~water] = 0
    for axis, face in enumerate(faces):
        both = np.zeros(face.shape, dtype=bool)
        inner = np.moveaxis(both, axis, 0)
        beside = np.moveaxis(water, axis, 0)
        inner[1:-1] = beside[1:] & beside[:-1]
        face[~both] = 0
