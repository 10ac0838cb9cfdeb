"""The lighter loops of a march: walls, openings, pushes, the step's limit, sums over time.

first, last     the planes across x to do, first <= i < last
velocity        u, v, w [m/s]
"""

from math import sqrt

import numpy as np
from numba import njit

kernel = njit(nogil=True, cache=True, error_model="numpy", no_cfunc_wrapper=True)
part = njit(nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True, error_model="numpy")  # called from kernels only
place = np.uint64  # of a value; one that could be negative would be taken for a count from the end, one by one

ZERO, HALF, QUARTER, NONE = np.float32(0), np.float32(0.5), np.float32(0.25), np.int64(0)


@kernel
def rub(first, last, starts, face, beyond, beside, across, steps, law, gives, given, along, one, other, dt, moved):
    """Add to what has moved along an axis what walls, and the eddies beside them, do within dt [m/s].

        dU/dt = drive - max(laminar, turbulent) U + mixing √(turbulent |U|) (U beyond - U)
        turbulent = smooth |U|^(3/4) + rough |U|

    and what mixing gives to the one, it takes from the next one away from the wall.

    starts (nx + 1,)        of each plane among those that follow
    face, beyond (n,)       places in the flat velocity along the axis of the face along the wall, and of the next one
    beside, across (n,)     of the first of four faces round the face along the wall, in one and the other
    steps (2, 2)            from there to the second and to the third of four, in one and the other
    law (5, n)              laminar, smooth, rough, drive, mixing
    gives (nx + 1,)         of each plane among given
    given (m,)              which of the n give to what is in that plane

    In three loops, so that the roots, which take longest, are taken many at a time.
    """
    start, own = place(starts[first]), place(starts[last] - starts[first])
    start_given, count = place(gives[first]), own + place(gives[last] - gives[first])
    squares, taken, apart = np.empty(count, np.float32), np.empty(count, np.float32), np.empty(count, np.float32)
    for n in range(count):
        m = start + n if n < own else place(given[start_given + n - own])
        a = along[face[m]]
        b = QUARTER * four(one, beside[m], steps[0, 0], steps[0, 1])
        c = QUARTER * four(other, across[m], steps[1, 0], steps[1, 1])
        squares[n], taken[n], apart[n] = a * a + b * b + c * c, a, along[beyond[m]] - a
    for n in range(own):
        m, speed = start + n, sqrt(squares[n])
        turbulent = wall_rate(speed, law[1, m], law[2, m])
        held = law[3, m] - max(law[0, m], turbulent) * taken[n]
        taken[n] = dt * (held + law[4, m] * sqrt(turbulent * speed) * apart[n])
    for n in range(own):
        moved[face[start + n]] += taken[n]
    for n in range(own, count):
        m, speed = place(given[start_given + n - own]), sqrt(squares[n])
        turbulent = wall_rate(speed, law[1, m], law[2, m])
        moved[beyond[m]] -= dt * law[4, m] * sqrt(turbulent * speed) * apart[n]


@part
def wall_rate(speed, smooth, rough):
    """Rate by which a turbulent wall takes velocity [1/s]."""
    root = sqrt(speed)
    return smooth * root * sqrt(root) + rough * speed


@part
def four(values, n, step, other):
    """Sum of four values, two steps from n."""
    return values[n] + values[n + step] + values[n + other] + values[n + other + step]


@kernel
def separate(first, last, starts, face, past, behind, step, law, along, across, third, dt, moved):
    """Add to what has moved along an axis what the water that comes past the edges of walls does within dt [m/s].

        dU/dt = -rate V (U - brought) where rate V > 0;    brought = slope V + other slope (W + W'), from 0 to U

    starts (nx + 1,)        of the edges of each plane among those that follow
    face, past (n,)         of the face along the axis, whose velocity is U, and of that across, whose velocity is V
    behind (n,)             of the first of two faces along the third axis, W, of the cell that the water comes from
    step                    from there to the second, W'
    law (3, n)              rate and the slopes of the wall

    Where brought is U advection is left as it is.
    """
    for n in range(place(starts[first]), place(starts[last])):
        own, speed = along[face[n]], across[past[n]]
        brought = law[1, n] * speed + law[2, n] * (third[behind[n]] + third[behind[n] + step])
        brought = min(max(brought, min(own, ZERO)), max(own, ZERO))
        moved[face[n]] -= dt * max(law[0, n] * speed, ZERO) * (own - brought)


@kernel
def run_on(faces, starts, beside, along):
    """Give each of some faces (n,) of a flat velocity the mean of those beside it, starts (n + 1,) telling which."""
    for n in range(faces.shape[0]):
        total = ZERO
        for m in range(starts[n], starts[n + 1]):
            total += along[beside[m]]
        along[faces[n]] = total / np.float32(starts[n + 1] - starts[n])


@kernel
def bring(places, shares, brought, wall, free, per, take, along, change, moved):
    """Add to the flat change what outlets bring along one axis, as Jets says, shared among the faces at places.

    per      the time over the volume of a cell [s/m³]
    along    flat velocity [m/s]
    moved    flat; gets take times as much
    """
    for n in range(places.shape[0]):
        there = along[free[n]]
        give(per * (brought[n] - wall[n] * there * there * QUARTER), n, places, shares, take, change, moved)


@kernel
def drain(places, shares, pulled, taken, per, take, along, change, moved):
    """The same of what intakes take, as Drains says."""
    for n in range(places.shape[0]):
        here = shares[n, 0] * along[places[n, 0]] + shares[n, 1] * along[places[n, 1]]
        give(per * (pulled[n] - taken[n] * here), n, places, shares, take, change, moved)


@kernel
def push(places, shares, kicks, take, change, moved):
    """Add kicks (n,), each shared among the faces at places (n, m) by shares (n, m), to the flat change [m/s].

    moved    flat; gets take times as much
    """
    for n in range(places.shape[0]):
        give(kicks[n], n, places, shares, take, change, moved)


@part
def give(kick, n, places, shares, take, change, moved):
    """Add the n-th kick to the faces that share it."""
    for face in range(places.shape[1]):
        there, more = places[n, face], kick * shares[n, face]
        change[there] += more
        moved[there] += take * more


@kernel
def crossing(first, last, velocity, spacing, fastest):
    """Write the largest |u|/hx + |v|/hy + |w|/hz [1/s] of each plane's cells into fastest (nx,), NaN if any is.

    By the bits of floats that have no sign: they stand in the order of the floats, what is no number at the end.
    """
    u, v, w = velocity
    hx, hy, hz = spacing
    for i in range(first, last):
        most = NONE
        for j in range(place(u.shape[1])):
            for k in range(place(u.shape[2])):
                across_x = max(abs(u[i, j, k]), abs(u[i + 1, j, k])) / hx
                across_y = max(abs(v[i, j, k]), abs(v[i, j + 1, k])) / hy
                across_z = max(abs(w[i, j, k]), abs(w[i, j, k + 1])) / hz
                most = max(most, np.int64(np.float32(across_x + across_y + across_z).view(np.int32)))
        fastest[i] = np.int32(most).view(np.float32)


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
