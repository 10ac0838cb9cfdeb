"""The loops of the grid: shares of cells and faces that are open, and water that hangs together."""

import numpy as np
from numba import njit

ALIKE = 1e-6  # of the larger, difference up to which two bodies of water are equally large

kernel = njit(cache=True, no_cfunc_wrapper=True)
part = njit(no_cpython_wrapper=True, no_cfunc_wrapper=True)  # called from kernels only

SIDES = np.array(  # corners of a cell's faces in going round; corner 4 a + 2 b + c lies at (i + a, j + b, k + c)
    [(0, 1, 3, 2), (4, 5, 7, 6), (0, 1, 5, 4), (2, 3, 7, 6), (0, 2, 6, 4), (1, 3, 7, 5)]
)


@part
def triangle_share(a, b, c):
    """Share of a triangle where a linear function with these values in its corners is positive [-].

    Zeros count as positive beside positive values and as negative beside negative ones.
    """
    low, high = min(a, b, c), max(a, b, c)
    middle = max(min(a, b), min(max(a, b), c))
    if low >= 0.0:
        return 1.0
    if high <= 0.0:
        return 0.0
    if middle <= 0.0:
        return high * high / ((high - middle) * (high - low))
    return 1.0 - low * low / ((low - middle) * (low - high))


@part
def tetrahedron_share(a, b, c, d):
    """Share of a tetrahedron where a linear function with these values in its corners is positive [-].

    With p and q above zero and a and b below:

        [p²q² - (a + b) pq (p + q) + ab (p² + pq + q²)]/[(p - a)(p - b)(q - a)(q - b)]

    Zeros count as in triangle_share.
    """
    a, b = min(a, b), max(a, b)
    c, d = min(c, d), max(c, d)
    a, c = min(a, c), max(a, c)
    b, d = min(b, d), max(b, d)
    b, c = min(b, c), max(b, c)
    if a >= 0.0:
        return 1.0
    if d <= 0.0:
        return 0.0
    if c <= 0.0:
        return d * d * d / ((d - a) * (d - b) * (d - c))
    if b > 0.0:
        return 1.0 - a * a * a / ((a - b) * (a - c) * (a - d))
    p, q = d, c
    above = p * p * q * q - (a + b) * p * q * (p + q) + a * b * (p * p + p * q + q * q)
    return above / ((p - a) * (p - b) * (q - a) * (q - b))


@kernel
def open_faces(nodes, ai, aj, ak, bi, bj, bk, share):
    """Write the open share of faces (n, m, l) [-], between node (i, j, k) and the nodes a and b steps away.

    nodes (3, nx+1, ny+1, nz+1) [m]: distance into the water from glass, rock and sand; each counts only where it cuts
    the face. Linear in the four triangles about the middle of the face, so exact for flat surfaces.
    """
    for i in range(share.shape[0]):
        for j in range(share.shape[1]):
            for k in range(share.shape[2]):
                p = q = r = s = np.inf
                for solid in range(3):
                    here = np.float64(nodes[solid, i, j, k])
                    along = np.float64(nodes[solid, i + ai, j + aj, k + ak])
                    across = np.float64(nodes[solid, i + ai + bi, j + aj + bj, k + ak + bk])
                    back = np.float64(nodes[solid, i + bi, j + bj, k + bk])
                    if min(here, along, across, back) < 0.0:
                        p, q, r, s = min(p, here), min(q, along), min(r, across), min(s, back)
                if p == np.inf:
                    share[i, j, k] = 1.0
                else:
                    m = (p + r + (q + s)) / 4.0
                    share[i, j, k] = (
                        triangle_share(p, q, m)
                        + triangle_share(r, s, m)
                        + (triangle_share(q, r, m) + triangle_share(s, p, m))
                    ) / 4.0


@kernel
def open_volumes(nodes, middles, share, nearest):
    """Write the open share of cells (nx, ny, nz) [-] and which of glass, rock and sand, 0 to 2, fills the rest of each.

    nodes (3, nx+1, ny+1, nz+1) [m]: distance into the water; middles (nx, ny, nz) [m]: that from rock in the middle of
    cells. Linear in the 24 tetrahedra between the middles of cell and faces and the edges, so exact for flat surfaces.
    """
    own = np.empty(9)
    value = np.empty(9)
    for i in range(share.shape[0]):
        for j in range(share.shape[1]):
            for k in range(share.shape[2]):
                for point in range(9):
                    value[point] = np.inf
                in_glass = False
                deepest = np.inf
                for solid in range(3):
                    lowest = gather_cell(nodes, solid, i, j, k, own)
                    if solid == 1:
                        own[8] = middles[i, j, k]
                    if min(lowest, own[8]) < 0.0:
                        for point in range(9):
                            value[point] = min(value[point], own[point])
                    if own[8] < deepest and not in_glass:
                        deepest = own[8]
                        nearest[i, j, k] = solid
                    in_glass = in_glass or (solid == 0 and own[8] < 0.0)
                share[i, j, k] = 1.0 if value[8] == np.inf else cell_share(value)


