"""Loops of the pressure solver, over cells stored by colour as multigrid.py draws them.

t (2, 3, size): what each face lets through, area over distance [m]; t[c, a, q] belongs to the lower face across axis a
scale (2, size): one over the sum of a cell's six; 0 where there is no water
place: where a level's cells stand: first, count, row, plane, nx, ny, nz
"""

import numpy as np
from numba import njit


@njit(cache=True, fastmath=True)
def pull(colour, place, t, x, drawn):
    """Write Σ t x over the neighbours of each cell of one colour into drawn."""
    first, count, row, plane = place[0], place[1], place[2], place[3]
    other = 1 - colour
    x_low, y_low = (plane + 1 - colour) // 2, (row + 1 - colour) // 2
    x_high, y_high = plane - x_low, row - y_low
    out = drawn[first:]
    t_left, t_right = t[colour, 0, first:], t[other, 0, first + x_high :]
    t_front, t_back = t[colour, 1, first:], t[other, 1, first + y_high :]
    t_below, t_above = t[colour, 2, first:], t[other, 2, first + colour :]
    left, right = x[other, first - x_low :], x[other, first + x_high :]
    front, back = x[other, first - y_low :], x[other, first + y_high :]
    below, above = x[other, first + colour - 1 :], x[other, first + colour :]
    for q in range(count):
        across = t_left[q] * left[q] + t_right[q] * right[q] + t_front[q] * front[q] + t_back[q] * back[q]
        out[q] = across + t_below[q] * below[q] + t_above[q] * above[q]


@njit(cache=True, fastmath=True)
def relax(colour, place, t, scale, b, x):
    """Solve the cells of one colour, those of the other held: x = scale (b + Σ t x)."""
    pull(colour, place, t, x, x[colour])
    for q in range(place[0], place[0] + place[1]):
        x[colour, q] = scale[colour, q] * (b[colour, q] + x[colour, q])


