"""The loops of what smooths the motion: viscous and subgrid stress, and the upwind share of the advection.

Planes across x are laid out as for the advection, with more lines: u, v and w, then 1 where their faces are open, then
the others below. Of planes the last four are kept, so that values stand at

    start of a plane + line span + n,    n = j row + k,    row = nz + 1,    j = 0 ... ny

and neighbours along an axis at fixed distances, whatever the line. Stresses along one axis lie in cells, those of two
on edges: at n, on the edge where the cell's lower faces across them meet.

first, last         the planes to do, first <= i < last, so that threads can share a grid
laid, here          all that is laid out; where a plane starts in it
a, b                two axes: of a velocity, and the one that it is carried across
twice, back, on     how far, along each axis, the second value before is, the one before, the one behind
"""

from math import sqrt

import numpy as np
from numba import njit

FAST = {"contract", "arcp", "nsz"}  # not the flags that would let numbers that are none pass unseen
kernel = njit(nogil=True, cache=True, fastmath=FAST, error_model="numpy", no_cfunc_wrapper=True)
part = njit(
    nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True, fastmath=FAST, error_model="numpy"
)  # called from kernels only
place = np.uint64  # of a value; one that could be negative would be taken for a count from the end, one by one

ZERO, ONE, TWO, THREE = np.float32(0), np.float32(1), np.float32(2), np.float32(3)
HALF, QUARTER = np.float32(0.5), np.float32(0.25)
ORIGIN, NEXT, AXES = place(0), place(1), place(3)
EDGES = (place(0), place(1)), (place(0), place(2)), (place(1), place(2))
FREE, SHARE, NU = place(3), place(6), place(7)  # lines: + a, 1 where faces are open; upwind share; viscosity [m²/s]
STRESS, EDGE = place(8), place(10)  # lines: + a, in cells; + a + b, on edges; strains [1/s], then stresses [m²/s²]
FLUX, NET, LINES = place(14), place(23), place(24)  # lines: + 3 a + b [m²/s²]; what they bring a velocity [m/s]


@kernel
def smooth(first, last, velocity, shares, share, spacing, length, nu, dt, viscosity, moved):
    """Write what the velocity becomes by stress and smoothing within dt into moved, and the viscosity of cells.

    velocity, shares    u, v, w [m/s]; the open shares of their faces [-]
    share               (nx, ny, nz) of third-order upwind in the advection, over 12
    spacing, length     hx, hy, hz; of the subgrid eddies [m]
    viscosity           (nx, ny, nz) molecular, nu, and subgrid [m²/s]
    """
    _, ny, nz = viscosity.shape
    hx, hy, hz = spacing
    per, rates = (ONE / hx, ONE / hy, ONE / hz), (dt / hx, dt / hy, dt / hz)
    row, size = place(nz + 1), place((ny + 1) * (nz + 1))
    room = row + row
    span = size + room + room
    laid = np.zeros(4 * np.int64(LINES * span), np.float32)
    for i in range(max(first - 2, 0), last + 2):
        newest, here = start(i, room, span), start(i - 1, room, span)
        before, second = start(i - 2, room, span), start(i - 3, room, span)
        on, back, twice = (newest - here, row, NEXT), (here - before, row, NEXT), (here - second, room, NEXT + NEXT)
        lay(share, i, row, laid, newest + SHARE * span)
        for axis in range(3):
            own = newest + place(axis) * span
            lay(velocity[axis], i, row, laid, own)
            mark(shares[axis], i, row, laid, own + FREE * span)
        for a, b in EDGES:
            strain(newest, a, b, on, per, span, size, laid)
        if i >= first:
            stir(here, on, per, length, nu, span, size, laid)
            for a, b in EDGES:
                hold(here, a, b, back, span, size, laid)
        if first < i <= last:
            keep(laid, here + NU * span, row, i - 1, viscosity)
        if i > first:
            for a in range(AXES):
                for b in range(AXES):
                    bend(here, a, b, twice, back, on, span, size, laid)
        if i > first + 1:
            for axis in range(3):
                gather(before, place(axis), back, rates, span, size, laid)
                own, net = before + place(axis) * span, before + NET * span
                move(laid, own, net, shares[axis], row, i - 2, moved[axis])


@part
def start(i, room, span):
    """Where plane i starts."""
    return place(i % 4) * LINES * span + room


@part
def lay(values, i, row, laid, here):
    """Lay out plane i of values; 0 beyond the last."""
    for j in range(place(values.shape[1])):
        for k in range(place(values.shape[2])):
            laid[here + j * row + k] = values[i, j, k] if i < len(values) else ZERO


@part
def mark(share, i, row, laid, here):
    """Lay out 1 where faces of plane i are open; 0 beyond the last."""
    for j in range(place(share.shape[1])):
        for k in range(place(share.shape[2])):
            laid[here + j * row + k] = ONE if i < len(share) and share[i, j, k] > ZERO else ZERO


