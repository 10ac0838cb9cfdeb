"""The loops of momentum: what advection, stress and pressure do to the velocity; faces and cells as in grid/grid.py.

Planes across x are done one after the other, so that all that is needed of the last three stays at hand. Within plane i
lie its cells and the edges along x; between the planes i - 1 and i lie the faces i across x and the other edges. The
flux xy is that of u across y, yx that of v across x, and so on; edges on the box and planes beyond it have none.

first, last                 the planes to do, first <= i < last, so that threads can share a grid
velocity, shares, change    u, v, w [m/s]; the open shares of their faces [-]; what is to be added to them [m/s]
spacing                     hx, hy, hz [m]
cells, edges                planes of what lies within a plane of cells, and between it and the one before
"""

from math import sqrt

import numpy as np
from numba import njit

FAST = {"contract", "arcp", "nsz"}  # not the flags that would let numbers that are none pass unseen
kernel = njit(nogil=True, cache=True, fastmath=FAST)
part = njit(nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True, fastmath=FAST)  # called from kernels only

ZERO, ONE, TWO, THREE = np.float32(0), np.float32(1), np.float32(2), np.float32(3)
HALF, QUARTER = np.float32(0.5), np.float32(0.25)
XX, YY, ZZ, YZ, ZY, STRAIN_YZ, STRESS_YZ, NU = range(8)  # of cells
XY, YX, XZ, ZX, STRAIN_XY, STRAIN_XZ, STRESS_XY, STRESS_XZ = range(8)  # of edges


@kernel
def advance(first, last, velocity, p, shares, spacing, length, nu, keep, dt, push, viscosity, change):
    """Replace change by keep times itself plus what happens to the velocity within dt.

    p            pressure over density (nx, ny, nz) [m²/s²], which acts for a time of push [s]
    length       of the subgrid eddies [m]
    viscosity    (nx, ny, nz) molecular, nu, and subgrid [m²/s]
    """
    nx, ny, nz = p.shape
    cells, edges = np.zeros((3, 8, ny + 1, nz + 1), np.float32), np.zeros((3, 8, ny + 1, nz + 1), np.float32)
    for i in range(max(first - 1, 0), last + 2):
        if 0 < i < nx:
            strain_between(i, velocity, shares, spacing, edges[i % 3])
        elif i == nx:
            clear(edges[i % 3], 8)
        if i < nx:
            strain_within(i, velocity, shares, spacing, cells[i % 3])
        done = i - 1
        if max(first - 1, 0) <= done < nx:
            here, around = cells[done % 3], edges[done % 3]
            stir(done, velocity, spacing, length, nu, around, edges[i % 3], here)
            if done > 0:
                flow_between(done, velocity, shares, cells[(done - 1) % 3, NU], here[NU], around)
            flow_within(done, velocity, shares, spacing, here)
            if first <= done < last:
                copy(here[NU], viscosity[done])
        if first <= i - 2 < last:
            gather(i - 2, p, shares, spacing, keep, dt, push, cells, edges, change)


@kernel
def smooth(first, last, velocity, p, shares, spacing, share, dt, change):
    """Write what the smoothing of third-order upwind advection does to the velocity within dt into change.

    share    (nx, ny, nz) of it, over 12
    """
    nx, ny, nz = p.shape
    cells, edges = np.zeros((3, 8, ny + 1, nz + 1), np.float32), np.zeros((3, 8, ny + 1, nz + 1), np.float32)
    for i in range(max(first - 1, 0), last + 1):
        if 0 < i < nx:
            bend_between(i, velocity, shares, share, edges[i % 3])
        elif i == nx:
            clear(edges[i % 3], 8)
        if i < nx:
            bend_within(i, velocity, shares, share, cells[i % 3])
        if first <= i - 1 < last:
            gather(i - 1, p, shares, spacing, ZERO, dt, ZERO, cells, edges, change)


@part
def clear(planes, count):
    """Write 0 into the first planes (n, ny, nz)."""
    for n in range(count):
        for j in range(planes.shape[1]):
            for k in range(planes.shape[2]):
                planes[n, j, k] = ZERO


@part
def copy(large, small):
    """Write the part of a plane that a smaller one has into that."""
    for j in range(small.shape[0]):
        for k in range(small.shape[1]):
            small[j, k] = large[j, k]


@part
def all_open(a, b, c, d):
    """1 where four faces are all open, else 0."""
    return ONE if a * b * c * d > ZERO else ZERO