@njit(cache=True, fastmath=True)
def restrict(place, drawn, below, b):
    """Write into b of the level below what its cells hold together: Σ of drawn (red cells only, the black have none)."""
    first, row, plane, nx, ny, nz = place[0], place[2], place[3], place[4], place[5], place[6]
    low_first, low_row, low_plane, low_nz = below[0], below[2], below[3], below[6]
    held = np.empty(low_nz, np.float32)
    for i in range(below[4]):
        for j in range(below[5]):
            held[:] = 0
            for fine_i in range(2 * i, min(2 * i + 2, nx)):
                for fine_j in range(2 * j, min(2 * j + 2, ny)):
                    red = drawn[first + (fine_i * plane + fine_j * row + 1) // 2 :]
                    for k in range(low_nz):
                        held[k] += red[k]
            n = 2 * low_first + i * low_plane + j * low_row
            for k in range(low_nz):
                b[(n + k) & 1, (n + k) >> 1] = held[k]


@njit(cache=True, fastmath=True)
def prolong(place, below, lean, low_x, plain, x):
    """Add the answer of the level below to the red cells, interpolated along open faces.

    lean (3, ...): a quarter of the open share of the lower faces below; plain: room for the answer, not by colour
    """
    first, row, plane, nx, ny, nz = place[0], place[2], place[3], place[4], place[5], place[6]
    low_first, low_row, low_plane, low_nz = below[0], below[2], below[3], below[6]
    for i in range(below[4]):
        for j in range(below[5]):
            n = 2 * low_first + i * low_plane + j * low_row
            for k in range(low_nz):
                plain[i + 1, j + 1, k + 1] = low_x[(n + k) & 1, (n + k) >> 1]
    for i in range(nx):
        for j in range(ny):
            n = i * plane + j * row
            red = x[0, first + (n + 1) // 2 :]
            odd = n & 1
            low_i, low_j = i // 2 + 1, j // 2 + 1
            next_i, next_j = low_i + 2 * (i & 1) - 1, low_j + 2 * (j & 1) - 1
            own = plain[low_i, low_j, 1:]
            across_x, across_y, across_z = (
                plain[next_i, low_j, 1:],
                plain[low_i, next_j, 1:],
                plain[low_i, low_j, 2 * odd :],
            )
            lean_x, lean_y = lean[0, low_i + (i & 1), low_j, 1:], lean[1, low_i, low_j + (j & 1), 1:]
            lean_z = lean[2, low_i, low_j, 1 + odd :]
            for k in range(low_nz):
                here = own[k]
                along = lean_x[k] * (across_x[k] - here) + lean_y[k] * (across_y[k] - here)
                red[k] += here + along + lean_z[k] * (across_z[k] - here)


@njit(cache=True, fastmath=True)
def cycle(places, leans, t, scale, lean, plain, drawn, b, x):
    """One V-cycle for b on the first level, from nothing: the answer is left in x.

    Before the descent the red cells are solved, then the black; after it the black, then the red. So on the way down
    only the red cells have a residual, and on the way up only they need the answer from below.
    """
    levels = len(places)
    for n in range(levels):
        o, place = places[n, 7], places[n]
        end = o + places[n, 8]
        tn, sn, bn, xn = t[:, :, o:end], scale[:, o:end], b[:, o:end], x[:, o:end]
        for q in range(place[0], place[0] + place[1]):
            xn[0, q] = sn[0, q] * bn[0, q]
        relax(1, place, tn, sn, bn, xn)
        if n + 1 < levels:
            pull(0, place, tn, xn, drawn)
            p = places[n + 1]
            restrict(place, drawn, p, b[:, p[7] : p[7] + p[8]])
    for n in range(levels - 1, -1, -1):
        o, place = places[n, 7], places[n]
        end = o + places[n, 8]
        tn, sn, bn, xn = t[:, :, o:end], scale[:, o:end], b[:, o:end], x[:, o:end]
        if n + 1 < levels:
            p = places[n + 1]
            shape = (p[4] + 2, p[5] + 2, p[6] + 2)
            size = shape[0] * shape[1] * shape[2]
            e = leans[n + 1]
            prolong(
                place,
                p,
                lean[3 * e : 3 * (e + size)].reshape((3, *shape)),
                x[:, p[7] : p[7] + p[8]],
                plain[e : e + size].reshape(shape),
                xn,
            )
        relax(1, place, tn, sn, bn, xn)
        relax(0, place, tn, sn, bn, xn)


@njit(cache=True, fastmath=True)
def correct(phi, open_x, open_y, open_z, place, spacing, source, u, v, w, residual):
    """Take ∇phi from the open faces, write into residual what each cell lacks, and say how much that is.

    residual = source - Σ open A u [m³/s], by colour
    returned: the largest |residual| and Σ residual [m³/s], and the fastest open face [m/s]
    """
    first, row, plane, nx, ny, nz = place[0], place[2], place[3], place[4], place[5], place[6]
    per_x, per_y, per_z = np.float32(1 / spacing[0]), np.float32(1 / spacing[1]), np.float32(1 / spacing[2])
    area_x, area_y, area_z = (
        np.float32(spacing[1] * spacing[2]),
        np.float32(spacing[0] * spacing[2]),
        np.float32(spacing[0] * spacing[1]),
    )
    here, before = np.zeros((ny + 1, nz + 1), np.float32), np.zeros((ny + 1, nz + 1), np.float32)
    lacks = np.empty(nz, np.float32)
    worst, total, fastest = np.float32(0), 0.0, np.float32(0)
    for i in range(nx + 1):
        if i < nx:
            here, before = before, here
            for j in range(ny):
                n = 2 * first + i * plane + j * row
                for k in range(nz):
                    here[j, k] = phi[(n + k) & 1, (n + k) >> 1]
            for j in range(ny):
                for k in range(nz):
                    u[i, j, k] -= per_x * (here[j, k] - before[j, k]) if open_x[i, j, k] > 0 else np.float32(0)
                    fastest = max(fastest, abs(u[i, j, k]) if open_x[i, j, k] > 0 else np.float32(0))
                if j > 0:
                    for k in range(nz):
                        v[i, j, k] -= per_y * (here[j, k] - here[j - 1, k]) if open_y[i, j, k] > 0 else np.float32(0)
                        fastest = max(fastest, abs(v[i, j, k]) if open_y[i, j, k] > 0 else np.float32(0))
                for k in range(1, nz):
                    w[i, j, k] -= per_z * (here[j, k] - here[j, k - 1]) if open_z[i, j, k] > 0 else np.float32(0)
                    fastest = max(fastest, abs(w[i, j, k]) if open_z[i, j, k] > 0 else np.float32(0))
        if i > 0:
            c = i - 1
            for j in range(ny):
                for k in range(nz):
                    net_x = area_x * (open_x[c + 1, j, k] * u[c + 1, j, k] - open_x[c, j, k] * u[c, j, k])
                    net_y = area_y * (open_y[c, j + 1, k] * v[c, j + 1, k] - open_y[c, j, k] * v[c, j, k])
                    lacks[k] = np.float32(source[c, j, k]) - net_x - net_y
                for k in range(nz):
                    lacks[k] -= area_z * (open_z[c, j, k + 1] * w[c, j, k + 1] - open_z[c, j, k] * w[c, j, k])
                of_row = np.float32(0)
                for k in range(nz):
                    worst = max(worst, abs(lacks[k]))
                    of_row += lacks[k]
                total += of_row
                n = 2 * first + c * plane + j * row
                for k in range(nz):
                    residual[(n + k) & 1, (n + k) >> 1] = lacks[k]
    return worst, total, fastest


@njit(cache=True)
def lay_out(open_x, open_y, open_z, place, full, t):
    """Write what the faces of the first level let through into t, by colour: open share times full [m]."""
    first, row, plane, nx, ny, nz = place[0], place[2], place[3], place[4], place[5], place[6]
    for i in range(nx):
        for j in range(ny):
            n = 2 * first + i * plane + j * row
            for k in range(nz):
                colour, q = (n + k) & 1, (n + k) >> 1
                t[colour, 0, q] = full[0] * open_x[i, j, k]
                t[colour, 1, q] = full[1] * open_y[i, j, k]
                t[colour, 2, q] = full[2] * open_z[i, j, k]


@njit(cache=True)
def coarsen(place, t, below, low_t):
    """Join the faces of eight cells: their areas together, over twice the distance."""
    row, plane, nx, ny, nz = place[2], place[3], place[4], place[5], place[6]
    half = np.float32(0.5)
    for i in range(below[4]):
        for j in range(below[5]):
            n = 2 * below[0] + i * below[3] + j * below[2]
            for k in range(below[6]):
                x, y, z = np.float32(0), np.float32(0), np.float32(0)
                for fine_i in range(2 * i, min(2 * i + 2, nx)):
                    for fine_j in range(2 * j, min(2 * j + 2, ny)):
                        for fine_k in range(2 * k, min(2 * k + 2, nz)):
                            m = 2 * place[0] + fine_i * plane + fine_j * row + fine_k
                            if fine_i == 2 * i:
                                x += t[m & 1, 0, m >> 1]
                            if fine_j == 2 * j:
                                y += t[m & 1, 1, m >> 1]
                            if fine_k == 2 * k:
                                z += t[m & 1, 2, m >> 1]
                colour, q = (n + k) & 1, (n + k) >> 1
                low_t[colour, 0, q], low_t[colour, 1, q], low_t[colour, 2, q] = half * x, half * y, half * z


@njit(cache=True)
def incline(place, t, full, lean):
    """Write a quarter of the open share of lower faces into lean (3, nx+2, ny+2, nz+2)."""
    for i in range(place[4]):
        for j in range(place[5]):
            n = 2 * place[0] + i * place[3] + j * place[2]
            for k in range(place[6]):
                for axis in range(3):
                    share = t[(n + k) & 1, axis, (n + k) >> 1] / full[axis]
                    lean[axis, i + 1, j + 1, k + 1] = 0.25 * min(share, 1.0)


@njit(cache=True)
def weigh(place, t, scale):
    """Write one over the sum of each cell's six t into scale."""
    row, plane = place[2], place[3]
    for n in range(2 * place[0], 2 * (place[0] + place[1])):
        own, other, q = n & 1, 1 - (n & 1), n >> 1
        lower = t[own, 0, q] + t[own, 1, q] + t[own, 2, q]
        upper = t[other, 0, (n + plane) >> 1] + t[other, 1, (n + row) >> 1] + t[other, 2, (n + 1) >> 1]
        if lower + upper > 0:
            scale[own, q] = 1 / (lower + upper)


@njit(cache=True)
def build(places, leans, fulls, t, scale, lean):
    """Fill all levels below the first, and what both smoothing and interpolation need on each."""
    for n in range(len(places)):
        place, o = places[n], places[n, 7]
        tn = t[:, :, o : o + place[8]]
        weigh(place, tn, scale[:, o : o + place[8]])
        shape = (place[4] + 2, place[5] + 2, place[6] + 2)
        e, size = leans[n], shape[0] * shape[1] * shape[2]
        if n > 0:
            incline(place, tn, fulls[n], lean[3 * e : 3 * (e + size)].reshape((3, *shape)))
        if n + 1 < len(places):
            p = places[n + 1]
            coarsen(place, tn, p, t[:, :, p[7] : p[7] + p[8]])
