"""The field on a plane through the tank."""

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import RegularGridInterpolator
from scipy.ndimage import distance_transform_edt

from flowviz.flow.field import Field
from flowviz.grid.grid import Grid

FINE = 900  # points of the raster along the longer side of a picture
SIDES = {0: (1, 2), 1: (0, 2), 2: (0, 1)}  # axis a plane is square to: axes that run to the right and up in its picture


@dataclass(frozen=True, slots=True)
class Plane:
    """A plane through the middle of a layer of cells."""

    axis: int  # that it is square to: 0, 1, 2 for x, y, z
    layer: int
    at: float  # [m]


@dataclass(frozen=True, slots=True, eq=False)
class Raster:
    """Values on a plane, as fine as a picture needs them, up to the walls of the box of cells."""

    right: np.ndarray  # coordinates (n,) [m]
    up: np.ndarray  # (m,) [m]
    values: np.ndarray  # (n, m)

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, right, bottom, top [m]."""
        return float(self.right[0]), float(self.right[-1]), float(self.up[0]), float(self.up[-1])


def plane(axis: int, layer: int, grid: Grid) -> Plane:
    """The plane through the middle of a layer."""
    return Plane(axis, layer, float((layer + 0.5) * grid.spacing[axis]))


def layer_of(values: np.ndarray, cut: Plane) -> np.ndarray:
    """The layer of cell values (nx, ny, nz, ...) that a plane runs through."""
    return values.take(cut.layer, axis=cut.axis)


def speed_raster(cut: Plane, grid: Grid, field: Field) -> Raster:
    """Time-mean speed on a plane [m/s]: exact in the middle of cells, linear between; solid has the nearest water's."""
    return refined(carried_on(layer_of(field.speed, cut), layer_of(grid.water, cut)), *rows(cut.axis, grid))


def carried_on(values: np.ndarray, known: np.ndarray) -> np.ndarray:
    """Values (n, m) with those that are not known taken from the nearest that is."""
    if not known.any():
        return np.zeros_like(values)
    nearest = distance_transform_edt(~known, return_distances=False, return_indices=True)
    return values[tuple(nearest)]


def rows(axis: int, grid: Grid) -> tuple[np.ndarray, np.ndarray]:
    """Coordinates of the cells' centres to the right and up in a picture square to axis [m]."""
    centres = grid.centres()
    right, up = SIDES[axis]
    return centres[right], centres[up]


def refined(values: np.ndarray, right: np.ndarray, up: np.ndarray) -> Raster:
    """Cell values (n, m), at these coordinates of their centres, on a fine raster that reaches the walls."""
    padded = [np.concatenate(([0.0], row, [row[-1] + row[0]])) for row in (right, up)]
    step = max(row[-1] for row in padded) / FINE
    fine = [np.linspace(0.0, row[-1], max(2, round(row[-1] / step))) for row in padded]
    between = RegularGridInterpolator(padded, np.pad(values.astype(np.float64), 1, mode="edge"))
    return Raster(*fine, between(tuple(np.meshgrid(*fine, indexing="ij"))))


def in_plane_velocity(cut: Plane, grid: Grid, field: Field) -> np.ndarray:
    """Mean velocity along the plane in the middle of its cells (n, m, 2) [m/s]: to the right and up."""
    return layer_of(field.velocity(), cut)[..., SIDES[cut.axis]]
