"""The loops of what smooths the motion: viscous and subgrid stress, and the upwind share of the advection.

Planes across x are laid out one after the other, each as one long row with room on either side, as for the advection.
Stresses lie in cells and on edges: those of plane i are its cells and the edges along x in it, and the edges between
the planes i - 1 and i.

first, last         the planes to do, first <= i < last, so that threads can share a grid
velocity, shares    u, v, w [m/s]; the open shares of their faces [-]
spacing             hx, hy, hz [m]
"""

from math import sqrt

import numpy as np
from numba import njit

FAST = {"contract", "arcp", "nsz"}  # not the flags that would let numbers that are none pass unseen
kernel = njit(nogil=True, cache=True, fastmath=FAST, error_model="numpy", no_cfunc_wrapper=True)
part = njit(
    nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True, fastmath=FAST, error_model="numpy"
)  # called from kernels only

ZERO, ONE, TWO, THREE = np.float32(0), np.float32(1), np.float32(2), np.float32(3)
HALF, QUARTER = np.float32(0.5), np.float32(0.25)
U, V, W, FREE_X, FREE_Y, FREE_Z, SHARE = range(7)  # of a plane: velocities, 1 where their faces are open, upwind share
XY, XZ, YZ, NU = range(4)  # of a plane: strains [1/s], then stresses [m²/s²]; viscosity [m²/s]
XX, YX, ZX, XY_FLUX, XZ_FLUX, YY, YZ_FLUX, ZZ, ZY = range(9)  # fluxes into a plane [m²/s²]; out of it the next one's


@kernel
def smooth(first, last, velocity, shares, share, spacing, length, nu, dt, viscosity, moved):
    """Write what the velocity becomes by stress and smoothing within dt into moved, and the viscosity of cells.

    share        (nx, ny, nz) of third-order upwind in the advection, over 12
    length       of the subgrid eddies [m]
    viscosity    (nx, ny, nz) molecular, nu, and subgrid [m²/s]
    """
    _, ny, nz = viscosity.shape
    hx, hy, hz = spacing
    row = nz + 1
    room, size = 2 * row, (ny + 1) * row
    planes, stresses = np.zeros((4, 7, size + 2 * room), np.float32), np.zeros((3, 4, size + 2 * room), np.float32)
    fluxes, net = np.zeros((2, 9, size + 2 * room), np.float32), np.empty((3, size), np.float32)
    stretched = np.empty(size, np.float32)
    per, rates = (ONE / hx, ONE / hy, ONE / hz), (dt / hx, dt / hy, dt / hz)
    for i in range(max(first - 2, 0), last + 2):
        lay(i, velocity, shares, share, room, row, planes[i % 4])
        strain_between(planes[(i + 3) % 4], planes[i % 4], room, row, size, per, stresses[i % 3])
        if i >= first:
            here, stress = planes[(i + 3) % 4], stresses[(i + 2) % 3]  # of plane i - 1
            strain_within(here, room, row, size, per, stress)
            stir(here, planes[i % 4], stresses[i % 3], room, row, size, per, length, nu, stress)
            hold(stresses[(i + 1) % 3], room, row, size, stress)
        if first < i <= last:
            keep(stresses[(i + 2) % 3, NU, room:], row, viscosity[i - 1])
        if i > first:
            bend_between(planes, i - 1, stresses, room, row, size, per, stretched, fluxes[(i + 1) % 2])
        if i - 2 >= first:
            bend_within(planes, i - 2, stresses[(i + 1) % 3], room, row, size, per, stretched, fluxes[i % 2])
            gather(fluxes[i % 2], fluxes[(i + 1) % 2], room, row, size, rates, net)
            for axis in range(3):
                laid = planes[(i + 2) % 4, axis, room:]
                move(laid, net[axis], shares[axis][i - 2], row, moved[axis][i - 2])


@part
def lay(i, velocity, shares, share, room, row, plane):
    """Lay out plane i; what lies beyond the box is 0."""
    plane[:] = ZERO
    for axis in range(3):
        if i < len(velocity[axis]):
            copy(velocity[axis][i], room, row, plane[U + axis])
            mark(shares[axis][i], room, row, plane[FREE_X + axis])
    if i < len(share):
        copy(share[i], room, row, plane[SHARE])


@part
def copy(values, room, row, laid):
    """Lay out values (ny, nz)."""
    for j in range(values.shape[0]):
        own, out = values[j], laid[room + j * row :]
        for k in range(len(own)):
            out[k] = own[k]


@part
def mark(share, room, row, laid):
    """Lay out 1 where faces (ny, nz) are open."""
    for j in range(share.shape[0]):
        own, out = share[j], laid[room + j * row :]
        for k in range(len(own)):
            out[k] = ONE if own[k] > ZERO else ZERO


