"""Loops between the velocity on faces and the pressure by colour.

place (9,)      where the first level's cells stand, as in flow/pressure/kernels.py
laid            a plane, in lines that start where their names say
most, worst     as the bits of a float without its sign, which stand in the order of the floats, what is none at the end

Velocities, open shares and sources (n,) are planes of rows, one after the other.
"""

import numpy as np
from numba import njit

kernel = njit(cache=True, nogil=True, fastmath=True, error_model="numpy", no_cfunc_wrapper=True)
part = njit(
    nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True, fastmath=True, error_model="numpy"
)  # called from kernels only
within = njit(inline="always")  # written out in the one kernel that calls it, as in flow/pressure/kernels.py
unsigned = np.uint64  # of places: one that could be negative would be taken for a count from the end, one by one

ZERO, ONE, NONE = np.float32(0), np.float32(1), np.int64(0)
NEXT = unsigned(1)


@part
def bits(x):
    """The bits of a float without its sign."""
    return np.int64(np.float32(x).view(np.int32)) & 0x7FFFFFFF


@part
def colours(i, place):
    """Where the cells of plane i stand from its first one on, and the others, which come between them."""
    n = 2 * place[0] + i * place[1]
    return unsigned((n & 1) * place[7] + (n >> 1)), unsigned((1 - (n & 1)) * place[7] + ((n + 1) >> 1))


@part
def spread(i, place, phi, padded, flat, tall, laid):
    """Lay out plane i of phi as it is stored, in rows of nz, and in rows of nz + 1."""
    row, ny, nz = unsigned(place[2]), unsigned(place[4]), unsigned(place[5])
    ones, others = colours(i, place)
    for q in range((ny * row + NEXT) >> NEXT):
        laid[padded + q + q], laid[padded + q + q + NEXT] = phi[ones + q], phi[others + q]
    for j in range(ny):
        own, low, high = padded + j * row, flat + j * nz, tall + j * (nz + NEXT)
        for k in range(nz):
            laid[low + k] = laid[own + k]
        for k in range(nz):
            laid[high + k] = laid[own + k]


@part
def slide(high, low, per, area, opened, start, size, flow, laid, speed):
    """Take the slope (high - low) per from the speed of open faces from start on; write what then flows through each.

    returned: the most, as bits
    """
    most = NONE
    for n in range(size):
        slope = per * (laid[high + n] - laid[low + n])
        speed[start + n] -= slope if opened[start + n] > ZERO else ZERO
        through = area * opened[start + n] * speed[start + n]
        laid[flow + n] = through
        most = max(most, bits(through))
    return most


@within
def settle(i, place, source, on, off, flow_y, flow_z, padded, laid, residual):
    """Write into plane i of residual, by colour, what its cells are fed less what flows out of them.

    returned: its sum, and the worst, as bits
    """
    row, ny, nz = unsigned(place[2]), unsigned(place[4]), unsigned(place[5])
    fed = unsigned(i) * ny * nz
    for j in range(ny):
        n, z, out = j * nz, flow_z + j * (nz + NEXT), padded + j * row
        x, beyond, y = on + n, off + n, flow_y + n
        for k in range(nz):
            level = laid[x + k] - laid[beyond + k] + laid[y + nz + k] - laid[y + k]
            laid[out + k] = source[fed + n + k] - level - (laid[z + NEXT + k] - laid[z + k])
    ones, others = colours(i, place)
    total, worst = ZERO, NONE
    for q in range((ny * row + NEXT) >> NEXT):
        one, other = laid[padded + q + q], laid[padded + q + q + NEXT]
        residual[ones + q], residual[others + q] = one, other
        total += one + other
        worst = max(worst, max(bits(one), bits(other)))
    return total, worst


@kernel
def correct_seams(seams, phi, open_x, place, spacing, u):
    """Take ∇phi from the open faces u of the planes between the parts that threads share."""
    row, ny, nz = unsigned(place[2]), unsigned(place[4]), unsigned(place[5])
    size, line = ny * nz, ny * (row + nz) + row
    here, before, rest, padded = NEXT - NEXT, line, line + line, line + line + line
    laid = np.zeros(4 * np.int64(line), np.float32)
    for i in seams:
        spread(i - 1, place, phi, padded, before, rest, laid)
        spread(i, place, phi, padded, here, rest, laid)
        slide(here, before, np.float32(1 / spacing[0]), ONE, open_x, unsigned(i) * size, size, rest, laid, u)


@kernel
def correct(first, last, phi, open_x, open_y, open_z, place, spacing, source, u, v, w, residual, sums, most, worst):
    """Take ∇phi from the open faces, and write into residual what each cell then lacks: source - Σ open A u [m³/s].

    first, last    the planes to do, first <= i < last; the faces u of these two are done already or shut
    sums           (nx,) of residual over each plane [m³/s]
    most, worst    (nx,) flow through a face and residual of each plane, as bits
    """
    hx, hy, hz = spacing
    row, ny, nz = unsigned(place[2]), unsigned(place[4]), unsigned(place[5])
    per_y, per_z = np.float32(1 / hy), np.float32(1 / hz)
    area_x, area_y, area_z = np.float32(hy * hz), np.float32(hx * hz), np.float32(hx * hy)
    size, size_y, size_z = ny * nz, (ny + NEXT) * nz, ny * (nz + NEXT)
    line = (ny + NEXT + NEXT) * row
    laid = np.zeros(9 * np.int64(line), np.float32)
    here, before, tall, on = nz, line + nz, line + line + NEXT, line + line + line
    off, flow_y = on + line, on + line + line
    flow_z, padded, rest = flow_y + line, flow_y + line + line, flow_y + line + line + line
    for i in range(first, last + 1):
        if i < last:
            here, before = before, here
            spread(i, place, phi, padded, here, tall, laid)
        on, off = off, on
        per_x = np.float32(1 / hx if first < i < last else 0)
        most_x = slide(here, before, per_x, area_x, open_x, unsigned(i) * size, size, on, laid, u)
        if i > first:
            sums[i - 1], worst[i - 1] = settle(i - 1, place, source, on, off, flow_y, flow_z, rest, laid, residual)
        if i < last:
            most_y = slide(here, here - nz, per_y, area_y, open_y, unsigned(i) * size_y, size_y, flow_y, laid, v)
            most_z = slide(tall, tall - NEXT, per_z, area_z, open_z, unsigned(i) * size_z, size_z, flow_z, laid, w)
            most[i] = max(most_x, max(most_y, most_z))


@kernel
def read(phi, place, keep, factor, pressure):
    """Replace pressure (nx, ny, nz) by keep times itself plus factor times phi."""
    row, ny, nz = unsigned(place[2]), unsigned(place[4]), unsigned(place[5])
    padded = np.zeros(np.int64((ny + NEXT) * row), np.float32)
    for i in range(place[3]):
        ones, others = colours(i, place)
        for q in range((ny * row + NEXT) >> NEXT):
            padded[q + q], padded[q + q + NEXT] = phi[ones + q], phi[others + q]
        for j in range(ny):
            for k in range(nz):
                pressure[i, j, k] = keep * pressure[i, j, k] + factor * padded[j * row + k]
