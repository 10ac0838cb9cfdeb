"""From a field to numbers: how the water moves, where it is dead or too strong, and what the corals get."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass

import numpy as np

from flowviz.assess.corals import CoralFigures, coral_figures
from flowviz.assess.intervals import half_widths
from flowviz.assess.speeds import SpeedStatistics, share_over, share_under, speed_statistics
from flowviz.assess.zones import Zone, find_zones
from flowviz.flow.field import Field
from flowviz.grid.grid import Grid
from flowviz.scene.model import Caution, Limits, Scene


@dataclass(frozen=True, slots=True, eq=False)
class Measures:
    """What the numbers say about a tank; dead and over-strong by the time-mean speed, water cells counted alike."""

    water_volume: float  # [m³]
    turnover: float  # of the tank's water by the loop [1/h]
    speed: SpeedStatistics
    dead_fraction: float  # share of the water cells slower than the scene's limit
    over_fraction: float  # share of the water cells faster than the scene's limit
    uncertainty: Mapping[str, float]  # half-widths of the 95 % intervals of the shares and the speeds; NaN: unknown
    zones: tuple[Zone, ...]  # zone n is zones[n - 1]
    labels: np.ndarray  # (nx, ny, nz) int32, the zone a cell belongs to; 0: none
    corals: Mapping[str, CoralFigures]
    cautions: tuple[Caution, ...]


def measure(scene: Scene, grid: Grid, field: Field) -> Measures:
    """Everything the numbers say about a computed tank."""
    cells = np.flatnonzero(grid.water)
    speeds = field.speed.take(cells).astype(np.float64)
    zones, labels = find_zones(scene, grid, field)
    return Measures(
        water_volume=grid.water_volume,
        turnover=3600 * inflow(grid, field) / grid.water_volume,
        speed=speed_statistics(speeds),
        dead_fraction=share_under(speeds, scene.limits.dead),
        over_fraction=share_over(speeds, scene.limits.over),
        uncertainty=half_widths(lambda v: figures(v, scene.limits), field.speed, field.batches, cells),
        zones=zones,
        labels=labels,
        corals={coral.name: coral_figures(coral, grid, field) for coral in scene.corals},
        cautions=(),
    )


def figures(speeds: np.ndarray, limits: Limits) -> dict[str, float]:
    """The numbers of the water as a whole, by name."""
    return {
        "dead_fraction": share_under(speeds, limits.dead),
        "over_fraction": share_over(speeds, limits.over),
        **asdict(speed_statistics(speeds)),
    }


def inflow(grid: Grid, field: Field) -> float:
    """What enters the tank by all its outlets [m³/s], read from the field: what leaves their cells by the faces."""
    cells = np.concatenate([patch.cells for patch in grid.patches if patch.inflow])
    i, j, k = np.unique(cells, axis=0).T
    hx, hy, hz = grid.spacing
    flux_x, flux_y, flux_z = field.u * grid.open_x, field.v * grid.open_y, field.w * grid.open_z
    across_x = (flux_x[i + 1, j, k] - flux_x[i, j, k]).sum(dtype=np.float64) * hy * hz
    across_y = (flux_y[i, j + 1, k] - flux_y[i, j, k]).sum(dtype=np.float64) * hx * hz
    across_z = (flux_z[i, j, k + 1] - flux_z[i, j, k]).sum(dtype=np.float64) * hx * hy
    return float(across_x + across_y + across_z)