@part
def strain_between(before, here, o, row, size, per, strains):
    """Write ∂u/∂y + ∂v/∂x and ∂u/∂z + ∂w/∂x [1/s] between two planes."""
    per_x, per_y, per_z = per
    u, v, w, x, y, z = here[U], here[V, o:], here[W, o:], here[FREE_X], here[FREE_Y, o:], here[FREE_Z, o:]
    front, below = o - row, o - 1
    free = x[front:], x[o:], before[FREE_Y, o:], y
    strain((u[front:], u[o:], before[V, o:], v), per_y, per_x, free, size, strains[XY, o:])
    free = x[below:], x[o:], before[FREE_Z, o:], z
    strain((u[below:], u[o:], before[W, o:], w), per_z, per_x, free, size, strains[XZ, o:])


@part
def strain_within(here, o, row, size, per, strains):
    """Write ∂v/∂z + ∂w/∂y [1/s]."""
    _, per_y, per_z = per
    v, w, y, z, front, below = here[V], here[W], here[FREE_Y], here[FREE_Z], o - row, o - 1
    free = y[below:], y[o:], z[front:], z[o:]
    strain((v[below:], v[o:], w[front:], w[o:]), per_z, per_y, free, size, strains[YZ, o:])


@part
def strain(velocities, per_a, per_b, free, size, out):
    """Write the strain of edges [1/s]; 0 where a face beside one is shut: walls come later."""
    a, a_next, b, b_next = velocities
    free_a, free_b, free_c, free_d = free
    for n in range(size):
        both = per_a * (a_next[n] - a[n]) + per_b * (b_next[n] - b[n])
        out[n] = free_a[n] * free_b[n] * free_c[n] * free_d[n] * both


@part
def stir(here, behind, edges_behind, o, row, size, per, length, nu, edges):
    """Write the viscosity of the cells of a plane, ν + length² √(2 Sij Sij) [m²/s].

    J. Smagorinsky, Mon. Weather Rev. 91 (1963) 99-164; the shear of a cell is the root of the mean square on its edges.
    """
    per_x, per_y, per_z = per
    next_xy, next_xz = edges_behind[XY], edges_behind[XZ]
    u, u_next, v, v_next = here[U, o:], behind[U, o:], here[V, o:], here[V, o + row :]
    w, w_next = here[W, o:], here[W, o + 1 :]
    yz, yz_up = edges[YZ, o:], edges[YZ, o + 1 :]
    yz_back, yz_both = edges[YZ, o + row :], edges[YZ, o + row + 1 :]
    xy, xy_back, xy_next, xy_both = edges[XY, o:], edges[XY, o + row :], next_xy[o:], next_xy[o + row :]
    xz, xz_up, xz_next, xz_both = edges[XZ, o:], edges[XZ, o + 1 :], next_xz[o:], next_xz[o + 1 :]
    out = edges[NU, o:]
    for n in range(size):
        shear = square(yz[n], yz_up[n], yz_back[n], yz_both[n]) + square(xy[n], xy_back[n], xy_next[n], xy_both[n])
        shear += square(xz[n], xz_up[n], xz_next[n], xz_both[n])
        xx, yy, zz = per_x * (u_next[n] - u[n]), per_y * (v_next[n] - v[n]), per_z * (w_next[n] - w[n])
        out[n] = nu + length * length * sqrt(TWO * (xx * xx + yy * yy + zz * zz) + QUARTER * shear)


@part
def square(a, b, c, d):
    """Sum of squares."""
    return a * a + b * b + c * c + d * d


@part
def hold(before, o, row, size, here):
    """Turn the strains of a plane into stresses [m²/s²], by the viscosity of the four cells round each edge."""
    nu, nu_before, front, below = here[NU], before[NU], o - row, o - 1
    multiply(nu[o:], nu[front:], nu_before[o:], nu_before[front:], size, here[XY, o:])
    multiply(nu[o:], nu[below:], nu_before[o:], nu_before[below:], size, here[XZ, o:])
    multiply(nu[o:], nu[below:], nu[front:], nu[front - 1 :], size, here[YZ, o:])


@part
def multiply(a, b, c, d, size, strains):
    """Multiply strains by the mean of four viscosities."""
    for n in range(size):
        strains[n] *= QUARTER * (a[n] + b[n] + c[n] + d[n])


@part
def keep(laid, row, values):
    """Write a plane (ny, nz) as laid out into values."""
    for j in range(values.shape[0]):
        own, out = laid[j * row :], values[j]
        for k in range(len(out)):
            out[k] = own[k]


@part
def bend_between(planes, i, stresses, o, row, size, per, stretched, fluxes):
    """Write the fluxes of u, v and w across x into plane i of volumes."""
    before, here = planes[(i + 3) % 4], planes[i % 4]
    u, share, stress, front, below = here[U], here[SHARE, o:], stresses[i % 3], o - row, o - 1
    stretch(stresses[(i + 2) % 3, NU, o:], before[U, o:], u[o:], per[0], size, stretched)
    four, free = across(planes, i, U, o), across(planes, i, FREE_X, o)
    bend(four, free, before[U, o:], u[o:], before[SHARE, o:], stretched, size, fluxes[XX, o:])
    four, free = across(planes, i, V, o), across(planes, i, FREE_Y, o)
    bend(four, free, u[front:], u[o:], share, stress[XY, o:], size, fluxes[YX, o:])
    four, free = across(planes, i, W, o), across(planes, i, FREE_Z, o)
    bend(four, free, u[below:], u[o:], share, stress[XZ, o:], size, fluxes[ZX, o:])


