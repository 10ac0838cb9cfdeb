"""A field of a coarsened grid, read on the finer grid of the same box.

Between the middles of the coarse cells values go over in straight lines. Solid cells have no say: the weight of a face
is its open share, or, where it is shut, the open volume beside it: the velocity there is known, mostly to be nothing.
"""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from flowviz.flow.balance import balance_error
from flowviz.flow.field import Field
from flowviz.flow.pressure.projection import Projection
from flowviz.flow.slanting import Slants
from flowviz.flow.velocity import Velocity, square
from flowviz.grid.grid import Grid

TOLERANCE = 1e-4  # of the divergence left, |∇·u| h/U


def refine(field: Field, coarse: Grid, grid: Grid) -> Field:
    """The field of a coarse grid on a finer one, its mean velocity not yet free of divergence."""
    u, v, w = refine_velocity((field.u, field.v, field.w), coarse, grid)
    cells = Cells(coarse, grid)
    batches = np.stack([cells.read(batch) for batch in field.batches])
    return Field(u, v, w, cells.read(field.speed), cells.read(field.fluctuation), batches, field.quality)


def balanced(field: Field, grid: Grid, rates: Mapping[str, float]) -> Field:
    """The field with its mean velocity free of divergence, and bounded; both in its own arrays, which are large."""
    velocity = field.u, field.v, field.w
    Projection(grid).project(*velocity, grid.source(rates), TOLERANCE)
    Slants(grid).act(velocity)
    quality = replace(field.quality, balance_error=balance_error(grid, rates, velocity))
    return bounded(replace(field, quality=quality), grid)


def bounded(field: Field, grid: Grid) -> Field:
    """The field with no speed smaller than that of the mean velocity, and none outside the water; changes its windows.

    Beside water that runs on along slanting walls half of its speed was counted there.
    """
    speed = np.where(grid.water, np.maximum(field.speed, np.sqrt(square(field.u, field.v, field.w))), 0)
    factor = np.divide(speed, field.speed, out=np.ones_like(speed), where=field.speed > 0)
    for batch in field.batches:
        batch *= factor
    return replace(field, speed=speed, fluctuation=np.where(grid.water, field.fluctuation, 0))


def refine_velocity(velocity: Velocity, coarse: Grid, grid: Grid) -> Velocity:
    """Velocity on the faces of a finer grid, 0 on shut ones; not yet free of divergence."""
    return tuple(_read_axis(axis, velocity[axis], coarse, grid) for axis in range(3))


class Cells:
    """Reads values in the middle of coarse cells in the middle of finer ones."""

    def __init__(self, coarse: Grid, grid: Grid) -> None:
        self._share = coarse.open_volume
        self._water = grid.water
        self._places = [_places(n, n_fine, 0.5) for n, n_fine in zip(coarse.shape, grid.shape, strict=True)]
        self._weight = np.maximum(_interpolate(self._share, self._places), np.float32(1e-6))

    def read(self, values: np.ndarray) -> np.ndarray:
        """Values in the finer cells; 0 outside the water."""
        return np.where(self._water, _interpolate(self._share * values, self._places) / self._weight, np.float32(0))


def _read_axis(axis: int, along: np.ndarray, coarse: Grid, grid: Grid) -> np.ndarray:
    """The velocity along one axis on the faces of the finer grid."""
    share = (coarse.open_x, coarse.open_y, coarse.open_z)[axis]
    beside = np.zeros_like(share)
    low, high = ((slice(None),) * axis + (part,) for part in (slice(None, -1), slice(1, None)))
    beside[low] = coarse.open_volume
    beside[high] = np.maximum(beside[high], coarse.open_volume)
    places = [
        _places(n, n_fine, 0.0 if a == axis else 0.5)
        for a, (n, n_fine) in enumerate(zip(coarse.shape, grid.shape, strict=True))
    ]
    weight = np.where(share > 0, share, beside)
    read = _interpolate(weight * along, places) / np.maximum(_interpolate(weight, places), np.float32(1e-6))
    opened = grid.shares[axis] > 0
    return np.where(opened, read, np.float32(0))


def _places(coarse: int, fine: int, middle: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The two coarse cells (middle 0.5) or faces (0) round each finer one on an axis, and the second one's weight."""
    last = coarse if middle == 0 else coarse - 1
    count = fine if middle else fine + 1
    place = np.round(np.clip((np.arange(count) + middle) * coarse / fine - middle, 0, last), 9)
    low = np.minimum(place.astype(int), max(last - 1, 0))
    return low, np.minimum(low + 1, last), (place - low).astype(np.float32)


def _interpolate(values: np.ndarray, places: list[tuple[np.ndarray, np.ndarray, np.ndarray]]) -> np.ndarray:
    """Values between those of a coarse array, along all axes."""
    for axis, (low, high, ahead) in enumerate(places):
        ahead = ahead.reshape((-1,) + (1,) * (2 - axis))
        values = np.take(values, low, axis) * (1 - ahead) + np.take(values, high, axis) * ahead
    return values
