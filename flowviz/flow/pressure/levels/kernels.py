"""Loops that set up the levels of the multigrid solver; t, scale, boxes and place as in flow/pressure/kernels.py."""

import numpy as np
from numba import njit

kernel = njit(cache=True, fastmath=True, error_model="numpy", no_cfunc_wrapper=True)
part = njit(no_cpython_wrapper=True, no_cfunc_wrapper=True)  # called from kernels only


@part
def cell(n, place):
    """Where cell n of a level stands."""
    return np.uint64(place[6] + (n & 1) * place[7] + (n >> 1))


@kernel
def lay_out(open_x, open_y, open_z, place, full, t):
    """Write what the faces of the first level let through into t: open share times full [m]."""
    for i in range(place[3]):
        for j in range(place[4]):
            n = 2 * place[0] + i * place[1] + j * place[2]
            for k in range(place[5]):
                q = cell(n + k, place)
                t[0, q] = full[0] * open_x[i, j, k]
                t[1, q] = full[1] * open_y[i, j, k]
                t[2, q] = full[2] * open_z[i, j, k]


@kernel
def weigh(place, t, scale):
    """Write one over the sum of each cell's six t into scale."""
    for i in range(place[3]):
        for j in range(place[4]):
            n = 2 * place[0] + i * place[1] + j * place[2]
            for k in range(place[5]):
                q, right = cell(n + k, place), cell(n + k + place[1], place)
                behind, above = cell(n + k + place[2], place), cell(n + k + 1, place)
                through = t[0, q] + t[1, q] + t[2, q] + t[0, right] + t[1, behind] + t[2, above]
                scale[q] = 1 / through if through > 0 else np.float32(0)


@kernel
def coarsen(place, low, t):
    """Join the faces of eight cells: their areas together, over twice the distance."""
    row, plane = place[2], place[1]
    half = np.float32(0.5)
    for i in range(low[3]):
        for j in range(low[4]):
            m, n = 2 * (place[0] + i * plane + j * row), 2 * low[0] + i * low[1] + j * low[2]
            for k in range(low[5]):
                x = y = z = np.float32(0)
                for a in range(2):
                    for b in range(2):
                        x += t[0, cell(m + 2 * k + a * row + b, place)]
                        y += t[1, cell(m + 2 * k + a * plane + b, place)]
                        z += t[2, cell(m + 2 * k + a * plane + b * row, place)]
                q = cell(n + k, low)
                t[0, q], t[1, q], t[2, q] = half * x, half * y, half * z


@kernel
def incline(place, t, full, boxes):
    """Write a quarter of the open share of lower faces into the first three boxes (4, nx + 2, ny + 2, nz + 2)."""
    for axis in range(3):
        per = np.float32(0.25) / full[axis]
        for i in range(place[3]):
            for j in range(place[4]):
                n = 2 * place[0] + i * place[1] + j * place[2]
                for k in range(place[5]):
                    boxes[axis, i + 1, j + 1, k + 1] = per * t[axis, cell(n + k, place)]