@part
def gather_cell(nodes, solid, i, j, k, own):
    """Write the distances from one solid in the corners of a cell, and their mean as the ninth, into own (9,).

    Returns the lowest of the corners.
    """
    lowest = np.inf
    total = 0.0
    for corner in range(8):
        own[corner] = nodes[solid, i + corner // 4, j + corner // 2 % 2, k + corner % 2]
        lowest = min(lowest, own[corner])
        total += own[corner]
    own[8] = total / 8.0
    return lowest


@part
def cell_share(value):
    """Share of a cell where a function is positive [-], from its values in the eight corners and in the middle (9,)."""
    total = 0.0
    for side in range(6):
        face = 0.0
        for n in range(4):
            face += value[SIDES[side, n]] / 4.0
        for n in range(4):
            total += tetrahedron_share(value[8], face, value[SIDES[side, n]], value[SIDES[side, (n + 1) % 4]])
    return total / 24.0


@kernel
def label_bodies(water, open_x, open_y, open_z, label):
    """Number the bodies of water that hang together through open faces: 1, 2, ... in label, which is 0 elsewhere.

    label    (nx, ny, nz) int32, 0
    """
    _, ny, nz = water.shape
    stack = np.empty(water.size, np.int64)
    count = 0
    for seed in range(water.size):
        i, j, k = seed // (ny * nz), seed // nz % ny, seed % nz
        if water[i, j, k] and label[i, j, k] == 0:
            count += 1
            label[i, j, k] = count
            stack[0] = seed
            flood(water, open_x, open_y, open_z, count, stack, label)


@part
def flood(water, open_x, open_y, open_z, number, stack, label):
    """Give a number to all water that hangs together with the first cell of a stack, which has it."""
    nx, ny, nz = water.shape
    top = 1
    while top > 0:
        top -= 1
        i, j, k = stack[top] // (ny * nz), stack[top] // nz % ny, stack[top] % nz
        for side in range(6):
            axis, up = side // 2, side % 2
            ti = i + (2 * up - 1) * (axis == 0)
            tj = j + (2 * up - 1) * (axis == 1)
            tk = k + (2 * up - 1) * (axis == 2)
            if not (0 <= ti < nx and 0 <= tj < ny and 0 <= tk < nz) or not water[ti, tj, tk] or label[ti, tj, tk] > 0:
                continue
            if axis == 0:
                share = open_x[i + up, j, k]
            elif axis == 1:
                share = open_y[i, j + up, k]
            else:
                share = open_z[i, j, k + up]
            if share > 0.0:
                label[ti, tj, tk] = number
                stack[top] = (ti * ny + tj) * nz + tk
                top += 1


@kernel
def find_homes(water, taken, volume, faces, cells, ends, widths, room, home):
    """Mark the pieces of cells that belong to the largest body of water within their larger cell, or to one taken.

    water, taken, volume    (nx, ny, nz) whether a cell is water, whether its body is home in any case, its open share
    faces                   open shares of the faces across x, y, z
    cells, widths           of the pieces along each axis: the cell, and how much of it
    ends                    along each axis, the first piece of each larger cell, and the number of pieces
    room                    number of pieces in a larger cell, at most
    home                    (pieces along x, y, z), False
    """
    body, size, counts = np.empty(room, np.int64), np.empty(room), np.empty(room, np.bool_)
    low, high = np.empty(3, np.int64), np.empty(3, np.int64)
    for i in range(len(ends[0]) - 1):
        for j in range(len(ends[1]) - 1):
            for k in range(len(ends[2]) - 1):
                for axis, n in enumerate((i, j, k)):
                    low[axis], high[axis] = ends[axis][n], ends[axis][n + 1]
                join(water, faces, cells, low, high, body)
                measure(taken, volume, cells, widths, low, high, body, size, counts)
                choose(low, high, body, size, counts, home)


@part
def join(water, faces, cells, low, high, body):
    """Give the pieces from low to high the number of their body, that of its first piece; -1 where no water is."""
    row = high[2] - low[2]
    plane = row * (high[1] - low[1])
    n = 0
    for a in range(low[0], high[0]):
        for b in range(low[1], high[1]):
            for c in range(low[2], high[2]):
                body[n] = n if water[cells[0][a], cells[1][b], cells[2][c]] else -1
                n += 1
    changed = True
    while changed:
        changed = False
        n = 0
        for a in range(low[0], high[0]):
            for b in range(low[1], high[1]):
                for c in range(low[2], high[2]):
                    i, j, k = cells[0][a], cells[1][b], cells[2][c]
                    if a > low[0] and faces[0][i, j, k] > 0.0:
                        changed |= even(body, n, n - plane)
                    if b > low[1] and faces[1][i, j, k] > 0.0:
                        changed |= even(body, n, n - row)
                    if c > low[2] and faces[2][i, j, k] > 0.0:
                        changed |= even(body, n, n - 1)
                    n += 1


@part
def even(body, n, m):
    """Give two pieces the lower one of their numbers; whether they had two."""
    before = body[n] != body[m]
    body[n] = body[m] = min(body[n], body[m])
    return before


@part
def measure(taken, volume, cells, widths, low, high, body, size, counts):
    """Write how large each body is, and whether cells of it are taken."""
    for n in range(len(size)):
        size[n], counts[n] = 0.0, False
    n = 0
    for a in range(low[0], high[0]):
        for b in range(low[1], high[1]):
            for c in range(low[2], high[2]):
                if body[n] >= 0:
                    i, j, k = cells[0][a], cells[1][b], cells[2][c]
                    size[body[n]] += volume[i, j, k] * widths[0][a] * widths[1][b] * widths[2][c]
                    counts[body[n]] |= taken[i, j, k]
                n += 1


@part
def choose(low, high, body, size, counts, home):
    """Mark the pieces whose body is the largest, by far enough to tell, or is taken."""
    most, alike = 0.0, 0
    for n in range(len(size)):
        most = max(most, size[n])
    for n in range(len(size)):
        alike += size[n] > (1 - ALIKE) * most
    n = 0
    for a in range(low[0], high[0]):
        for b in range(low[1], high[1]):
            for c in range(low[2], high[2]):
                if body[n] >= 0:
                    largest = alike == 1 and size[body[n]] == most
                    home[a, b, c] = largest or counts[body[n]]
                n += 1