@part
def strain_between(i, velocity, shares, spacing, edges):
    """Write ∂u/∂y + ∂v/∂x and ∂u/∂z + ∂w/∂x [1/s]; 0 where a face beside the edge is shut: walls come later."""
    u, v, w = velocity
    x, y, z = shares
    hx, hy, hz = spacing
    xy, xz = edges[STRAIN_XY], edges[STRAIN_XZ]
    for j in range(1, u.shape[1]):
        for k in range(u.shape[2]):
            free = all_open(x[i, j - 1, k], x[i, j, k], y[i - 1, j, k], y[i, j, k])
            xy[j, k] = free * ((u[i, j, k] - u[i, j - 1, k]) / hy + (v[i, j, k] - v[i - 1, j, k]) / hx)
    for j in range(u.shape[1]):
        for k in range(1, u.shape[2]):
            free = all_open(x[i, j, k - 1], x[i, j, k], z[i - 1, j, k], z[i, j, k])
            xz[j, k] = free * ((u[i, j, k] - u[i, j, k - 1]) / hz + (w[i, j, k] - w[i - 1, j, k]) / hx)


@part
def strain_within(i, velocity, shares, spacing, cells):
    """Write ∂v/∂z + ∂w/∂y [1/s], as strain_between."""
    _, v, w = velocity
    _, y, z = shares
    _, hy, hz = spacing
    yz = cells[STRAIN_YZ]
    for j in range(1, w.shape[1]):
        for k in range(1, v.shape[2]):
            free = all_open(y[i, j, k - 1], y[i, j, k], z[i, j - 1, k], z[i, j, k])
            yz[j, k] = free * ((v[i, j, k] - v[i, j, k - 1]) / hz + (w[i, j, k] - w[i, j - 1, k]) / hy)


@part
def square_mean(a, j, k, j_next, k_next):
    """Mean square of a at four edges."""
    low = a[j, k] * a[j, k] + a[j_next, k] * a[j_next, k]
    high = a[j, k_next] * a[j, k_next] + a[j_next, k_next] * a[j_next, k_next]
    return QUARTER * (low + high)


@part
def stir(i, velocity, spacing, length, nu, before, behind, cells):
    """Write the viscosity of cells, ν + length² √(2 Sij Sij) [m²/s].

    J. Smagorinsky, Mon. Weather Rev. 91 (1963) 99-164; the shear of a cell is the root of the mean square on its edges.
    """
    u, v, w = velocity
    hx, hy, hz = spacing
    yz, total = cells[STRAIN_YZ], cells[NU]
    xy, xy_next, xz, xz_next = before[STRAIN_XY], behind[STRAIN_XY], before[STRAIN_XZ], behind[STRAIN_XZ]
    for j in range(u.shape[1]):
        for k in range(u.shape[2]):
            xx = (u[i + 1, j, k] - u[i, j, k]) / hx
            yy = (v[i, j + 1, k] - v[i, j, k]) / hy
            zz = (w[i, j, k + 1] - w[i, j, k]) / hz
            shear = square_mean(yz, j, k, j + 1, k + 1)
            shear += HALF * (square_mean(xy, j, k, j + 1, k) + square_mean(xy_next, j, k, j + 1, k))
            shear += HALF * (square_mean(xz, j, k, j, k + 1) + square_mean(xz_next, j, k, j, k + 1))
            total[j, k] = nu + length * length * sqrt(TWO * (xx * xx + yy * yy + zz * zz) + shear)


@part
def carry(low, high, a, b, A, B):
    """Advective flux of a quantity between low and high by flows a A and b B beside each other [m²/s²]."""
    return QUARTER * (A * a + B * b) * (low + high)


