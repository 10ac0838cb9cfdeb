"""Loops between the velocity on faces and the pressure by colour.

place (9,)    where the first level's cells stand, as in flow/pressure/kernels.py
"""

import numpy as np
from numba import njit

kernel = njit(cache=True, fastmath=True, nogil=True)
part = njit(
    cache=True, fastmath=True, nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True
)  # called from kernels only


@part
def spread(i, place, phi, padded, flat, tall):
    """Copy plane i of phi into flat (ny, nz) after its first row, and into tall (ny, nz + 1) after its first place."""
    row, ny, nz = place[2], place[4], place[5]
    n = 2 * place[0] + i * place[1]
    even, odd = phi[n & 1, n >> 1 :], phi[1 - (n & 1), (n + 1) >> 1 :]
    for q in range((ny * row + 1) // 2):
        padded[2 * q] = even[q]
        padded[2 * q + 1] = odd[q]
    for j in range(ny):
        own, low, high = padded[j * row :], flat[(j + 1) * nz :], tall[j * (nz + 1) + 1 :]
        for k in range(nz):
            low[k] = own[k]
        for k in range(nz):
            high[k] = own[k]


@part
def slide(high, low, per, area, opened, speed, flow):
    """Take the slope (high - low) per from the speed of open faces, and write what then flows through each."""
    for n in range(len(speed)):
        slope = per * (high[n] - low[n])
        speed[n] -= slope if opened[n] > 0 else np.float32(0)
        flow[n] = area * opened[n] * speed[n]


@part
def settle(i, place, fed, on, off, flow_y, flow_z, lacks, padded, residual):
    """Write into plane i of residual, by colour, what its cells are fed less what flows out of them; return its sum."""
    row, ny, nz = place[2], place[4], place[5]
    back, above = flow_y[nz:], flow_z[1:]
    for n in range(ny * nz):
        lacks[n] = np.float32(fed[n]) - (on[n] - off[n]) - (back[n] - flow_y[n])
    for n in range(ny * (nz + 1) - 1):
        flow_z[n] = above[n] - flow_z[n]
    for j in range(ny):
        own, level, upright = padded[j * row :], lacks[j * nz :], flow_z[j * (nz + 1) :]
        for k in range(nz):
            own[k] = level[k] - upright[k]
    n = 2 * place[0] + i * place[1]
    even, odd = residual[n & 1, n >> 1 :], residual[1 - (n & 1), (n + 1) >> 1 :]
    total = np.float32(0)
    for q in range((ny * row + 1) // 2):
        even[q] = padded[2 * q]
        odd[q] = padded[2 * q + 1]
        total += padded[2 * q] + padded[2 * q + 1]
    return total


@kernel
def largest(x, top):
    """The larger of top and the largest |x|, both as the bits of a float (they stand in the order of the floats)."""
    bits = x.view(np.int32)
    for n in range(len(bits)):
        positive = bits[n] & 0x7FFFFFFF
        top = positive if positive > top else top
    return top


@kernel
def correct_seams(seams, phi, open_x, place, spacing, u):
    """Take ∇phi from the open faces u of the planes between the parts that threads share."""
    ny, nz = place[4], place[5]
    size, per = ny * nz, np.float32(1 / spacing[0])
    here, before, flow = np.zeros(size + nz, np.float32), np.zeros(size + nz, np.float32), np.zeros(size, np.float32)
    tall, padded = np.zeros(size + ny + 1, np.float32), np.zeros(ny * place[2] + 1, np.float32)
    for i in seams:
        spread(i - 1, place, phi, padded, before, tall)
        spread(i, place, phi, padded, here, tall)
        slide(here[nz:], before[nz:], per, np.float32(1), open_x[i].reshape(size), u[i].reshape(size), flow)


@kernel
def correct(first, last, phi, open_x, open_y, open_z, place, spacing, source, u, v, w, residual, sums, tops):
    """Take ∇phi from the open faces, and write into residual what each cell then lacks: source - Σ open A u [m³/s].

    first, last    the planes to do, first <= i < last; the faces u of these two are done already or shut
    sums           (nx,) of residual over each plane [m³/s]
    tops           (nx,) the largest flow through a face of each plane, as the bits of a float
    """
    hx, hy, hz = spacing
    ny, nz = place[4], place[5]
    per_y, per_z = np.float32(1 / hy), np.float32(1 / hz)
    area_x, area_y, area_z = np.float32(hy * hz), np.float32(hx * hz), np.float32(hx * hy)
    size, size_y, size_z = ny * nz, (ny + 1) * nz, ny * (nz + 1)
    here, before = np.zeros(size_y + nz, np.float32), np.zeros(size_y + nz, np.float32)
    tall = np.zeros(size_z + 1, np.float32)
    on, off, lacks = np.zeros(size, np.float32), np.zeros(size, np.float32), np.zeros(size, np.float32)
    flow_y, flow_z = np.zeros(size_y, np.float32), np.zeros(size_z, np.float32)
    padded, rest = np.zeros(ny * place[2] + 1, np.float32), np.zeros(ny * place[2] + 1, np.float32)
    for i in range(first, last + 1):
        if i < last:
            here, before = before, here
            spread(i, place, phi, padded, here, tall)
        on, off = off, on
        per_x = np.float32(1 / hx if first < i < last else 0)
        slide(here[nz:], before[nz:], per_x, area_x, open_x[i].reshape(size), u[i].reshape(size), on)
        if i > first:
            fed = source[i - 1].reshape(size)
            sums[i - 1] = settle(i - 1, place, fed, on, off, flow_y, flow_z, lacks, rest, residual)
        if i < last:
            slide(here[nz:], here, per_y, area_y, open_y[i].reshape(size_y), v[i].reshape(size_y), flow_y)
            slide(tall[1:], tall, per_z, area_z, open_z[i].reshape(size_z), w[i].reshape(size_z), flow_z)
            tops[i] = largest(flow_z, largest(flow_y, largest(on, 0)))


@kernel
def read(phi, place, keep, factor, pressure):
    """Replace pressure (nx, ny, nz) by keep times itself plus factor times phi."""
    row, nx, ny, nz = place[2], place[3], place[4], place[5]
    padded = np.empty(ny * row + 2, np.float32)
    for i in range(nx):
        n = 2 * place[0] + i * place[1]
        even, odd = phi[n & 1, n >> 1 :], phi[1 - (n & 1), (n + 1) >> 1 :]
        for q in range((ny * row + 1) // 2):
            padded[2 * q] = even[q]
            padded[2 * q + 1] = odd[q]
        for j in range(ny):
            own, out = padded[j * row :], pressure[i, j]
            for k in range(nz):
                out[k] = keep * out[k] + factor * own[k]
