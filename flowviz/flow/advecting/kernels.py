"""The loops of advection and pressure; faces and cells as in grid/grid.py.

Planes across x are laid out one after the other, each as lines with room on either side, so that each neighbour is at
a fixed distance and no edge is a case of its own: in shut faces and beyond the box all flows are 0. Lines hold u, v and
w, then each times the open shares, then the others below. Of planes the last three are kept, so that values stand at

    start of a plane + line span + n,    n = j row + k,    row = nz + 1,    j = 0 ... ny

first, last     the planes to do, first <= i < last, so that threads can share a grid
laid, here      all that is laid out; where a plane starts in it
back, on        how far, along each axis, the value before is, and the one behind
"""

import numpy as np
from numba import njit

FAST = {"contract", "arcp", "nsz"}  # not the flags that would let numbers that are none pass unseen
kernel = njit(nogil=True, cache=True, fastmath=FAST, error_model="numpy", no_cfunc_wrapper=True)
part = njit(
    nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True, fastmath=FAST, error_model="numpy"
)  # called from kernels only
place = np.uint64  # of a value; one that could be negative would be taken for a count from the end, one by one

ZERO, QUARTER = np.float32(0), np.float32(0.25)
NEXT = place(1)
FLOW, P, NET, LINES = place(3), place(6), place(7), place(8)  # lines: + a [m/s]; [m²/s²]; what a velocity gains [m/s]


@kernel
def advance(first, last, velocity, p, shares, spacing, keep, dt, push, take, change, moved):
    """Replace change [m/s] by keep times itself plus what advection does within dt, and pressure within push.

    velocity    u, v, w [m/s]
    p           over density (nx, ny, nz) [m²/s²]
    shares      the open shares of the faces [-]
    spacing     hx, hy, hz [m]
    moved       the velocity and take times the change

    What a face between two volumes carries is the mean of their velocities times the mean of the flows: momentum is
    handed on and energy kept (F. H. Harlow, J. E. Welch, Phys. Fluids 8 (1965) 2182-2189).
    """
    _, ny, nz = p.shape
    hx, hy, hz = spacing
    rates, pushes = (QUARTER * dt / hx, QUARTER * dt / hy, QUARTER * dt / hz), (push / hx, push / hy, push / hz)
    row, size = place(nz + 1), place((ny + 1) * (nz + 1))
    room = row + NEXT
    span = size + room + room
    laid = np.zeros(3 * np.int64(LINES * span), np.float32)
    for i in range(max(first - 1, 0), last + 1):
        newest, here, before = start(i, room, span), start(i - 1, room, span), start(i - 2, room, span)
        lay(p, i, row, laid, newest + P * span)
        for axis in range(3):
            own = newest + place(axis) * span
            weigh(velocity[axis], shares[axis], i, row, laid, own, own + FLOW * span)
        if i > first:
            back, on = (here - before, row, NEXT), (newest - here, row, NEXT)
            for axis in range(3):
                gather(here, place(axis), back, on, rates, pushes[axis], span, size, laid)
                own, net = here + place(axis) * span, here + NET * span
                move(laid, own, net, shares[axis], row, keep, take, i - 1, change[axis], moved[axis])


@part
def start(i, room, span):
    """Where plane i starts."""
    return place(i % 3) * LINES * span + room


@part
def lay(values, i, row, laid, here):
    """Lay out plane i of values; 0 beyond the last."""
    for j in range(place(values.shape[1])):
        for k in range(place(values.shape[2])):
            laid[here + j * row + k] = values[i, j, k] if i < len(values) else ZERO


@part
def weigh(values, share, i, row, laid, here, flow):
    """Lay out plane i of values, and open shares times values; 0 beyond the last."""
    for j in range(place(values.shape[1])):
        for k in range(place(values.shape[2])):
            n, value = j * row + k, values[i, j, k] if i < len(values) else ZERO
            laid[here + n] = value
            laid[flow + n] = share[i, j, k] * value if i < len(values) else ZERO


@part
def gather(here, a, back, on, rates, push, span, size, laid):
    """Write what comes into volumes through six sides and by pressure."""
    x, y, z = here + FLOW * span, here + FLOW * span + span, here + P * span - span
    own, p, out = here + a * span, here + P * span, here + NET * span
    back_x, back_y, back_z = back
    on_x, on_y, on_z = on
    rate_x, rate_y, rate_z = rates
    to_twin, to_twin_behind = back[a], on[a]  # from a face round the volume to the one beside it across a
    for n in range(size):
        m = own + n
        across_x = carry(laid, x + n, to_twin, m - back_x, m) - carry(laid, x + n + on_x, to_twin_behind, m, m + on_x)
        across_y = carry(laid, y + n, to_twin, m - back_y, m) - carry(laid, y + n + on_y, to_twin, m, m + on_y)
        across_z = carry(laid, z + n, to_twin, m - back_z, m) - carry(laid, z + n + on_z, to_twin, m, m + on_z)
        net = rate_x * across_x + rate_y * across_y + rate_z * across_z
        laid[out + n] = net + push * (laid[p + n - to_twin] - laid[p + n])


@part
def carry(laid, flow, to_twin, low, high):
    """What goes from a volume to the next one: its two flows, and the velocities on either side [m²/s², times 4]."""
    return (laid[flow - to_twin] + laid[flow]) * (laid[low] + laid[high])


@part
def move(laid, own, net, share, row, keep, take, i, change, moved):
    """Replace plane i of change by keep times itself plus net, where faces are open; move the velocity on by it."""
    for j in range(place(moved.shape[1])):
        for k in range(place(moved.shape[2])):
            n = j * row + k
            change[i, j, k] = keep * change[i, j, k] + (laid[net + n] if share[i, j, k] > ZERO else ZERO)
            moved[i, j, k] = laid[own + n] + take * change[i, j, k]
