"""The loops of advection and pressure; faces and cells as in grid/grid.py.

Planes across x are laid out one after the other, each as one long row with room on either side, so that each neighbour
is at a fixed distance and no edge is a case of its own: in shut faces and beyond the box all flows are 0.

    n = j row + k,    row = nz + 1,    j = 0 ... ny

first, last         the planes to do, first <= i < last, so that threads can share a grid
velocity, shares    u, v, w [m/s]; the open shares of their faces [-]
spacing             hx, hy, hz [m]
"""

import numpy as np
from numba import njit

FAST = {"contract", "arcp", "nsz"}  # not the flags that would let numbers that are none pass unseen
kernel = njit(nogil=True, cache=True, fastmath=FAST, error_model="numpy", no_cfunc_wrapper=True)
part = njit(
    nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True, fastmath=FAST, error_model="numpy"
)  # called from kernels only

ZERO, QUARTER = np.float32(0), np.float32(0.25)
U, V, W, FLOW_X, FLOW_Y, FLOW_Z, P = range(7)  # of a plane: velocities, these times the open shares, pressure


@kernel
def advance(first, last, velocity, p, shares, spacing, keep, dt, push, take, change, moved):
    """Replace change [m/s] by keep times itself plus what advection does within dt, and pressure within push.

    p        over density (nx, ny, nz) [m²/s²]
    moved    the velocity and take times the change

    What a face between two volumes carries is the mean of their velocities times the mean of the flows: momentum is
    handed on and energy kept (F. H. Harlow, J. E. Welch, Phys. Fluids 8 (1965) 2182-2189).
    """
    nx, ny, nz = p.shape
    hx, hy, hz = spacing
    u, v, w = velocity
    x, y, z = shares
    row, size = nz + 1, (ny + 1) * (nz + 1)
    room = row + 1
    planes, net = np.zeros((3, 7, size + 2 * room), np.float32), np.empty((3, size), np.float32)
    rates, pushes = (QUARTER * dt / hx, QUARTER * dt / hy, QUARTER * dt / hz), (push / hx, push / hy, push / hz)
    for i in range(max(first - 1, 0), last + 1):
        plane = planes[i % 3]
        if i < nx:
            lay(u[i], x[i], room, row, plane[U], plane[FLOW_X])
            lay(v[i], y[i], room, row, plane[V], plane[FLOW_Y])
            lay(w[i], z[i], room, row, plane[W], plane[FLOW_Z])
            copy(p[i], room, row, plane[P])
        else:
            plane[:] = ZERO
        if i > first:
            advect(planes[(i + 1) % 3], planes[(i + 2) % 3], plane, room, row, rates, pushes, net)
            for axis in range(3):
                laid = planes[(i + 2) % 3, axis, room:]
                move(laid, net[axis], shares[axis][i - 1], row, keep, take, change[axis][i - 1], moved[axis][i - 1])


@part
def copy(values, room, row, laid):
    """Lay out a plane (ny, nz)."""
    for j in range(values.shape[0]):
        own, out = values[j], laid[room + j * row :]
        for k in range(len(own)):
            out[k] = own[k]


@part
def lay(velocity, share, room, row, along, flow):
    """Lay out a plane of one velocity (ny, nz), and of the velocity times the open share."""
    copy(velocity, room, row, along)
    for j in range(velocity.shape[0]):
        own, opened, out = velocity[j], share[j], flow[room + j * row :]
        for k in range(len(own)):
            out[k] = opened[k] * own[k]


@part
def advect(before, here, behind, o, row, rates, pushes, net):
    """Write what advection and pressure bring to u, v, w (3, size) of the plane between two others."""
    u, v, w, x, y, z, p = here[U], here[V], here[W], here[FLOW_X], here[FLOW_Y], here[FLOW_Z], here[P]
    x_before, x_behind, y_before, z_before = before[FLOW_X], behind[FLOW_X], before[FLOW_Y], before[FLOW_Z]
    front, back, below, above = o - row, o + row, o - 1, o + 1

    beside = before[U, o:], behind[U, o:], u[front:], u[back:], u[below:], u[above:]
    across_x = x_before[o:], x[o:], x[o:], x_behind[o:]
    across_y = y_before[o:], y[o:], y_before[back:], y[back:]
    across_z = z_before[o:], z[o:], z_before[above:], z[above:]
    sum_up(u[o:], beside, (across_x, across_y, across_z), rates, (before[P, o:], p[o:]), pushes[0], net[0])

    beside = before[V, o:], behind[V, o:], v[front:], v[back:], v[below:], v[above:]
    across_x = x[front:], x[o:], x_behind[front:], x_behind[o:]
    across_y = y[front:], y[o:], y[o:], y[back:]
    across_z = z[front:], z[o:], z[front + 1 :], z[above:]
    sum_up(v[o:], beside, (across_x, across_y, across_z), rates, (p[front:], p[o:]), pushes[1], net[1])

    beside = before[W, o:], behind[W, o:], w[front:], w[back:], w[below:], w[above:]
    across_x = x[below:], x[o:], x_behind[below:], x_behind[o:]
    across_y = y[below:], y[o:], y[back - 1 :], y[back:]
    across_z = z[below:], z[o:], z[o:], z[above:]
    sum_up(w[o:], beside, (across_x, across_y, across_z), rates, (p[below:], p[o:]), pushes[2], net[2])


@part
def sum_up(own, beside, flows, rates, pressures, push, net):
    """Write what comes into volumes through six sides, each with a neighbour and a pair of flows, and by pressure."""
    left, right, front, back, below, above = beside
    (on_a, on_b, off_a, off_b), (front_a, front_b, back_a, back_b), (below_a, below_b, above_a, above_b) = flows
    rate_x, rate_y, rate_z = rates
    low, high = pressures
    for n in range(len(net)):
        here = own[n]
        across_x = (on_a[n] + on_b[n]) * (left[n] + here) - (off_a[n] + off_b[n]) * (here + right[n])
        across_y = (front_a[n] + front_b[n]) * (front[n] + here) - (back_a[n] + back_b[n]) * (here + back[n])
        across_z = (below_a[n] + below_b[n]) * (below[n] + here) - (above_a[n] + above_b[n]) * (here + above[n])
        net[n] = rate_x * across_x + rate_y * across_y + rate_z * across_z + push * (low[n] - high[n])


@part
def move(laid, net, share, row, keep, take, change, moved):
    """Replace a plane of change by keep times itself plus net, where faces are open; move the velocity on by it."""
    for j in range(change.shape[0]):
        own, more, opened, out, on = laid[j * row :], net[j * row :], share[j], change[j], moved[j]
        for k in range(len(out)):
            out[k] = keep * out[k] + (more[k] if opened[k] > ZERO else ZERO)
        for k in range(len(out)):
            on[k] = own[k] + take * out[k]
