"""Dead and over-strong water as connected pockets, the ones that matter first."""

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, nan
from typing import Literal

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from flowviz.assess.places import Surroundings, jet_through, place_in_words, region
from flowviz.assess.words import named
from flowviz.flow.field import Field
from flowviz.grid.grid import Grid, Vector
from flowviz.scene.model import Limits

FEWEST_CELLS = 8  # of a pocket that is told; the grid does not resolve a smaller one
SMALLEST_SHARE = 0.002  # of the water's cells, of a pocket that is told


@dataclass(frozen=True, slots=True)
class Zone:
    """A connected pocket of dead or over-strong water."""

    kind: Literal["dead", "over"]
    cells: int
    volume: float  # [m³]
    centre: Vector  # of its volume; may lie outside it [m]
    bounds: tuple[Vector, Vector]  # lowest and highest corner of its cells [m]
    mean_speed: float  # over its cells [m/s]
    extreme_speed: float  # lowest of dead water, highest of over-strong [m/s]
    extreme_at: Vector  # centre of the cell where that is [m]
    persistence: float  # share of its cells that are beyond the limit in a single window, on average; NaN: no windows
    place: str  # in words


@dataclass(frozen=True, slots=True)
class Side:
    """One end of the speeds, and what makes a pocket there matter."""

    kind: Literal["dead", "over"]
    beyond: Callable[[np.ndarray], np.ndarray]  # speeds to whether each is past the limit
    extreme: Callable[[np.ndarray], int]  # speeds to the position of the worst
    weight: Callable[[Zone], float]
    place: Callable[[np.ndarray, np.ndarray, np.ndarray, Surroundings], str]  # points, middle, worst point to words


def sides(limits: Limits) -> tuple[Side, Side]:
    """Too slow by volume, then too fast by peak speed × volume."""
    dead = Side("dead", lambda speed: speed < limits.dead, np.argmin, lambda zone: zone.volume, place_of_dead)
    over = Side("over", lambda speed: speed > limits.over, np.argmax, momentum, place_of_strong)
    return dead, over


def momentum(zone: Zone) -> float:
    """Peak speed times volume [m⁴/s]."""
    return zone.extreme_speed * zone.volume


def place_of_strong(points: np.ndarray, middle: np.ndarray, worst: np.ndarray, around: Surroundings) -> str:
    """In the jet that passes through the worst point of a zone, if one does."""
    outlet = jet_through(worst, around.scene)
    if outlet is None:
        return place_in_words(points, middle, around)
    return f"in the jet of {named(outlet.name)}, {region(points, around.scene)}"


def place_of_dead(points: np.ndarray, middle: np.ndarray, worst: np.ndarray, around: Surroundings) -> str:
    """By what is near the middle of a zone."""
    return place_in_words(points, middle, around)


def find_zones(around: Surroundings, grid: Grid, field: Field) -> tuple[tuple[Zone, ...], np.ndarray]:
    """Pockets of at least fewest_cells, dead ones first, and on each side the ones that matter first.

    The second part tells which zone a cell belongs to, counted from 1; 0 is none: (nx, ny, nz) int32.
    """
    zones, labels = [], np.zeros(grid.shape, np.int32)
    for side in sides(around.scene.limits):
        found = [
            (describe(cells, side, around, grid, field), cells)
            for cells in pockets(side.beyond(field.speed) & grid.water, grid)
        ]
        for zone, cells in sorted(found, key=lambda pair: side.weight(pair[0]), reverse=True):
            zones.append(zone)
            labels.reshape(-1)[cells] = len(zones)
    return tuple(zones), labels


def fewest_cells(grid: Grid) -> int:
    """What a pocket must have to be told."""
    return max(FEWEST_CELLS, ceil(SMALLEST_SHARE * np.count_nonzero(grid.water)))


def pockets(mask: np.ndarray, grid: Grid) -> list[np.ndarray]:
    """Positions in the flattened grid of the cells of each large enough pocket of mask, joined through open faces."""
    cells = np.flatnonzero(mask)
    count, pocket = connected_components(links(mask, grid), directed=False)
    sizes = np.bincount(pocket, minlength=count)
    by_pocket = np.split(cells[np.argsort(pocket, kind="stable")], np.cumsum(sizes)[:-1])
    fewest = fewest_cells(grid)
    return [members for members in by_pocket if members.size >= fewest]


def links(mask: np.ndarray, grid: Grid) -> coo_array:
    """Which cells of mask, numbered in the order of the flattened grid, share an open face."""
    number = np.cumsum(mask).reshape(mask.shape) - 1
    pairs = [
        (number[:-1], number[1:], mask[:-1] & mask[1:] & (grid.open_x[1:-1] > 0)),
        (number[:, :-1], number[:, 1:], mask[:, :-1] & mask[:, 1:] & (grid.open_y[:, 1:-1] > 0)),
        (number[:, :, :-1], number[:, :, 1:], mask[:, :, :-1] & mask[:, :, 1:] & (grid.open_z[:, :, 1:-1] > 0)),
    ]
    one = np.concatenate([low[joined] for low, _, joined in pairs])
    other = np.concatenate([high[joined] for _, high, joined in pairs])
    count = np.count_nonzero(mask)
    return coo_array((np.ones(one.size, np.int8), (one, other)), shape=(count, count))


def describe(cells: np.ndarray, side: Side, around: Surroundings, grid: Grid, field: Field) -> Zone:
    """The zone of these cells, given by their positions in the flattened grid."""
    speeds = field.speed.take(cells).astype(np.float64)
    weights = grid.open_volume.take(cells).astype(np.float64)
    indices = np.stack(np.unravel_index(cells, grid.shape), axis=-1)
    middles = (indices + 0.5) * grid.spacing
    centre = weights @ middles / weights.sum()
    worst = int(side.extreme(speeds))
    held = [np.count_nonzero(side.beyond(window.take(cells))) / cells.size for window in field.batches]
    return Zone(
        kind=side.kind,
        cells=int(cells.size),
        volume=float(weights.sum()) * grid.cell_volume,
        centre=vector(centre),
        bounds=(vector(indices.min(axis=0) * grid.spacing), vector((indices.max(axis=0) + 1) * grid.spacing)),
        mean_speed=float(speeds.mean()),
        extreme_speed=float(speeds[worst]),
        extreme_at=vector(middles[worst]),
        persistence=float(np.mean(held)) if held else nan,
        place=side.place(middles, centre, middles[worst], around),
    )


def vector(row: np.ndarray) -> Vector:
    """Three floats."""
    x, y, z = (float(value) for value in row)
    return x, y, z
