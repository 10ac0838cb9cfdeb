"""The loops of the march; cells and faces as drawn in grid/grid.py.

Each kernel does the planes first <= i < last across x, so that threads can share a grid. Outputs come last. The room of
a face is one over the open share of the volume around it, and 0 where the face is shut. Lengths and factors are
float32.
"""

import math

import numpy as np
from numba import njit

QUARTER = np.float32(0.25)
HALF = np.float32(0.5)
ONE = np.float32(1.0)
TWO = np.float32(2.0)
THREE = np.float32(3.0)
ZERO = np.float32(0.0)


@njit(inline="always")
def strain_rate(u, v, w, i, il, ih, j, jl, jh, k, kl, kh, hx, hy, hz):
    """√(2 Sij Sij) in the middle of cell (i, j, k) [1/s]; il, ih and so on are its neighbours."""
    xx = (u[i + 1, j, k] - u[i, j, k]) / hx
    yy = (v[i, j + 1, k] - v[i, j, k]) / hy
    zz = (w[i, j, k + 1] - w[i, j, k]) / hz
    uy = (u[i, jh, k] + u[i + 1, jh, k] - u[i, jl, k] - u[i + 1, jl, k]) / hy
    uz = (u[i, j, kh] + u[i + 1, j, kh] - u[i, j, kl] - u[i + 1, j, kl]) / hz
    vx = (v[ih, j, k] + v[ih, j + 1, k] - v[il, j, k] - v[il, j + 1, k]) / hx
    vz = (v[i, j, kh] + v[i, j + 1, kh] - v[i, j, kl] - v[i, j + 1, kl]) / hz
    wx = (w[ih, j, k] + w[ih, j, k + 1] - w[il, j, k] - w[il, j, k + 1]) / hx
    wy = (w[i, jh, k] + w[i, jh, k + 1] - w[i, jl, k] - w[i, jl, k + 1]) / hy
    xy = QUARTER * (uy + vx)
    xz = QUARTER * (uz + wx)
    yz = QUARTER * (vz + wy)
    return math.sqrt(TWO * (xx * xx + yy * yy + zz * zz) + xy * xy + xz * xz + yz * yz)


@njit(nogil=True, cache=True)
def eddy_viscosity(first, last, u, v, w, hx, hy, hz, length, nu, total):
    """Write molecular plus subgrid viscosity of cells [m²/s] into total (nx, ny, nz).

        ν + length² √(2 Sij Sij)

    J. Smagorinsky, Mon. Weather Rev. 91 (1963) 99-164.
    """
    nx, ny, nz = total.shape
    area = length * length
    for i in range(first, last):
        il, ih = max(i - 1, 0), min(i + 1, nx - 1)
        for j in range(ny):
            jl, jh = max(j - 1, 0), min(j + 1, ny - 1)
            k, top = 0, nz - 1
            total[i, j, k] = nu + area * strain_rate(u, v, w, i, il, ih, j, jl, jh, k, k, min(1, top), hx, hy, hz)
            for k in range(1, top):
                total[i, j, k] = nu + area * strain_rate(u, v, w, i, il, ih, j, jl, jh, k, k - 1, k + 1, hx, hy, hz)
            if top > 0:
                total[i, j, top] = nu + area * strain_rate(u, v, w, i, il, ih, j, jl, jh, top, top - 1, top, hx, hy, hz)


