"""Speeds over the water: their distribution, and the shares beyond a limit; every water cell counts alike."""

from dataclasses import dataclass
from math import nan

import numpy as np


@dataclass(frozen=True, slots=True)
class SpeedStatistics:
    """Distribution of the time-mean speed over water cells, each counted once; quantiles between ranks are linear."""

    mean: float  # [m/s]
    median: float  # [m/s]
    p05: float  # a twentieth of the cells is slower [m/s]
    p95: float  # a twentieth of the cells is faster [m/s]
    max: float  # [m/s]


def speed_statistics(speeds: np.ndarray) -> SpeedStatistics:
    """Of the speeds (n,) of cells [m/s]; NaN without cells."""
    if speeds.size == 0:
        return SpeedStatistics(nan, nan, nan, nan, nan)
    p05, median, p95 = np.percentile(speeds, (5, 50, 95))
    return SpeedStatistics(float(speeds.mean()), float(median), float(p05), float(p95), float(speeds.max()))


def share_under(speeds: np.ndarray, limit: float) -> float:
    """Share of cells that are slower than limit [-]; NaN without cells."""
    return share(speeds < limit)


def share_between(speeds: np.ndarray, low: float, high: float) -> float:
    """Share of cells that are neither slower than low nor faster than high [-]; NaN without cells."""
    return share((speeds >= low) & (speeds <= high))


def share_over(speeds: np.ndarray, limit: float) -> float:
    """Share of cells that are faster than limit [-]; NaN without cells."""
    return share(speeds > limit)


def share(chosen: np.ndarray) -> float:
    """Share of cells that are chosen [-]; NaN without cells."""
    return float(np.count_nonzero(chosen)) / chosen.size if chosen.size else nan