@part
def flow_between(i, velocity, shares, nu_before, nu, edges):
    """Replace strains by stresses; write fluxes across y and z of u, and across x of v and w [m²/s²]."""
    u, v, w = velocity
    x, y, z = shares
    ny, nz = u.shape[1], u.shape[2]
    for j in range(1, ny):
        for k in range(nz):
            mean = QUARTER * (nu_before[j - 1, k] + nu_before[j, k] + nu[j - 1, k] + nu[j, k])
            edges[STRESS_XY, j, k] = mean * edges[STRAIN_XY, j, k]
        for k in range(nz):
            flux = carry(u[i, j - 1, k], u[i, j, k], v[i - 1, j, k], v[i, j, k], y[i - 1, j, k], y[i, j, k])
            edges[XY, j, k] = flux - edges[STRESS_XY, j, k]
        for k in range(nz):
            flux = carry(v[i - 1, j, k], v[i, j, k], u[i, j - 1, k], u[i, j, k], x[i, j - 1, k], x[i, j, k])
            edges[YX, j, k] = flux - edges[STRESS_XY, j, k]
    for j in range(ny):
        for k in range(1, nz):
            mean = QUARTER * (nu_before[j, k - 1] + nu_before[j, k] + nu[j, k - 1] + nu[j, k])
            edges[STRESS_XZ, j, k] = mean * edges[STRAIN_XZ, j, k]
        for k in range(1, nz):
            flux = carry(u[i, j, k - 1], u[i, j, k], w[i - 1, j, k], w[i, j, k], z[i - 1, j, k], z[i, j, k])
            edges[XZ, j, k] = flux - edges[STRESS_XZ, j, k]
        for k in range(1, nz):
            flux = carry(w[i - 1, j, k], w[i, j, k], u[i, j, k - 1], u[i, j, k], x[i, j, k - 1], x[i, j, k])
            edges[ZX, j, k] = flux - edges[STRESS_XZ, j, k]


@part
def flow_within(i, velocity, shares, spacing, cells):
    """Write fluxes of each velocity along itself in the middle of cells, and of v across z and w across y [m²/s²]."""
    u, v, w = velocity
    x, y, z = shares
    hx, hy, hz = spacing
    ny, nz, nu = u.shape[1], u.shape[2], cells[NU]
    for j in range(ny):
        for k in range(nz):
            a, b = u[i, j, k], u[i + 1, j, k]
            cells[XX, j, k] = carry(a, b, a, b, x[i, j, k], x[i + 1, j, k]) - TWO * nu[j, k] * (b - a) / hx
        for k in range(nz):
            a, b = v[i, j, k], v[i, j + 1, k]
            cells[YY, j, k] = carry(a, b, a, b, y[i, j, k], y[i, j + 1, k]) - TWO * nu[j, k] * (b - a) / hy
        for k in range(nz):
            a, b = w[i, j, k], w[i, j, k + 1]
            cells[ZZ, j, k] = carry(a, b, a, b, z[i, j, k], z[i, j, k + 1]) - TWO * nu[j, k] * (b - a) / hz
    for j in range(1, ny):
        for k in range(1, nz):
            mean = QUARTER * (nu[j - 1, k - 1] + nu[j - 1, k] + nu[j, k - 1] + nu[j, k])
            cells[STRESS_YZ, j, k] = mean * cells[STRAIN_YZ, j, k]
        for k in range(1, nz):
            flux = carry(v[i, j, k - 1], v[i, j, k], w[i, j - 1, k], w[i, j, k], z[i, j - 1, k], z[i, j, k])
            cells[YZ, j, k] = flux - cells[STRESS_YZ, j, k]
        for k in range(1, nz):
            flux = carry(w[i, j - 1, k], w[i, j, k], v[i, j, k - 1], v[i, j, k], y[i, j, k - 1], y[i, j, k])
            cells[ZY, j, k] = flux - cells[STRESS_YZ, j, k]


@part
def gather(i, p, shares, spacing, keep, dt, push, cells, edges, change):
    """Replace change in plane i by keep times itself plus what fluxes bring within dt, and pressure within push."""
    x, y, z = shares
    hx, hy, hz = spacing
    du, dv, dw = change
    _, ny, nz = p.shape
    here, before, around, behind = cells[i % 3], cells[(i + 2) % 3], edges[i % 3], edges[(i + 1) % 3]
    if i > 0:
        for j in range(ny):
            for k in range(nz):
                net = (before[XX, j, k] - here[XX, j, k]) / hx + (around[XY, j, k] - around[XY, j + 1, k]) / hy
                net = dt * (net + (around[XZ, j, k] - around[XZ, j, k + 1]) / hz)
                net += push * (p[i - 1, j, k] - p[i, j, k]) / hx
                du[i, j, k] = keep * du[i, j, k] + (net if x[i, j, k] > ZERO else ZERO)
    for j in range(1, ny):
        for k in range(nz):
            net = (here[YY, j - 1, k] - here[YY, j, k]) / hy + (around[YX, j, k] - behind[YX, j, k]) / hx
            net = dt * (net + (here[YZ, j, k] - here[YZ, j, k + 1]) / hz)
            net += push * (p[i, j - 1, k] - p[i, j, k]) / hy
            dv[i, j, k] = keep * dv[i, j, k] + (net if y[i, j, k] > ZERO else ZERO)
    for j in range(ny):
        for k in range(1, nz):
            net = (here[ZZ, j, k - 1] - here[ZZ, j, k]) / hz + (around[ZX, j, k] - behind[ZX, j, k]) / hx
            net = dt * (net + (here[ZY, j, k] - here[ZY, j + 1, k]) / hy)
            net += push * (p[i, j, k - 1] - p[i, j, k]) / hz
            dw[i, j, k] = keep * dw[i, j, k] + (net if z[i, j, k] > ZERO else ZERO)


