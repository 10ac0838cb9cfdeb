"""The lighter loops of a march: walls, pushes, the step's limit, sums over time.

first, last     the planes across x to do, first <= i < last
velocity        u, v, w [m/s]
"""

from math import sqrt

import numpy as np
from numba import njit

kernel = njit(nogil=True, cache=True, error_model="numpy", no_cfunc_wrapper=True)

ZERO, HALF, QUARTER = np.float32(0), np.float32(0.5), np.float32(0.25)


@kernel
def rub(first, last, starts, face, beside, across, law, along, one, other, dt, moved):
    """Take from what has moved along an axis what walls take from the velocity along it within dt [m/s].

        dU/dt = drive - max(laminar, smooth |U|^(3/4) + rough |U|) U

    starts (nx + 1,)            of the faces of each plane among those that follow
    face (n,)                   places in the flat velocity along the axis
    beside, across (n, 4)       places of the faces round each in one and the other of the flat velocities
    law (4, n)                  laminar, smooth, rough, drive
    """
    for n in range(starts[first], starts[last]):
        a = along[face[n]]
        b = QUARTER * (one[beside[n, 0]] + one[beside[n, 1]] + one[beside[n, 2]] + one[beside[n, 3]])
        c = QUARTER * (other[across[n, 0]] + other[across[n, 1]] + other[across[n, 2]] + other[across[n, 3]])
        speed = sqrt(a * a + b * b + c * c)
        root = sqrt(speed)
        rate = max(law[0, n], law[1, n] * root * sqrt(root) + law[2, n] * speed)
        moved[face[n]] += dt * (law[3, n] - rate * a)


@kernel
def push(places, shares, kicks, take, change, moved):
    """Add kicks (n,), each shared among the faces at places (n, m) by shares (n, m), to the flat change [m/s].

    moved    flat; gets take times as much
    """
    for n in range(places.shape[0]):
        for face in range(places.shape[1]):
            kick = kicks[n] * shares[n, face]
            change[places[n, face]] += kick
            moved[places[n, face]] += take * kick


@kernel
def crossing(first, last, velocity, spacing, fastest):
    """Write the largest |u|/hx + |v|/hy + |w|/hz [1/s] of each plane's cells into fastest (nx,), NaN if any is."""
    u, v, w = velocity
    hx, hy, hz = spacing
    for i in range(first, last):
        most, broken = ZERO, ZERO
        for j in range(u.shape[1]):
            for k in range(u.shape[2]):
                across_x = max(abs(u[i, j, k]), abs(u[i + 1, j, k])) / hx
                across_y = max(abs(v[i, j, k]), abs(v[i, j + 1, k])) / hy
                across_z = max(abs(w[i, j, k]), abs(w[i, j, k + 1])) / hz
                here = across_x + across_y + across_z
                most = max(most, here)
                broken += here - here
        fastest[i] = most + broken


@kernel
def tally(first, last, velocity, dt, sums, path, squares):
    """Add dt times the velocity to sums, dt |u| to path and dt |u|² to squares (nx, ny, nz)."""
    u, v, w = velocity
    for i in range(first, last):
        for j in range(u.shape[1]):
            for k in range(u.shape[2]):
                a = HALF * (u[i, j, k] + u[i + 1, j, k])
                b = HALF * (v[i, j, k] + v[i, j + 1, k])
                c = HALF * (w[i, j, k] + w[i, j, k + 1])
                square = a * a + b * b + c * c
                path[i, j, k] += dt * sqrt(square)
                squares[i, j, k] += dt * square
        for axis in range(3):
            total, along = sums[axis], velocity[axis]
            for j in range(along.shape[1]):
                for k in range(along.shape[2]):
                    total[i, j, k] += dt * along[i, j, k]
