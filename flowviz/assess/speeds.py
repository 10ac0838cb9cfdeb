"""Speeds over the water: their distribution, and the shares beyond a limit; cells count by the water in them."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import nan

import numpy as np


@dataclass(frozen=True, slots=True)
class SpeedStatistics:
    """Distribution of the time-mean speed over water cells, by volume; quantiles are the speeds of cells."""

    mean: float  # [m/s]
    median: float  # [m/s]
    p05: float  # a twentieth of the water is slower [m/s]
    p95: float  # a twentieth of the water is faster [m/s]
    max: float  # [m/s]


def speed_statistics(speeds: np.ndarray, weights: np.ndarray) -> SpeedStatistics:
    """Of the speeds (n,) of cells [m/s], which count by their weights (n,); NaN without cells."""
    if speeds.size == 0:
        return SpeedStatistics(nan, nan, nan, nan, nan)
    p05, median, p95 = quantiles(speeds, weights, (0.05, 0.5, 0.95))
    return SpeedStatistics(mean(speeds, weights), median, p05, p95, float(speeds.max()))


def quantiles(values: np.ndarray, weights: np.ndarray, shares: Sequence[float]) -> list[float]:
    """The values (n,) up to which so much of the weights (n,) is reached.

    As NumPy's percentiles by method "inverted_cdf", in half of their memory, which is the most that measuring takes.
    """
    order = values.argsort()
    reached = weights[order].cumsum(dtype=np.float64)
    return values[order[reached.searchsorted(np.array(shares) * reached[-1])]].tolist()


def share_under(speeds: np.ndarray, limit: float, weights: np.ndarray | None = None) -> float:
    """Share of cells that are slower than limit [-]; NaN without cells."""
    return mean(speeds < limit, weights)


def share_between(speeds: np.ndarray, low: float, high: float, weights: np.ndarray | None = None) -> float:
    """Share of cells that are neither slower than low nor faster than high [-]; NaN without cells."""
    return mean((speeds >= low) & (speeds <= high), weights)


def share_over(speeds: np.ndarray, limit: float, weights: np.ndarray | None = None) -> float:
    """Share of cells that are faster than limit [-]; NaN without cells."""
    return mean(speeds > limit, weights)


def mean(values: np.ndarray, weights: np.ndarray | None = None) -> float:
    """Of the values (n,) of cells; of what is chosen of them (n,) bool its share; NaN without cells."""
    return float(np.average(values, weights=weights)) if values.size else nan