@part
def bend(a, b, c, d):
    """Third difference of four velocities in a row [m/s]."""
    return d - a - THREE * (c - b)


@part
def bend_x(a, A, i, j, k, carrier):
    """|carrier| times the bend of a between i - 1 and i [m²/s²]; 0 unless all four faces, of open share A, are open."""
    free = all_open(A[i - 2, j, k], A[i - 1, j, k], A[i, j, k], A[i + 1, j, k])
    return free * abs(carrier) * bend(a[i - 2, j, k], a[i - 1, j, k], a[i, j, k], a[i + 1, j, k])


@part
def bend_y(a, A, i, j, k, carrier):
    """As bend_x, between j - 1 and j."""
    free = all_open(A[i, j - 2, k], A[i, j - 1, k], A[i, j, k], A[i, j + 1, k])
    return free * abs(carrier) * bend(a[i, j - 2, k], a[i, j - 1, k], a[i, j, k], a[i, j + 1, k])


@part
def bend_z(a, A, i, j, k, carrier):
    """As bend_x, between k - 1 and k."""
    free = all_open(A[i, j, k - 2], A[i, j, k - 1], A[i, j, k], A[i, j, k + 1])
    return free * abs(carrier) * bend(a[i, j, k - 2], a[i, j, k - 1], a[i, j, k], a[i, j, k + 1])


@part
def bend_between(i, velocity, shares, share, edges):
    """Write the smoothing fluxes across y and z of u, and across x of v and w [m²/s²]."""
    u, v, w = velocity
    x, y, z = shares
    nx, ny, nz = u.shape[0] - 1, u.shape[1], u.shape[2]
    clear(edges, 4)
    for j in range(2, ny - 1):
        for k in range(nz):
            edges[XY, j, k] = HALF * share[i, j, k] * bend_y(u, x, i, j, k, v[i - 1, j, k] + v[i, j, k])
    for j in range(ny):
        for k in range(2, nz - 1):
            edges[XZ, j, k] = HALF * share[i, j, k] * bend_z(u, x, i, j, k, w[i - 1, j, k] + w[i, j, k])
    if 1 < i < nx - 1:
        for j in range(1, ny):
            for k in range(nz):
                edges[YX, j, k] = HALF * share[i, j, k] * bend_x(v, y, i, j, k, u[i, j - 1, k] + u[i, j, k])
        for j in range(ny):
            for k in range(1, nz):
                edges[ZX, j, k] = HALF * share[i, j, k] * bend_x(w, z, i, j, k, u[i, j, k - 1] + u[i, j, k])


@part
def bend_within(i, velocity, shares, share, cells):
    """Write the smoothing fluxes of each velocity along itself, and of v across z and w across y [m²/s²]."""
    u, v, w = velocity
    x, y, z = shares
    nx, ny, nz = u.shape[0] - 1, u.shape[1], u.shape[2]
    clear(cells, 5)
    if 0 < i < nx - 1:
        for j in range(ny):
            for k in range(nz):
                cells[XX, j, k] = HALF * share[i, j, k] * bend_x(u, x, i + 1, j, k, u[i, j, k] + u[i + 1, j, k])
    for j in range(1, ny - 1):
        for k in range(nz):
            cells[YY, j, k] = HALF * share[i, j, k] * bend_y(v, y, i, j + 1, k, v[i, j, k] + v[i, j + 1, k])
    for j in range(ny):
        for k in range(2, nz):  # counted from above, so that no index can seem to be negative: 7 times as fast
            below = HALF * share[i, j, k - 1]
            cells[ZZ, j, k - 1] = below * bend_z(w, z, i, j, k, w[i, j, k - 1] + w[i, j, k])
    for j in range(1, ny):
        for k in range(2, nz - 1):
            cells[YZ, j, k] = HALF * share[i, j, k] * bend_z(v, y, i, j, k, w[i, j - 1, k] + w[i, j, k])
    for j in range(2, ny - 1):
        for k in range(1, nz):
            cells[ZY, j, k] = HALF * share[i, j, k] * bend_y(w, z, i, j, k, v[i, j, k - 1] + v[i, j, k])