@part
def bend_within(planes, i, stress, o, row, size, per, stretched, fluxes):
    """Write the fluxes across y and z of plane i."""
    before, here = planes[(i + 3) % 4], planes[i % 4]
    u, v, w, share, nu = here[U], here[V], here[W], here[SHARE, o:], stress[NU, o:]
    front, below, back, above = o - row, o - 1, o + row, o + 1

    stretch(nu, v[o:], v[back:], per[1], size, stretched)
    four, free = along(v, o, row), along(here[FREE_Y], o, row)
    bend(four, free, v[o:], v[back:], share, stretched, size, fluxes[YY, o:])
    stretch(nu, w[o:], w[above:], per[2], size, stretched)
    four, free = along(w, o, 1), along(here[FREE_Z], o, 1)
    bend(four, free, w[o:], w[above:], share, stretched, size, fluxes[ZZ, o:])

    four, free = along(u, front, row), along(here[FREE_X], front, row)
    bend(four, free, before[V, o:], v[o:], share, stress[XY, o:], size, fluxes[XY_FLUX, o:])
    four, free = along(u, below, 1), along(here[FREE_X], below, 1)
    bend(four, free, before[W, o:], w[o:], share, stress[XZ, o:], size, fluxes[XZ_FLUX, o:])
    four, free = along(v, below, 1), along(here[FREE_Y], below, 1)
    bend(four, free, w[front:], w[o:], share, stress[YZ, o:], size, fluxes[YZ_FLUX, o:])
    four, free = along(w, front, row), along(here[FREE_Z], front, row)
    bend(four, free, v[below:], v[o:], share, stress[YZ, o:], size, fluxes[ZY, o:])


@part
def across(planes, i, which, o):
    """What plane i, the two before it and the one behind it hold."""
    first, before, here, behind = planes[(i + 2) % 4], planes[(i + 3) % 4], planes[i % 4], planes[(i + 1) % 4]
    return first[which, o:], before[which, o:], here[which, o:], behind[which, o:]


@part
def along(values, start, step):
    """What a place, the one before it and the two behind it hold."""
    return values[start - step :], values[start:], values[start + step :], values[start + 2 * step :]


@part
def stretch(nu, low, high, per, size, stress):
    """Write the stress along a velocity in cells [m²/s²]."""
    for n in range(size):
        stress[n] = TWO * nu[n] * per * (high[n] - low[n])


@part
def bend(four, free, carrier, other_carrier, share, stress, size, flux):
    """Write the flux that smooths the bends of a velocity, four of it in a row, less the stress [m²/s²].

    It is the part of third-order upwind advection that is not central: the third difference times the carrying speed.
    """
    a, b, c, d = four
    free_a, free_b, free_c, free_d = free
    for n in range(size):
        bent = free_a[n] * free_b[n] * free_c[n] * free_d[n] * (d[n] - a[n] - THREE * (c[n] - b[n]))
        flux[n] = HALF * share[n] * abs(carrier[n] + other_carrier[n]) * bent - stress[n]


@part
def gather(here, behind, o, row, size, rates, net):
    """Write what fluxes bring to u, v, w (3, size) of a plane."""
    front, below, back, above = o - row, o - 1, o + row, o + 1
    xy, xz, yy, yz, zz, zy = here[XY_FLUX], here[XZ_FLUX], here[YY], here[YZ_FLUX], here[ZZ], here[ZY]
    sum_up(here[XX, o:], behind[XX, o:], xy[o:], xy[back:], xz[o:], xz[above:], rates, size, net[0])
    sum_up(here[YX, o:], behind[YX, o:], yy[front:], yy[o:], yz[o:], yz[above:], rates, size, net[1])
    sum_up(here[ZX, o:], behind[ZX, o:], zy[o:], zy[back:], zz[below:], zz[o:], rates, size, net[2])


@part
def sum_up(on, off, front, back, below, above, rates, size, net):
    """Write what comes into volumes through six sides."""
    rate_x, rate_y, rate_z = rates
    for n in range(size):
        across_x, across_y, across_z = on[n] - off[n], front[n] - back[n], below[n] - above[n]
        net[n] = rate_x * across_x + rate_y * across_y + rate_z * across_z


@part
def move(laid, net, share, row, moved):
    """Write the velocity of a plane, and net where faces are open."""
    for j in range(moved.shape[0]):
        own, more, opened, out = laid[j * row :], net[j * row :], share[j], moved[j]
        for k in range(len(out)):
            out[k] = own[k] + (more[k] if opened[k] > ZERO else ZERO)