@njit(nogil=True, cache=True)
def normal_fluxes(first, last, u, v, w, open_x, open_y, open_z, viscosity, hx, hy, hz, xx, yy, zz):
    """Write the flux of each velocity along itself, in the middle of cells (nx, ny, nz) [m²/s²]."""
    _, ny, nz = xx.shape
    for i in range(first, last):
        for j in range(ny):
            for k in range(nz):
                nu = TWO * viscosity[i, j, k]
                low, high = u[i, j, k], u[i + 1, j, k]
                carrier = open_x[i, j, k] * low + open_x[i + 1, j, k] * high
                xx[i, j, k] = QUARTER * carrier * (low + high) - nu * (high - low) / hx
                low, high = v[i, j, k], v[i, j + 1, k]
                carrier = open_y[i, j, k] * low + open_y[i, j + 1, k] * high
                yy[i, j, k] = QUARTER * carrier * (low + high) - nu * (high - low) / hy
                low, high = w[i, j, k], w[i, j, k + 1]
                carrier = open_z[i, j, k] * low + open_z[i, j, k + 1] * high
                zz[i, j, k] = QUARTER * carrier * (low + high) - nu * (high - low) / hz


@njit(inline="always")
def edge_fluxes(a0, a1, b0, b1, A0, A1, B0, B1, nu, ha, hb):
    """Flux of a across b, and of b across a, at an edge [m²/s²].

    a0, a1 are the velocities along axis a below and above the edge in direction b, A0, A1 their faces' open shares;
    b0, b1 and B0, B1 likewise. The stress of a wall, where one of the faces is shut, is not told here.
    """
    free = ONE if A0 * A1 * B0 * B1 > ZERO else ZERO
    stress = free * nu * ((a1 - a0) / hb + (b1 - b0) / ha)
    a_across_b = QUARTER * (B0 * b0 + B1 * b1) * (a0 + a1) - stress
    b_across_a = QUARTER * (A0 * a0 + A1 * a1) * (b0 + b1) - stress
    return a_across_b, b_across_a


@njit(nogil=True, cache=True)
def shear_fluxes(
    first,
    last,
    u,
    v,
    w,
    open_x,
    open_y,
    open_z,
    viscosity,
    hx,
    hy,
    hz,
    u_across_y,
    v_across_x,
    u_across_z,
    w_across_x,
    v_across_z,
    w_across_y,
):
    """Write the flux of each velocity across another's axis [m²/s²] at edges inside the box; those on it stay zero.

    Edges along z (nx+1, ny+1, nz), along y (nx+1, ny, nz+1), along x (nx, ny+1, nz+1).
    """
    _, ny, nz = viscosity.shape
    for i in range(max(first, 1), last):
        for j in range(1, ny):
            for k in range(nz):
                nu = QUARTER * (
                    viscosity[i - 1, j - 1, k] + viscosity[i - 1, j, k] + viscosity[i, j - 1, k] + viscosity[i, j, k]
                )
                u_across_y[i, j, k], v_across_x[i, j, k] = edge_fluxes(
                    u[i, j - 1, k],
                    u[i, j, k],
                    v[i - 1, j, k],
                    v[i, j, k],
                    open_x[i, j - 1, k],
                    open_x[i, j, k],
                    open_y[i - 1, j, k],
                    open_y[i, j, k],
                    nu,
                    hx,
                    hy,
                )
        for j in range(ny):
            for k in range(1, nz):
                nu = QUARTER * (
                    viscosity[i - 1, j, k - 1] + viscosity[i - 1, j, k] + viscosity[i, j, k - 1] + viscosity[i, j, k]
                )
                u_across_z[i, j, k], w_across_x[i, j, k] = edge_fluxes(
                    u[i, j, k - 1],
                    u[i, j, k],
                    w[i - 1, j, k],
                    w[i, j, k],
                    open_x[i, j, k - 1],
                    open_x[i, j, k],
                    open_z[i - 1, j, k],
                    open_z[i, j, k],
                    nu,
                    hx,
                    hz,
                )
    for i in range(first, last):
        for j in range(1, ny):
            for k in range(1, nz):
                nu = QUARTER * (
                    viscosity[i, j - 1, k - 1] + viscosity[i, j - 1, k] + viscosity[i, j, k - 1] + viscosity[i, j, k]
                )
                v_across_z[i, j, k], w_across_y[i, j, k] = edge_fluxes(
                    v[i, j, k - 1],
                    v[i, j, k],
                    w[i, j - 1, k],
                    w[i, j, k],
                    open_y[i, j, k - 1],
                    open_y[i, j, k],
                    open_z[i, j - 1, k],
                    open_z[i, j, k],
                    nu,
                    hy,
                    hz,
                )


