"""Loops of the flow through rubble.

    dU/dt = -(a + b |U|) U - ∂p/∂x

velocity, pressure, opened    on faces, in cells, of faces (bool)
push                          time that the pressure is still to act for, over hx, hy, hz [s/m]
"""

from math import sqrt

import numpy as np
from numba import njit

kernel = njit(nogil=True, cache=True, error_model="numpy")
part = njit(nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True)  # called from kernels only

ZERO, QUARTER, HALF, ONE, FOUR = np.float32(0), np.float32(0.25), np.float32(0.5), np.float32(1), np.float32(4)


@part
def gain(axis, i, j, k, pressure, opened, push):
    """What the pressure still does to the velocity on a face [m/s]."""
    if not opened[axis][i, j, k]:
        return ZERO
    low = pressure[i - (axis == 0), j - (axis == 1), k - (axis == 2)]
    return push[axis] * (low - pressure[i, j, k])


@part
def beside(axis, other, i, j, k, velocity, pressure, opened, push):
    """Mean velocity along another axis round a face, after all of the pressure [m/s]."""
    total = ZERO
    for back in range(2):
        for ahead in range(2):
            ii = i - back * (axis == 0) + ahead * (other == 0)
            jj = j - back * (axis == 1) + ahead * (other == 1)
            kk = k - back * (axis == 2) + ahead * (other == 2)
            total += velocity[other][ii, jj, kk] + gain(other, ii, jj, kk, pressure, opened, push)
    return QUARTER * total


@kernel
def resist(axis, faces, laws, velocity, pressure, opened, push, dt, resistance):
    """Write into resistance (n,) by how much the drag divides the velocity on faces (n, 3) across an axis within dt.

    laws    (n, 2) a [1/s] and b [1/m]

    U (1 + dt (a + b |U|)) = W, solved for |U|; W is the velocity after all of the pressure.
    """
    one, two = (axis + 1) % 3, (axis + 2) % 3
    for n in range(faces.shape[0]):
        i, j, k = faces[n]
        u = velocity[axis][i, j, k] + gain(axis, i, j, k, pressure, opened, push)
        v = beside(axis, one, i, j, k, velocity, pressure, opened, push)
        w = beside(axis, two, i, j, k, velocity, pressure, opened, push)
        slow, fast = ONE + dt * laws[n, 0], FOUR * dt * laws[n, 1] * sqrt(u * u + v * v + w * w)
        resistance[n] = HALF * (slow + sqrt(slow * slow + fast))


@kernel
def ease(axis, faces, resistance, pressure, opened, push, along):
    """Divide the velocity on faces (n, 3), as all of the pressure will leave it, by their resistance (n,)."""
    for n in range(faces.shape[0]):
        i, j, k = faces[n]
        more = gain(axis, i, j, k, pressure, opened, push)
        along[i, j, k] = (along[i, j, k] + more) / resistance[n] - more
