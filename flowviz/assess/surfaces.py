"""The current where water ends: along the rock, and at the tank's surface."""

from dataclasses import dataclass
from math import inf

import numpy as np

from flowviz.assess.speeds import SpeedStatistics, share_under, speed_statistics
from flowviz.flow.field import Field
from flowviz.grid.grid import Grid, Kind

LAYER = 0.05  # thickness of the water that is called the surface, to whole cells [m]


@dataclass(frozen=True, slots=True)
class RockFigures:
    """The current over the rock: in the water cells that touch it, each counted alike."""

    cells: int
    speed: SpeedStatistics  # of the time-mean speed; NaN without rock
    dead_fraction: float  # share of them slower than the scene's limit; NaN without rock


@dataclass(frozen=True, slots=True)
class SurfaceFigures:
    """The uppermost 5 cm of the water, to whole cells."""

    thickness: float  # what these are [m]
    speed: SpeedStatistics  # of the time-mean speed
    dead_fraction: float  # share of its cells slower than the scene's limit
    renewal_time: float  # its volume over what the mean flow brings up from below [s]; eddies make it shorter


def rock_figures(dead: float, grid: Grid, field: Field) -> RockFigures:
    """The current over the rock; dead below a limit [m/s]."""
    speeds = field.speed[beside_rock(grid)].astype(np.float64)
    return RockFigures(int(speeds.size), speed_statistics(speeds), share_under(speeds, dead))


def beside_rock(grid: Grid) -> np.ndarray:
    """Water cells that share a face with a cell of rock (nx, ny, nz) bool."""
    framed = np.pad(grid.kind == Kind.ROCK, 1)
    beside = np.zeros(grid.shape, bool)
    for axis in range(3):
        for step in (-1, 1):
            beside |= np.roll(framed, step, axis)[1:-1, 1:-1, 1:-1]
    return beside & grid.water


def surface_figures(dead: float, grid: Grid, field: Field) -> SurfaceFigures:
    """The current at the surface; dead below a limit [m/s]."""
    count = min(max(round(LAYER / grid.spacing[2]), 1), grid.shape[2])
    top = grid.water[:, :, -count:]
    speeds = field.speed[:, :, -count:][top].astype(np.float64)
    return SurfaceFigures(
        count * grid.spacing[2], speed_statistics(speeds), share_under(speeds, dead), renewal_time(count, grid, field)
    )


def renewal_time(count: int, grid: Grid, field: Field) -> float:
    """Volume of the uppermost cells over what the mean flow brings up into them [s]; infinite if it brings nothing."""
    hx, hy, _ = grid.spacing
    level = grid.shape[2] - count
    flux = (field.w[:, :, level] * grid.open_z[:, :, level]).astype(np.float64)
    rising = float(np.maximum(flux, 0).sum()) * hx * hy
    volume = float(grid.open_volume[:, :, level:].sum(dtype=np.float64)) * grid.cell_volume
    return volume / rising if rising > 0 else inf