@part
def strain(here, a, b, back, per, span, size, laid):
    """Write ∂a/∂b + ∂b/∂a of the edges of a plane [1/s]; 0 where a face beside one is shut: walls come later."""
    per_a, per_b, free, out = per[a], per[b], FREE * span, here + (EDGE + a + b) * span
    one, other = here + a * span, here + b * span
    one_back, other_back = one - back[b], other - back[a]
    for n in range(size):
        both = per_b * (laid[one + n] - laid[one_back + n]) + per_a * (laid[other + n] - laid[other_back + n])
        free_one = laid[free + one + n] * laid[free + one_back + n]
        laid[out + n] = free_one * laid[free + other + n] * laid[free + other_back + n] * both


@part
def stir(here, on, per, length, nu, span, size, laid):
    """Write the viscosity of the cells of a plane, ν + length² √(2 Sij Sij) [m²/s], and the stresses within them.

    J. Smagorinsky, Mon. Weather Rev. 91 (1963) 99-164; the shear of a cell is the root of the mean square on its edges.
    """
    x, y, z = on
    per_x, per_y, per_z = per
    u, v, w = here, here + span, here + AXES * span - span
    xx, xy, viscosity = here + STRESS * span, here + (EDGE + NEXT) * span, here + NU * span
    yy, zz, xz, yz = xx + span, xx + span + span, xy + span, xy + span + span
    for n in range(size):
        across_x, across_y = per_x * (laid[u + x + n] - laid[u + n]), per_y * (laid[v + y + n] - laid[v + n])
        across_z = per_z * (laid[w + z + n] - laid[w + n])
        shear = squares(laid, xy + n, x, y) + squares(laid, xz + n, x, z) + squares(laid, yz + n, y, z)
        along = across_x * across_x + across_y * across_y + across_z * across_z
        stirred = nu + length * length * sqrt(TWO * along + QUARTER * shear)
        laid[viscosity + n], laid[xx + n] = stirred, TWO * stirred * across_x
        laid[yy + n], laid[zz + n] = TWO * stirred * across_y, TWO * stirred * across_z


@part
def squares(laid, n, a, b):
    """Sum of the squares of what stands at n and behind it along two axes."""
    one, two, three, four = laid[n], laid[n + a], laid[n + b], laid[n + a + b]
    return one * one + two * two + three * three + four * four


@part
def hold(here, a, b, back, span, size, laid):
    """Turn the strain of the edges of a plane into stress [m²/s²], by the viscosity of the cells round each."""
    nu, out = here + NU * span, here + (EDGE + a + b) * span
    nu_a, nu_b, nu_both = nu - back[a], nu - back[b], nu - back[a] - back[b]
    for n in range(size):
        laid[out + n] *= QUARTER * (laid[nu + n] + laid[nu_a + n] + laid[nu_b + n] + laid[nu_both + n])


@part
def keep(laid, here, row, i, values):
    """Write into plane i of values what is laid out."""
    for j in range(place(values.shape[1])):
        for k in range(place(values.shape[2])):
            values[i, j, k] = laid[here + j * row + k]


@part
def bend(here, a, b, twice, back, on, span, size, laid):
    """Write the flux that smooths the bends of a velocity, four of it in a row, less the stress [m²/s²].

    It is the part of third-order upwind advection that is not central: the third difference times the carrying speed.
    """
    own, carrier, free, out = here + a * span, here + b * span, FREE * span, here + (FLUX + AXES * a + b) * span
    first, before, behind, other_carrier = own - twice[b], own - back[b], own + on[b], carrier - back[a]
    share = here + SHARE * span - (back[b] if a == b else ORIGIN)
    stress = here - back[b] + (STRESS + a) * span if a == b else here + (EDGE + a + b) * span
    for n in range(size):
        bent = laid[behind + n] - laid[first + n] - THREE * (laid[own + n] - laid[before + n])
        bent *= laid[free + first + n] * laid[free + before + n] * laid[free + own + n] * laid[free + behind + n]
        carried = HALF * laid[share + n] * abs(laid[carrier + n] + laid[other_carrier + n]) * bent
        laid[out + n] = carried - laid[stress + n]


@part
def gather(here, a, on, rates, span, size, laid):
    """Write what fluxes bring to a velocity."""
    x, out = here + (FLUX + AXES * a) * span, here + NET * span
    y, z = x + span, x + span + span
    x_on, y_on, z_on = x + on[0], y + on[1], z + on[2]
    rate_x, rate_y, rate_z = rates
    for n in range(size):
        brought = rate_x * (laid[x + n] - laid[x_on + n]) + rate_y * (laid[y + n] - laid[y_on + n])
        laid[out + n] = brought + rate_z * (laid[z + n] - laid[z_on + n])


@part
def move(laid, own, net, share, row, i, moved):
    """Write into plane i of moved the velocity, and net where faces are open."""
    for j in range(place(moved.shape[1])):
        for k in range(place(moved.shape[2])):
            n = j * row + k
            moved[i, j, k] = laid[own + n] + (laid[net + n] if share[i, j, k] > ZERO else ZERO)