@njit(nogil=True, cache=True)
def gather(
    first,
    last,
    xx,
    yy,
    zz,
    u_across_y,
    v_across_x,
    u_across_z,
    w_across_x,
    v_across_z,
    w_across_y,
    room_x,
    room_y,
    room_z,
    hx,
    hy,
    hz,
    keep,
    dt,
    du,
    dv,
    dw,
):
    """Write keep times itself plus dt times what the fluxes bring, into du, dv, dw (as u, v, w) [m/s]."""
    _, ny, nz = xx.shape
    for i in range(max(first, 1), last):
        for j in range(ny):
            for k in range(nz):
                net = (xx[i - 1, j, k] - xx[i, j, k]) / hx
                net += (u_across_y[i, j, k] - u_across_y[i, j + 1, k]) / hy
                net += (u_across_z[i, j, k] - u_across_z[i, j, k + 1]) / hz
                du[i, j, k] = keep * du[i, j, k] + dt * room_x[i, j, k] * net
    for i in range(first, last):
        for j in range(1, ny):
            for k in range(nz):
                net = (yy[i, j - 1, k] - yy[i, j, k]) / hy
                net += (v_across_x[i, j, k] - v_across_x[i + 1, j, k]) / hx
                net += (v_across_z[i, j, k] - v_across_z[i, j, k + 1]) / hz
                dv[i, j, k] = keep * dv[i, j, k] + dt * room_y[i, j, k] * net
    for i in range(first, last):
        for j in range(ny):
            for k in range(1, nz):
                net = (zz[i, j, k - 1] - zz[i, j, k]) / hz
                net += (w_across_x[i, j, k] - w_across_x[i + 1, j, k]) / hx
                net += (w_across_y[i, j, k] - w_across_y[i, j + 1, k]) / hy
                dw[i, j, k] = keep * dw[i, j, k] + dt * room_z[i, j, k] * net


@njit(inline="always")
def bend(low, a, b, high, L, A, B, H, carrier):
    """|carrier| times the third difference of four velocities in a row, 0 unless all their faces are open [m²/s²]."""
    free = ONE if L * A * B * H > ZERO else ZERO
    return free * abs(carrier) * (high - low - THREE * (b - a))


@njit(nogil=True, cache=True)
def normal_bends(first, last, u, v, w, open_x, open_y, open_z, share, xx, yy, zz):
    """Write the flux that smooths each velocity along itself, in the middle of cells, into xx, yy, zz [m²/s²]."""
    nx, ny, nz = xx.shape
    weight = HALF * share
    for i in range(first, last):
        for j in range(ny):
            for k in range(nz):
                xx[i, j, k] = ZERO
                yy[i, j, k] = ZERO
                zz[i, j, k] = ZERO
            if 0 < i < nx - 1:
                for k in range(nz):
                    xx[i, j, k] = weight * bend(
                        u[i - 1, j, k],
                        u[i, j, k],
                        u[i + 1, j, k],
                        u[i + 2, j, k],
                        open_x[i - 1, j, k],
                        open_x[i, j, k],
                        open_x[i + 1, j, k],
                        open_x[i + 2, j, k],
                        u[i, j, k] + u[i + 1, j, k],
                    )
            if 0 < j < ny - 1:
                for k in range(nz):
                    yy[i, j, k] = weight * bend(
                        v[i, j - 1, k],
                        v[i, j, k],
                        v[i, j + 1, k],
                        v[i, j + 2, k],
                        open_y[i, j - 1, k],
                        open_y[i, j, k],
                        open_y[i, j + 1, k],
                        open_y[i, j + 2, k],
                        v[i, j, k] + v[i, j + 1, k],
                    )
            for k in range(1, nz - 1):
                zz[i, j, k] = weight * bend(
                    w[i, j, k - 1],
                    w[i, j, k],
                    w[i, j, k + 1],
                    w[i, j, k + 2],
                    open_z[i, j, k - 1],
                    open_z[i, j, k],
                    open_z[i, j, k + 1],
                    open_z[i, j, k + 2],
                    w[i, j, k] + w[i, j, k + 1],
                )


