"""Where the water is faster or slower in one study than in another, beyond the noise."""

from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from flowviz.comparison.noise import doubt_in
from flowviz.comparison.places import in_the_places_of
from flowviz.flow.memory import likeness
from flowviz.study import Study

WRONG = 0.01  # share of the cells in which noise may pass for a change
# share of all cells that chance alone may take beyond that, neighbours going together: of 91 pairs of sketches of one
# tank, each of twelve marches, it took 1.4 % on average and less than 4.6 % in 97 of 100
BY_CHANCE = 0.05
UNKNOWN = 1e6  # variance of what is not known [m²/s²]


@dataclass(frozen=True, slots=True, eq=False)
class SpeedChange:
    """Change of the time-mean speed in the cells of the later study."""

    speed: np.ndarray  # (nx, ny, nz) [m/s]; 0 where not both have water
    faster: np.ndarray  # (nx, ny, nz) bool, beyond the noise
    slower: np.ndarray
    beyond_chance: bool  # whether these are more of the water than chance alone may take


def speed_change(before: Study, after: Study) -> SpeedChange:
    """What became of the speed, cell by cell; the water in rubble is left out."""
    water = after.grid.clear & in_the_places_of(after.grid, before.grid.clear, before.grid)
    change = np.where(water, after.field.speed - in_the_places_of(after.grid, before.field.speed, before.grid), 0)
    then, now = in_the_places_of(after.grid, variance(before), before.grid), variance(after)
    whole = np.maximum(then + now, np.finfo(np.float32).tiny)
    beyond = abs(change) > np.sqrt(whole) * stdtrit(freedom(then, now, before, after, whole), 1 - WRONG / 2)
    told = water & beyond
    many = np.count_nonzero(told) > BY_CHANCE * np.count_nonzero(after.grid.clear)
    return SpeedChange(change, told & (change > 0), told & (change < 0), many)


def variance(study: Study) -> np.ndarray:
    """Of the time-mean speed in each cell [m²/s²]; beyond any speed where there is one window only."""
    windows = study.field.batches
    if len(windows) < 2:
        return np.full(study.grid.shape, UNKNOWN)
    alike, _ = likeness(study.grid, study.field)
    return windows.var(axis=0, ddof=1) / len(windows) * (1 + alike) / (1 - alike)


def freedom(then: np.ndarray, now: np.ndarray, before: Study, after: Study, whole: np.ndarray) -> np.ndarray:
    """Degrees of freedom of their sum: Welch's, see flow/intervals.py."""
    looks = [doubt_in(0.0, study.grid, study.field).looks - 1 for study in (before, after)]
    shares = np.minimum(then / whole, 1.0), np.minimum(now / whole, 1.0)
    return 1 / np.maximum(shares[0] ** 2 / looks[0] + shares[1] ** 2 / looks[1], 1e-6)
