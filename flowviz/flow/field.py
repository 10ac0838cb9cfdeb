"""The answer of the flow solver: a velocity in every cell, its mean and its fluctuation, and how well it was solved."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, slots=True, eq=False)
class Quality:
    """How well a field was solved."""

    balance_error: float  # the larger of the openings' net flow and the worst cell's, against total inflow [-]
    steps: int  # time steps marched
    simulated: float  # time marched [s]
    averaged: float  # time of it that the means were taken over [s]
    steady: bool  # the statistics reached the precision that was asked for
    marches: int = 1  # independent ones that were taken together; more than one: each is a window


@dataclass(frozen=True, slots=True, eq=False)
class Field:
    """How the water moves on a grid (drawn in grid/grid.py).

    Dead and too-strong water is judged by `speed`, the time-mean of |u|, which is what detritus and corals feel; it is
    never smaller than the speed of the mean velocity. Shut faces hold 0; those that slanting walls shut, the velocity
    of the water that runs along them (flow/slanting.py).
    """

    u: np.ndarray  # (nx+1, ny, nz) float32, mean velocity in the open part of faces across x [m/s]
    v: np.ndarray  # (nx, ny+1, nz)
    w: np.ndarray  # (nx, ny, nz+1)
    speed: np.ndarray  # (nx, ny, nz) float32, time-mean of |u| in the cell [m/s]; 0 outside the water
    fluctuation: np.ndarray  # (nx, ny, nz) float32, rms of u about its mean, √(u'² + v'² + w'²) [m/s]
    batches: np.ndarray  # (m, nx, ny, nz) float32, `speed` over m successive windows of equal length, whose mean it is
    quality: Quality

    def velocity(self) -> np.ndarray:
        """Mean velocity in the middle of cells (nx, ny, nz, 3) float32 [m/s]."""
        return np.stack(
            (
                (self.u[1:] + self.u[:-1]) / 2,
                (self.v[:, 1:] + self.v[:, :-1]) / 2,
                (self.w[:, :, 1:] + self.w[:, :, :-1]) / 2,
            ),
            axis=-1,
        )