@njit(nogil=True, cache=True)
def shear_bends(
    first,
    last,
    u,
    v,
    w,
    open_x,
    open_y,
    open_z,
    share,
    u_across_y,
    v_across_x,
    u_across_z,
    w_across_x,
    v_across_z,
    w_across_y,
):
    """Write the flux that smooths each velocity along another's axis, at edges as in shear_fluxes [m²/s²]."""
    nx, ny, nz = u.shape[0] - 1, v.shape[1] - 1, w.shape[2] - 1
    weight = HALF * share
    for i in range(first, last):
        for j in range(ny + 1):
            for k in range(nz):
                u_across_y[i, j, k] = ZERO
                v_across_x[i, j, k] = ZERO
            if 1 < j < ny - 1:
                for k in range(nz):
                    if i > 0:
                        u_across_y[i, j, k] = weight * bend(
                            u[i, j - 2, k],
                            u[i, j - 1, k],
                            u[i, j, k],
                            u[i, j + 1, k],
                            open_x[i, j - 2, k],
                            open_x[i, j - 1, k],
                            open_x[i, j, k],
                            open_x[i, j + 1, k],
                            v[i - 1, j, k] + v[i, j, k],
                        )
            if 1 < i < nx - 1 and 0 < j < ny:
                for k in range(nz):
                    v_across_x[i, j, k] = weight * bend(
                        v[i - 2, j, k],
                        v[i - 1, j, k],
                        v[i, j, k],
                        v[i + 1, j, k],
                        open_y[i - 2, j, k],
                        open_y[i - 1, j, k],
                        open_y[i, j, k],
                        open_y[i + 1, j, k],
                        u[i, j - 1, k] + u[i, j, k],
                    )
        for j in range(ny):
            for k in range(nz + 1):
                u_across_z[i, j, k] = ZERO
                w_across_x[i, j, k] = ZERO
            if i > 0:
                for k in range(2, nz - 1):
                    u_across_z[i, j, k] = weight * bend(
                        u[i, j, k - 2],
                        u[i, j, k - 1],
                        u[i, j, k],
                        u[i, j, k + 1],
                        open_x[i, j, k - 2],
                        open_x[i, j, k - 1],
                        open_x[i, j, k],
                        open_x[i, j, k + 1],
                        w[i - 1, j, k] + w[i, j, k],
                    )
            if 1 < i < nx - 1:
                for k in range(1, nz):
                    w_across_x[i, j, k] = weight * bend(
                        w[i - 2, j, k],
                        w[i - 1, j, k],
                        w[i, j, k],
                        w[i + 1, j, k],
                        open_z[i - 2, j, k],
                        open_z[i - 1, j, k],
                        open_z[i, j, k],
                        open_z[i + 1, j, k],
                        u[i, j, k - 1] + u[i, j, k],
                    )
        for j in range(ny + 1):
            for k in range(nz + 1):
                v_across_z[i, j, k] = ZERO
                w_across_y[i, j, k] = ZERO
            if 0 < j < ny:
                for k in range(2, nz - 1):
                    v_across_z[i, j, k] = weight * bend(
                        v[i, j, k - 2],
                        v[i, j, k - 1],
                        v[i, j, k],
                        v[i, j, k + 1],
                        open_y[i, j, k - 2],
                        open_y[i, j, k - 1],
                        open_y[i, j, k],
                        open_y[i, j, k + 1],
                        w[i, j - 1, k] + w[i, j, k],
                    )
            if 1 < j < ny - 1:
                for k in range(1, nz):
                    w_across_y[i, j, k] = weight * bend(
                        w[i, j - 2, k],
                        w[i, j - 1, k],
                        w[i, j, k],
                        w[i, j + 1, k],
                        open_z[i, j - 2, k],
                        open_z[i, j - 1, k],
                        open_z[i, j, k],
                        open_z[i, j + 1, k],
                        v[i, j, k - 1] + v[i, j, k],
                    )


