"""Loops that set up the levels of the multigrid solver; t, scale and place as in flow/pressure/kernels.py."""

import numpy as np
from numba import njit

kernel = njit(cache=True, fastmath=True)


@kernel
def lay_out(open_x, open_y, open_z, place, full, t):
    """Write what the faces of the first level let through into t, by colour: open share times full [m]."""
    for i in range(place[3]):
        for j in range(place[4]):
            n = 2 * place[0] + i * place[1] + j * place[2]
            for k in range(place[5]):
                colour, q = (n + k) & 1, (n + k) >> 1
                t[colour, 0, q] = full[0] * open_x[i, j, k]
                t[colour, 1, q] = full[1] * open_y[i, j, k]
                t[colour, 2, q] = full[2] * open_z[i, j, k]


@kernel
def weigh(place, t, scale):
    """Write one over the sum of each cell's six t into scale."""
    first = place[0]
    for colour in range(2):
        own, other, scales = t[colour], t[1 - colour], scale[colour, first:]
        left, front, below = own[0, first:], own[1, first:], own[2, first:]
        right = other[0, first + (place[1] + colour) // 2 :]
        back = other[1, first + (place[2] + colour) // 2 :]
        above = other[2, first + colour :]
        for q in range((place[3] * place[1] + 1 - colour) // 2):
            through = left[q] + front[q] + below[q] + right[q] + back[q] + above[q]
            scales[q] = 1 / through if through > 0 else np.float32(0)


@kernel
def coarsen(place, t, low, low_t):
    """Join the faces of eight cells: their areas together, over twice the distance."""
    half = np.float32(0.5)
    for i in range(low[3]):
        for j in range(low[4]):
            n = 2 * low[0] + i * low[1] + j * low[2]
            for k in range(low[5]):
                x, y, z = np.float32(0), np.float32(0), np.float32(0)
                for a in range(2):
                    for b in range(2):
                        m = 2 * place[0] + 2 * (i * place[1] + j * place[2] + k)
                        in_x, in_y, in_z = m + a * place[2] + b, m + a * place[1] + b, m + a * place[1] + b * place[2]
                        x += t[in_x & 1, 0, in_x >> 1]
                        y += t[in_y & 1, 1, in_y >> 1]
                        z += t[in_z & 1, 2, in_z >> 1]
                colour, q = (n + k) & 1, (n + k) >> 1
                low_t[colour, 0, q], low_t[colour, 1, q], low_t[colour, 2, q] = half * x, half * y, half * z


@kernel
def incline(place, t, full, boxes):
    """Write a quarter of the open share of lower faces into the first three boxes."""
    for axis in range(3):
        per = np.float32(0.25) / full[axis]
        for i in range(place[3]):
            for j in range(place[4]):
                n = 2 * place[0] + i * place[1] + j * place[2]
                for k in range(place[5]):
                    boxes[axis, i + 1, j + 1, k + 1] = per * t[(n + k) & 1, axis, (n + k) >> 1]
