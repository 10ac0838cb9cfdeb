"""How far an average over a stretch of time can be trusted: intervals from the windows it was taken over."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import nan, sqrt

import numpy as np
from scipy.special import stdtrit  # quantile of Student's t: of degrees of freedom, and of a share

Range = tuple[float, float]
UNKNOWN: Range = (0.0, 0.9)  # correlation of neighbouring windows; no more is read from so few of them

Statistics = Callable[[np.ndarray], Mapping[str, float]]


@dataclass(frozen=True, slots=True)
class Doubt:
    """How well a figure is known."""

    half_width: float  # of its 95 % interval, as half_width gives it; 0: exactly; NaN: unknown
    windows: int  # that it was averaged over
    looks: float  # independent ones that these amount to (flow/memory.py), more than 1

    @property
    def variance(self) -> float:
        """Of the figure."""
        return (self.half_width / stdtrit(self.windows - 1, 0.975)) ** 2 if self.half_width else 0.0


def half_widths(
    statistics: Statistics,
    mean: np.ndarray,
    windows: Sequence[np.ndarray],
    cells: np.ndarray | slice,
    alike: Range = UNKNOWN,
) -> Mapping[str, float]:
    """Half-widths of the 95 % intervals of statistics of a time mean; NaN (unknown) with fewer than two windows.

    statistics  named numbers of values (n,), not necessarily linear in them: shares, quantiles
    mean        the time mean, any shape
    windows     (m) its values over m successive windows of equal length
    cells       those that the statistics are of: their (n,) positions in the flattened mean, or a mask or a slice of it
    alike       least and most that neighbouring windows can be correlated (flow/memory.py) [-]

    By leaving out one window after another (R. G. Miller, Biometrika 61 (1974) 1-15): see half_width.
    """
    count, mean = len(windows), mean.reshape(-1)[cells]
    full = statistics(mean)
    if count < 2:
        return dict.fromkeys(full, nan)
    without, others = [], np.empty_like(mean)  # used again and again: most memory is in use by now
    for window in windows:
        np.multiply(mean, count, out=others)
        others -= window.reshape(-1)[cells]
        others /= count - 1
        without.append(statistics(others))
    return {
        name: half_width(np.array([count * value - (count - 1) * left[name] for left in without]), alike)
        for name, value in full.items()
    }


def half_width(values: np.ndarray, alike: Range = UNKNOWN) -> float:
    """Half-width of the 95 % interval of the mean of values (m,) of successive windows.

        t₀.₉₇₅(m - 1) √[s²/m · (1 + r)/(1 - r)]

    r is the correlation of neighbouring values, with its small-sample bias of -1/m put right, and within what is known
    of it; the factor is that of a process whose memory fades exponentially. On such a process of memory T the interval
    holds the true mean 95 times in 100 for windows of 5 T, 91 to 94 times for 2 T, and 85 to 93 times for 1 T (4 to 32
    windows) if nothing is known of r. Of shorter windows that promises too much; where the least of r is known, 8 or 16
    of them hold it 86 to 93 times.
    """
    count = values.size
    off = values - values.mean()
    squares = float(off @ off)
    if squares == 0.0:
        return 0.0
    least, most = alike
    r = min(max(float(off[1:] @ off[:-1]) / squares + 1 / count, least), most)
    return float(stdtrit(count - 1, 0.975)) * sqrt(squares / (count - 1) / count * (1 + r) / (1 - r))


def half_width_of_difference(one: Doubt, other: Doubt, wrong: float) -> float:
    """Half-width of the interval of the difference of two independent figures.

        t √[s₁² + s₂²],  with f = (s₁² + s₂²)² / [s₁⁴/(m₁ - 1) + s₂⁴/(m₂ - 1)] degrees of freedom

    wrong   share of cases in which the interval may miss the true difference [-]

    B. L. Welch, Biometrika 34 (1947) 28-35; m counts the independent looks at the flow.
    """
    squares = [each.variance for each in (one, other)]
    whole = sum(squares)
    if not whole > 0:
        return whole
    parts = (square**2 / (each.looks - 1) for square, each in zip(squares, (one, other), strict=True) if square)
    return float(stdtrit(whole**2 / sum(parts), 1 - wrong / 2)) * sqrt(whole)


def half_width_at(doubt: Doubt, wrong: float) -> float:
    """Half-width of a figure's interval that may miss the truth in a share of cases [-]."""
    return half_width_of_difference(doubt, Doubt(0.0, 2, 2.0), wrong)
