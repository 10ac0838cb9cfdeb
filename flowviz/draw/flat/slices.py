"""The field on a plane through the tank, and over its depth."""

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import distance_transform_edt, map_coordinates

from flowviz.flow.field import Field
from flowviz.grid.grid import Grid

FINE = 900  # points of a raster along the longer side of a picture
SIDES = {0: (1, 2), 1: (0, 2), 2: (0, 1)}  # axis a plane is square to: axes that run to the right and up in its picture


@dataclass(frozen=True, slots=True)
class Plane:
    """A plane through the middle of a layer of cells."""

    axis: int  # that it is square to: 0, 1, 2 for x, y, z
    layer: int
    at: float  # [m]
    half: float = 0.0  # of the layer's thickness [m]


@dataclass(frozen=True, slots=True, eq=False)
class Layer:
    """The cells of a flat picture: n to the right, m up."""

    right: np.ndarray  # coordinates of their middles (n,) [m]
    up: np.ndarray  # (m,) [m]
    water: np.ndarray  # (n, m) bool
    speed: np.ndarray  # time-mean (n, m) [m/s]
    velocity: np.ndarray  # mean, to the right and up (n, m, 2) [m/s]


@dataclass(frozen=True, slots=True, eq=False)
class Raster:
    """Values as fine as a picture needs them, up to the walls of the box of cells."""

    right: np.ndarray  # coordinates (n,) [m]
    up: np.ndarray  # (m,) [m]
    values: np.ndarray  # (n, m)

    def within(self, centre: tuple[float, float], size: tuple[float, float]) -> "Raster":
        """The part of it in a rectangle [m]."""
        rows = zip((self.right, self.up), centre, size, strict=True)
        across, up = (np.flatnonzero(abs(row - middle) <= edge / 2) for row, middle, edge in rows)
        return Raster(self.right[across], self.up[up], self.values[np.ix_(across, up)])

    @property
    def extent(self) -> tuple[float, float, float, float]:
        """Left, right, bottom, top [m]."""
        return float(self.right[0]), float(self.right[-1]), float(self.up[0]), float(self.up[-1])


def plane(axis: int, layer: int, grid: Grid) -> Plane:
    """The plane through the middle of a layer."""
    return Plane(axis, layer, float((layer + 0.5) * grid.spacing[axis]), grid.spacing[axis] / 2)


def plane_at(axis: int, at: float, grid: Grid) -> Plane:
    """The plane through the layer that holds a coordinate [m]; the nearest layer if none does."""
    layer = int(at // grid.spacing[axis])
    return plane(axis, min(max(layer, 0), grid.shape[axis] - 1), grid)


def flat(vector: tuple[float, float, float], axis: int) -> tuple[float, float]:
    """The parts of a vector to the right and up in a picture square to axis."""
    right, up = SIDES[axis]
    return vector[right], vector[up]


def layer_of(values: np.ndarray, cut: Plane) -> np.ndarray:
    """The layer of cell values (nx, ny, nz, ...) that a plane runs through."""
    return values.take(cut.layer, axis=cut.axis)


def layer_at(cut: Plane, grid: Grid, field: Field) -> Layer:
    """The field on a plane."""
    right, up = SIDES[cut.axis]
    faces = [layer_of((field.u, field.v, field.w)[side], cut) for side in (right, up)]
    return Layer(
        right=grid.centres()[right],
        up=grid.centres()[up],
        water=layer_of(grid.water, cut),
        speed=layer_of(field.speed, cut),
        velocity=in_middles(*faces),
    )


def over_depth(grid: Grid, field: Field) -> Layer:
    """The field from above: means over the water of each upright row of cells."""
    right, up, _ = grid.centres()
    cells = np.maximum(np.count_nonzero(grid.water, axis=2), 1)
    u, v, _ = np.moveaxis(field.velocity(), -1, 0)
    return Layer(
        right=right,
        up=up,
        water=grid.water.any(axis=2),
        speed=field.speed.sum(axis=2) / cells,
        velocity=np.stack([(part * grid.water).sum(axis=2) / cells for part in (u, v)], axis=-1),
    )


def in_middles(right: np.ndarray, up: np.ndarray) -> np.ndarray:
    """Velocity in the middle of cells (n, m, 2) from that on the faces to the right (n+1, m) and up (n, m+1)."""
    return np.stack(((right[1:] + right[:-1]) / 2, (up[:, 1:] + up[:, :-1]) / 2), axis=-1)


def refined(values: np.ndarray, layer: Layer) -> Raster:
    """Values (n, m) of a layer's cells on a raster that reaches the walls.

    They are exact in the middle of the water's cells and linear between; solid has the nearest water's.
    """
    padded = [np.concatenate(([0.0], row, [row[-1] + row[0]])) for row in (layer.right, layer.up)]
    step = max(row[-1] for row in padded) / FINE
    fine = [np.linspace(0.0, row[-1], max(2, round(row[-1] / step))) for row in padded]
    known = np.pad(carried_on(values, layer.water).astype(np.float64), 1, mode="edge")
    steps = [np.interp(row, middles, np.arange(len(middles))) for row, middles in zip(fine, padded, strict=True)]
    return Raster(*fine, map_coordinates(known, np.meshgrid(*steps, indexing="ij"), order=1))


def carried_on(values: np.ndarray, known: np.ndarray) -> np.ndarray:
    """Values (n, m) with those that are not known taken from the nearest that is."""
    if not known.any():
        return np.zeros_like(values)
    nearest = distance_transform_edt(~known, return_distances=False, return_indices=True)
    return values[tuple(nearest)]
