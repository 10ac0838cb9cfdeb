"""Whether the corals get the current they want."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import isnan, nan, sqrt

import numpy as np

from flowviz.assess.speeds import mean, share_between, share_over, share_under
from flowviz.flow.field import Field
from flowviz.flow.intervals import Statistics, half_widths
from flowviz.flow.memory import likeness
from flowviz.grid.grid import Grid
from flowviz.scene.model import Coral

MOST = 0.8  # of a group: so much of it in its band is good (common practice, no source)
SOME = 0.2  # of a group: so much of it on one side of its band is worth a word (common practice, no source)

FIGURES = ("speed", "under_fraction", "in_band_fraction", "over_fraction")
SHARES = 9  # decimals of a share that are compared
COUNTED = 1e-9  # coordinates are compared to this [m]


@dataclass(frozen=True, slots=True)
class CoralFigures:
    """The current over a group of corals; shares and means of its water, by volume."""

    cells: int  # water cells of the group; with none the figures are NaN
    speed: float  # mean of the time-mean speed [m/s]
    under_fraction: float  # share below the wanted band
    in_band_fraction: float
    over_fraction: float
    uncertainty: Mapping[str, float]  # half-widths of the 95 % intervals of these four; NaN: unknown
    fluctuation_speed: float  # root mean square of the eddies' speed about the mean flow [m/s]
    verdict: str  # good, too still, partly too still, too strong, partly too strong, uneven; unknown without water
    sure: bool  # the shares could be anywhere in their intervals and the verdict would be the same


def coral_figures(coral: Coral, grid: Grid, field: Field) -> CoralFigures:
    """The current over one group."""
    cells = cells_of(coral, grid)
    if cells.size == 0:
        return CoralFigures(0, nan, nan, nan, nan, dict.fromkeys(FIGURES, nan), nan, "unknown", sure=False)

    figures, volumes = figures_of(coral, cells, grid), grid.open_volume.take(cells)
    found = figures(field.speed.take(cells).astype(np.float64))
    widths = doubts(figures, coral.speed[1], cells, grid, field)
    under, over = found["under_fraction"], found["over_fraction"]
    sure = is_sure(under, over, widths["under_fraction"], widths["over_fraction"])
    eddies = sqrt(mean(field.fluctuation.take(cells).astype(np.float64) ** 2, volumes))
    return CoralFigures(int(cells.size), *found.values(), widths, eddies, verdict(under, over), sure)


def figures_of(coral: Coral, cells: np.ndarray, grid: Grid) -> Statistics:
    """What the speeds (n,) in a group's cells come to: their mean, and the shares below, in and above its band."""
    volumes, (low, high) = grid.open_volume.take(cells), coral.speed

    def figures(speeds: np.ndarray) -> Mapping[str, float]:
        under, within = share_under(speeds, low, volumes), share_between(speeds, low, high, volumes)
        shares = under, within, share_over(speeds, high, volumes)
        return dict(zip(FIGURES, (mean(speeds, volumes), *shares), strict=True))

    return figures


def doubts(figures: Statistics, high: float, cells: np.ndarray, grid: Grid, field: Field) -> dict[str, float]:
    """Half-widths of the 95 % intervals of a group's figures; its share above the band's end hangs on fast water."""
    flow, fast, volumes = (field.speed, field.batches), likeness(grid, field, high), grid.open_volume.take(cells)
    over = half_widths(lambda speeds: {"over_fraction": share_over(speeds, high, volumes)}, *flow, cells, fast)
    return {**half_widths(figures, *flow, cells, likeness(grid, field)), **over}


def cells_of(coral: Coral, grid: Grid) -> np.ndarray:
    """Positions in the flattened grid of the water cells whose centre is in the group's box, none of them in rubble.

    A box thinner than a cell counts as one cell thick, so that a flat group has the layer it lies in.
    """
    inside = [
        np.abs(row - middle) <= max(edge, h) / 2 + COUNTED
        for row, middle, edge, h in zip(grid.centres(), coral.centre, coral.size, grid.spacing, strict=True)
    ]
    return np.flatnonzero(grid.clear & inside[0][:, None, None] & inside[1][:, None] & inside[2])


def verdict(under: float, over: float) -> str:
    """What the shares below and above the wanted band come to, in plain words."""
    if round(1 - under - over, SHARES) >= MOST:
        return "good"
    if under >= SOME and over >= SOME:
        return "uneven"
    side, share = ("too still", under) if under >= over else ("too strong", over)
    return side if share >= MOST else f"partly {side}"


def is_sure(under: float, over: float, under_width: float, over_width: float) -> bool:
    """Whether the verdict is the same at all corners of the shares' intervals; never if these are unknown."""
    if isnan(under_width) or isnan(over_width):
        return False
    unders = (max(under - under_width, 0.0), min(under + under_width, 1.0))
    overs = (max(over - over_width, 0.0), min(over + over_width, 1.0))
    return len({verdict(low, high) for low in unders for high in overs}) == 1
