"""How the computed speeds agree with those that were measured in the tank."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import hypot, isnan, nan

import numpy as np

from flowviz.flow.field import Field
from flowviz.flow.intervals import half_widths
from flowviz.flow.memory import likeness
from flowviz.flow.sample import locate, speed_at
from flowviz.grid.grid import Grid, Vector
from flowviz.scene.model import Measured


@dataclass(frozen=True, slots=True)
class PointFigures:
    """A measured speed beside the computed one."""

    at: Vector  # [m]
    measured_speed: float  # [m/s]
    measured_doubt: float  # half-width of its 95 % interval, as the scene tells it [m/s]
    computed_speed: float  # time mean; NaN where the grid has no water [m/s]
    computed_doubt: float  # half-width of the 95 % interval from the averaging; NaN: unknown [m/s]


@dataclass(frozen=True, slots=True)
class Agreement:
    """How the computed speeds agree with the measured ones, over the points that lie in the grid's water.

    Bias and factor of two as in J. C. Chang and S. R. Hanna, Meteorol. Atmos. Phys. 87 (2004) 167-196, who call a model
    good whose bias is below 0.3 and half of whose points are within a factor of two.
    """

    points: Mapping[str, PointFigures]
    fractional_bias: float  # (measured - computed)/mean of both, of the means over all points; above 0: too slow
    factor_two_fraction: float  # share of points at which the computed speed is within a factor of two
    explained_fraction: float  # share of points whose difference the two intervals together may explain
    worst: str | None  # name of the point with the largest difference; None: no point lies in water


def agreement(points: tuple[Measured, ...], grid: Grid, field: Field) -> Agreement:
    """The computed flow against measured points."""
    compared = {point.name: figures for point, figures in zip(points, compare(points, grid, field), strict=True)}
    known = {name: figures for name, figures in compared.items() if not isnan(figures.computed_speed)}
    if not known:
        return Agreement(compared, nan, nan, nan, None)
    observed, predicted = (
        np.array([getattr(figures, name) for figures in known.values()])
        for name in ("measured_speed", "computed_speed")
    )
    together = observed.mean() + predicted.mean()
    return Agreement(
        points=compared,
        fractional_bias=float(2 * (observed.mean() - predicted.mean()) / together) if together else 0.0,
        factor_two_fraction=float(np.mean((predicted >= observed / 2) & (predicted <= 2 * observed))),
        explained_fraction=float(np.mean([explained(figures) for figures in known.values()])),
        worst=max(known, key=lambda name: difference(known[name])),
    )


def compare(points: tuple[Measured, ...], grid: Grid, field: Field) -> list[PointFigures]:
    """Each point with what was computed there."""
    places = np.array([point.at for point in points])
    _, _, wet = locate(grid, places)
    speeds = np.where(wet, speed_at(grid, field, places), nan)
    windows = [speed_at(grid, replace(field, speed=window), places) for window in field.batches]
    every, alike = np.arange(len(points)), likeness(grid, field)
    widths = half_widths(lambda values: dict(enumerate(values)), speeds, np.array(windows), every, alike)
    return [
        PointFigures(point.at, point.speed, point.uncertainty, float(speed), widths[number] if speed == speed else nan)
        for number, (point, speed) in enumerate(zip(points, speeds, strict=True))
    ]


def difference(figures: PointFigures) -> float:
    """How far the computed speed is from the measured one [m/s]."""
    return abs(figures.computed_speed - figures.measured_speed)


def explained(figures: PointFigures) -> bool:
    """Whether the two intervals together may explain the difference; what is unknown explains nothing."""
    computed = 0.0 if isnan(figures.computed_doubt) else figures.computed_doubt
    return difference(figures) <= hypot(figures.measured_doubt, computed)