@njit(nogil=True, cache=True)
def rub(face, beside, across, laminar, smooth, rough, drive, along, one, other, dt, change):
    """Take from change what walls take from the velocity along them within dt [m/s].

        dU/dt = drive - max(laminar, smooth |U|^(3/4) + rough |U|) U

    face (n,) places in the flat arrays along and change; beside, across (n, 4) places of the faces round it in the flat
    arrays one and other, the velocities along the two other axes; laminar, smooth, rough, drive (n,).
    """
    for n in range(face.size):
        a = along[face[n]]
        b = QUARTER * (one[beside[n, 0]] + one[beside[n, 1]] + one[beside[n, 2]] + one[beside[n, 3]])
        c = QUARTER * (other[across[n, 0]] + other[across[n, 1]] + other[across[n, 2]] + other[across[n, 3]])
        speed = math.sqrt(a * a + b * b + c * c)
        root = math.sqrt(speed)
        rate = max(laminar[n], smooth[n] * root * math.sqrt(root) + rough[n] * speed)
        change[face[n]] += dt * (drive[n] - rate * a)


@njit(nogil=True, cache=True)
def apply(first, last, factor, du, dv, dw, u, v, w):
    """Add factor times du, dv, dw to u, v, w."""
    for i in range(first, last):
        for j in range(u.shape[1]):
            for k in range(u.shape[2]):
                u[i, j, k] += factor * du[i, j, k]
        for j in range(v.shape[1]):
            for k in range(v.shape[2]):
                v[i, j, k] += factor * dv[i, j, k]
        for j in range(w.shape[1]):
            for k in range(w.shape[2]):
                w[i, j, k] += factor * dw[i, j, k]


@njit(nogil=True, cache=True)
def fastest(first, last, u, v, w, hx, hy, hz, rate):
    """Write the largest |u|/hx + |v|/hy + |w|/hz [1/s] over the cells of each plane into rate (nx,), NaN if one is."""
    for i in range(first, last):
        top = ZERO
        sound = ZERO
        for j in range(v.shape[1] - 1):
            for k in range(w.shape[2] - 1):
                across_x = max(abs(u[i, j, k]), abs(u[i + 1, j, k])) / hx
                across_y = max(abs(v[i, j, k]), abs(v[i, j + 1, k])) / hy
                across_z = max(abs(w[i, j, k]), abs(w[i, j, k + 1])) / hz
                here = across_x + across_y + across_z
                top = max(top, here)
                sound += here - here
        rate[i] = top + sound


@njit(nogil=True, cache=True)
def tally(first, last, u, v, w, dt, time_u, time_v, time_w, path, squares):
    """Add dt times u, v, w to time_u, time_v, time_w, dt |u| to path and dt |u|² to squares (nx, ny, nz)."""
    _, ny, nz = path.shape
    for i in range(first, last):
        for j in range(ny):
            for k in range(nz):
                a = HALF * (u[i, j, k] + u[i + 1, j, k])
                b = HALF * (v[i, j, k] + v[i, j + 1, k])
                c = HALF * (w[i, j, k] + w[i, j, k + 1])
                square = a * a + b * b + c * c
                path[i, j, k] += dt * math.sqrt(square)
                squares[i, j, k] += dt * square
        for j in range(ny):
            for k in range(nz):
                time_u[i, j, k] += dt * u[i, j, k]
        for j in range(ny + 1):
            for k in range(nz):
                time_v[i, j, k] += dt * v[i, j, k]
        for j in range(ny):
            for k in range(nz + 1):
                time_w[i, j, k] += dt * w[i, j, k]
