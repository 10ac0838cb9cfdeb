"""Loops of path lines: from face to face of each cell, exactly for a velocity that is linear across the cell."""

from math import expm1, inf, log1p

import numpy as np
from numba import njit

kernel = njit(cache=True)
part = njit(cache=True, no_cpython_wrapper=True, no_cfunc_wrapper=True)  # called from kernels only


@part
def time_to_leave(low, high, at):
    """When water at `at`, 0 to 1 across a cell, leaves it by either face [s]; low, high: velocity there [cells/s]."""
    here = low + (high - low) * at
    if here > 0 and high > 0:
        way, gain = (1 - at) / here, (high - here) / here
    elif here < 0 and low < 0:
        way, gain = -at / here, (low - here) / here
    else:
        return inf
    return way * (log1p(gain) / gain if gain != 0 else 1.0)


@part
def carried(low, high, at, time):
    """Where water at `at` is after a time within the cell."""
    growth = (high - low) * time
    return at + (low + (high - low) * at) * time * (expm1(growth) / growth if growth != 0 else 1.0)


@part
def face_speeds(i, j, k, spacing, room, open_x, open_y, open_z, u, v, w, low, high):
    """Write the velocity at a cell's lower and higher faces, spread over the open part of the cell [cells/s]."""
    share = room[i, j, k]
    low[0], high[0] = open_x[i, j, k] * u[i, j, k], open_x[i + 1, j, k] * u[i + 1, j, k]
    low[1], high[1] = open_y[i, j, k] * v[i, j, k], open_y[i, j + 1, k] * v[i, j + 1, k]
    low[2], high[2] = open_z[i, j, k] * w[i, j, k], open_z[i, j, k + 1] * w[i, j, k + 1]
    for axis in range(3):
        low[axis] /= spacing[axis] * share
        high[axis] /= spacing[axis] * share


@kernel
def follow(duration, spacing, room, open_x, open_y, open_z, u, v, w, ends, cell, at, line):
    """Follow the water in cell (3,) at (3,) in it and time (at[3]) until duration, an end or the end of line (n, 4).

    returned: how many points were written (place in cells, and time); cell and at go along
    """
    low, high = np.empty(3), np.empty(3)
    for n in range(len(line)):
        for axis in range(3):
            line[n, axis] = cell[axis] + at[axis]
        line[n, 3] = at[3]
        i, j, k = cell[0], cell[1], cell[2]
        if ends[i, j, k] or at[3] >= duration:
            return n + 1
        face_speeds(i, j, k, spacing, room, open_x, open_y, open_z, u, v, w, low, high)
        time, through = duration - at[3], -1
        for axis in range(3):
            until = time_to_leave(low[axis], high[axis], at[axis])
            if until < time:
                time, through = until, axis
        onward = through >= 0 and low[through] + (high[through] - low[through]) * at[through] > 0
        for axis in range(3):
            at[axis] = min(max(carried(low[axis], high[axis], at[axis], time), 0.0), 1.0)
        at[3] = at[3] + time if through >= 0 else duration
        if through >= 0:
            cell[through] += 1 if onward else -1
            at[through] = 0.0 if onward else 1.0
    return len(line)
