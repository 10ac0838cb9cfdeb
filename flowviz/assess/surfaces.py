"""The current where water ends: along the rock, and at the tank's surface."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf, nan

import numpy as np
from scipy.ndimage import maximum_filter

from flowviz.assess.speeds import SpeedStatistics, mean, share_under, speed_statistics
from flowviz.flow.field import Field
from flowviz.flow.intervals import half_widths
from flowviz.flow.memory import likeness
from flowviz.grid.grid import Grid, Kind

MOST_ROCK = 0.5  # open share of a cell below which it is rock for the most part
LAYER = 0.05  # thickness of the water that is called the surface, to whole cells [m]


@dataclass(frozen=True, slots=True)
class RockFigures:
    """The current over the rock: in the water of the cells that touch it, by volume."""

    cells: int
    speed: SpeedStatistics  # of the time-mean speed; NaN without rock
    dead_fraction: float  # share of it slower than the scene's limit; NaN without rock
    uncertainty: Mapping[str, float]  # half-widths of the 95 % intervals of that share and mean_speed; NaN: unknown


@dataclass(frozen=True, slots=True)
class SurfaceFigures:
    """The uppermost 5 cm of the water, to whole cells."""

    thickness: float  # what these are [m]
    speed: SpeedStatistics  # of the time-mean speed
    dead_fraction: float  # share of it slower than the scene's limit
    uncertainty: Mapping[str, float]  # half-widths of the 95 % intervals of that share and mean_speed; NaN: unknown
    renewal_time: float  # its volume over what the mean flow brings up [s]; eddies make it shorter; interval unknown


def rock_figures(dead: float, grid: Grid, field: Field) -> RockFigures:
    """The current over the rock; dead below a limit [m/s]."""
    cells = np.flatnonzero(beside_rock(grid))
    return RockFigures(int(cells.size), *over_cells(cells, dead, grid, field))


def over_cells(
    cells: np.ndarray, dead: float, grid: Grid, field: Field
) -> tuple[SpeedStatistics, float, Mapping[str, float]]:
    """Speeds over cells, given by their positions in the flattened grid, their dead share, and what is unsure of it."""

    volumes = grid.open_volume.take(cells)

    def figures(speeds: np.ndarray) -> dict[str, float]:
        return {"dead_fraction": share_under(speeds, dead, volumes), "mean_speed": mean(speeds, volumes)}

    speeds = field.speed.take(cells).astype(np.float64)
    if cells.size == 0:
        return speed_statistics(speeds, volumes), nan, {"dead_fraction": nan, "mean_speed": nan}
    widths = half_widths(figures, field.speed, field.batches, cells, likeness(grid, field))
    return speed_statistics(speeds, volumes), share_under(speeds, dead, volumes), widths


def beside_rock(grid: Grid) -> np.ndarray:
    """Cells that share a face with one that is rock for the most part, and are not (nx, ny, nz) bool; none in rubble.

    Of round rock, too, that is water half a cell off it: its own cells hold slivers, down to a thousandth of them.
    """
    rock = grid.kind == Kind.ROCK
    mostly = rock | (grid.clear & (grid.open_volume < MOST_ROCK) & maximum_filter(rock, 3))
    framed, beside = np.pad(mostly, 1), np.zeros(grid.shape, bool)
    for axis in range(3):
        for step in (-1, 1):
            beside |= np.roll(framed, step, axis)[1:-1, 1:-1, 1:-1]
    return beside & ~mostly & grid.clear


def surface_figures(dead: float, grid: Grid, field: Field) -> SurfaceFigures:
    """The current at the surface; dead below a limit [m/s]."""
    count = min(max(round(LAYER / grid.spacing[2]), 1), grid.shape[2])
    top = grid.clear.copy()
    top[:, :, :-count] = False
    found = over_cells(np.flatnonzero(top), dead, grid, field)
    return SurfaceFigures(count * grid.spacing[2], *found, renewal_time(count, grid, field))


def renewal_time(count: int, grid: Grid, field: Field) -> float:
    """Volume of the uppermost cells over what the mean flow brings up into them [s]; infinite if it brings nothing."""
    hx, hy, _ = grid.spacing
    level = grid.shape[2] - count
    flux = (field.w[:, :, level] * grid.open_z[:, :, level]).astype(np.float64)
    rising = float(np.maximum(flux, 0).sum()) * hx * hy
    volume = float(grid.open_volume[:, :, level:].sum(dtype=np.float64)) * grid.cell_volume
    return volume / rising if rising > 0 else inf
