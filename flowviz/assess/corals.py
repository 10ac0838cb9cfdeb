"""Whether the corals get the current they want."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import nan

import numpy as np

from flowviz.assess.intervals import half_widths
from flowviz.assess.speeds import share_over, share_under
from flowviz.flow.field import Field
from flowviz.grid.grid import Grid
from flowviz.scene.model import Coral

MOST = 0.8  # of a group: so much of it in its band is good (common practice, no source)
SOME = 0.2  # of a group: so much of it on one side of its band is worth a word (common practice, no source)

COUNTED = 1e-9  # coordinates are compared to this [m]


@dataclass(frozen=True, slots=True)
class CoralFigures:
    """The current over a group of corals."""

    cells: int  # water cells of the group; with none the figures are NaN
    speed: float  # mean over them of the time-mean speed [m/s]
    under_fraction: float  # share of them below the wanted band
    in_band_fraction: float
    over_fraction: float
    uncertainty: Mapping[str, float]  # half-widths of the 95 % intervals of the four; NaN where unknown
    verdict: str
    sure: bool  # the verdict is the same at both ends of the interval of the share in the band


def coral_figures(coral: Coral, grid: Grid, field: Field) -> CoralFigures:
    """The current over one group."""
    cells = cells_of(coral, grid)
    if cells.size == 0:
        return CoralFigures(0, nan, nan, nan, nan, {}, "no water", False)
    low, high = coral.speed

    def shares(speeds: np.ndarray) -> dict[str, float]:
        under, over = share_under(speeds, low), share_over(speeds, high)
        return {"speed": float(speeds.mean()), "under": under, "in_band": 1 - under - over, "over": over}

    figures = shares(field.speed.take(cells).astype(np.float64))
    widths = half_widths(shares, field.speed, field.batches, cells)
    return CoralFigures(
        int(cells.size),
        figures["speed"],
        figures["under"],
        figures["in_band"],
        figures["over"],
        widths,
        verdict(figures["under"], figures["over"]),
        abs(figures["in_band"] - MOST) > widths["in_band"],
    )


def cells_of(coral: Coral, grid: Grid) -> np.ndarray:
    """Positions in the flattened grid of the water cells whose centre is in the group's box.

    A box thinner than a cell counts as one cell thick, so that a flat group has the layer it lies in.
    """
    inside = [
        np.abs(row - middle) <= max(edge, h) / 2 + COUNTED
        for row, middle, edge, h in zip(grid.centres(), coral.centre, coral.size, grid.spacing, strict=True)
    ]
    return np.flatnonzero(grid.water & inside[0][:, None, None] & inside[1][:, None] & inside[2])


def verdict(under: float, over: float) -> str:
    """What the shares below and above the wanted band come to, in plain words."""
    if 1 - under - over >= MOST:
        return "good"
    if under >= SOME and over >= SOME:
        return "uneven"
    side, share = ("too still", under) if under >= over else ("too strong", over)
    return side if share >= MOST else f"partly {side}"
