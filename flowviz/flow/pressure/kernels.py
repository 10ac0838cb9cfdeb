"""Loops of the multigrid solver, over cells stored by colour as multigrid.py draws them.

t (2, 3, size)     what each face lets through, area over distance [m]; t[c, a, q] is the lower face across axis a
scale (2, size)    one over the sum of a cell's six; 0 where there is no water
place (9,)         where a level's cells stand: first, plane, row, nx, ny, nz, start, size, start in boxes
"""

import numpy as np
from numba import njit

RED, BLACK = np.int64(0), np.int64(1)
OVER = np.float32(1.3)  # how far the first red sweep overshoots: found by trial, in boxes with and without rock
BLOCK = 8192  # cells that one stage of a pass takes at a time: few enough for all their data to stay at hand

kernel = njit(cache=True, fastmath=True, nogil=True)
part = njit(
    cache=True, fastmath=True, nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True
)  # called from kernels only


@part
def in_plane(colour, i, place):
    """Where the cells of one colour in plane i start; those of plane i end where the next ones start."""
    return place[0] + (i * place[1] + 1 - colour) // 2


@part
def level(place, flat):
    """The part of flat that belongs to a level, by colour (2, size)."""
    return flat[2 * place[6] : 2 * (place[6] + place[7])].reshape((2, place[7]))


@part
def level_faces(place, flat):
    """The part of flat that belongs to a level's faces, by colour (2, 3, size)."""
    return flat[6 * place[6] : 6 * (place[6] + place[7])].reshape((2, 3, place[7]))


@part
def level_boxes(place, flat):
    """The part of flat that belongs to a level and one cell about it, not by colour (4, nx+2, ny+2, nz+2)."""
    shape = (4, place[3] + 2, place[4] + 2, place[5] + 2)
    return flat[place[8] : place[8] + 4 * shape[1] * shape[2] * shape[3]].reshape(shape)


@part
def around(colour, start, place, t, x):
    """The t of the six faces of the cells of one colour from start on, and the x beyond them."""
    own, other, across = t[colour], t[1 - colour], x[1 - colour]
    left, front = (place[1] + 1 - colour) // 2, (place[2] + 1 - colour) // 2
    right, back = place[1] - left, place[2] - front
    lower = own[0, start:], own[1, start:], own[2, start:]
    upper = other[0, start + right :], other[1, start + back :], other[2, start + colour :]
    before = across[start - left :], across[start - front :], across[start + colour - 1 :]
    behind = across[start + right :], across[start + back :], across[start + colour :]
    return lower, upper, before, behind


@part
def pull(faces, q):
    """Σ t x over the neighbours of a cell."""
    lower, upper, before, behind = faces
    from_before = lower[0][q] * before[0][q] + lower[1][q] * before[1][q] + lower[2][q] * before[2][q]
    return from_before + upper[0][q] * behind[0][q] + upper[1][q] * behind[1][q] + upper[2][q] * behind[2][q]


@part
def relax(colour, start, end, place, t, scale, b, x):
    """Solve the cells of one colour in planes start to end, the others held: x = scale (b + Σ t x)."""
    first = in_plane(colour, start, place)
    faces = around(colour, first, place, t, x)
    scales, fed, solved = scale[colour, first:], b[colour, first:], x[colour, first:]
    for q in range(in_plane(colour, end, place) - first):
        solved[q] = scales[q] * (fed[q] + pull(faces, q))


@part
def start_red(start, end, place, scale, b, x):
    """Guess the red cells of planes start to end from nothing, overshooting."""
    first = in_plane(RED, start, place)
    scales, fed, guess = scale[RED, first:], b[RED, first:], x[RED, first:]
    for q in range(in_plane(RED, end, place) - first):
        guess[q] = OVER * scales[q] * fed[q]


@part
def leave_red(start, end, place, t, b, x, left):
    """Write the residual of the red cells of planes start to end into left, the black being solved."""
    first = in_plane(RED, start, place)
    faces = around(RED, first, place, t, x)
    fed, lefts = b[RED, first:], left[first:]
    for q in range(in_plane(RED, end, place) - first):
        lefts[q] = pull(faces, q) + (1 - OVER) * fed[q]


@part
def restrict(low_start, low_end, place, left, low, low_b):
    """Write into planes low_start to low_end of the level below what its red cells have left (black: none).

    Beyond the last plane and the last row there are empty places, so that odd counts need no care.
    """
    plane, row, held = place[1], place[2], np.empty(low[5], np.float32)
    for low_i in range(low_start, low_end):
        for low_j in range(low[4]):
            n = 2 * (place[0] + low_i * plane + low_j * row) + 1
            one, two = left[n >> 1 :], left[(n + row) >> 1 :]
            three, four = left[(n + plane) >> 1 :], left[(n + plane + row) >> 1 :]
            for k in range(low[5]):
                held[k] = one[k] + two[k] + three[k] + four[k]
            n = 2 * low[0] + low_i * low[1] + low_j * low[2]
            for k in range(low[5]):
                low_b[(n + k) & 1, (n + k) >> 1] = held[k]


@part
def flatten(place, x, boxes):
    """Copy x, by colour, into the last of the boxes."""
    for i in range(place[3]):
        for j in range(place[4]):
            n = 2 * place[0] + i * place[1] + j * place[2]
            for k in range(place[5]):
                boxes[3, i + 1, j + 1, k + 1] = x[(n + k) & 1, (n + k) >> 1]


@part
def prolong(start, end, place, low, boxes, x):
    """Add to the black cells of planes start to end the answer of the level below, interpolated along open faces.

    boxes, of the level below: a quarter of the open share of lower faces, and the answer
    """
    lean, box = boxes[:3], boxes[3]
    for i in range(start, end):
        low_i, odd_i = i // 2 + 1, i & 1
        for j in range(place[4]):
            n = i * place[1] + j * place[2]
            low_j, odd_j, odd_k = j // 2 + 1, j & 1, 1 - (n & 1)
            black, own = x[BLACK, place[0] + n // 2 :], box[low_i, low_j, 1:]
            next_x, next_y = box[low_i - 1 + 2 * odd_i, low_j, 1:], box[low_i, low_j - 1 + 2 * odd_j, 1:]
            next_z = box[low_i, low_j, 2 * odd_k :]
            lean_x, lean_y = lean[0, low_i + odd_i, low_j, 1:], lean[1, low_i, low_j + odd_j, 1:]
            lean_z = lean[2, low_i, low_j, 1 + odd_k :]
            for k in range(low[5]):
                here = own[k]
                aslant = lean_x[k] * (next_x[k] - here) + lean_y[k] * (next_y[k] - here)
                black[k] += here + aslant + lean_z[k] * (next_z[k] - here)


@part
def behind(i, count, nx):
    """How far a stage may go that needs count planes more from the stages ahead, which have gone to i."""
    return nx if i == nx else max(i - count, 0)


@part
def descend(place, low, t, scale, b, x, left, low_b):
    """Solve red, then black, from nothing; hand what is left to the level below. One pass, the stages in echelon."""
    nx, step = place[3], max(4, BLOCK // place[1])
    for start in range(0, nx, step):
        end = min(start + step, nx)
        start_red(start, end, place, scale, b, x)
        relax(BLACK, behind(start, 1, nx), behind(end, 1, nx), place, t, scale, b, x)
        done, rested = behind(start, 2, nx), behind(end, 2, nx)
        leave_red(done, rested, place, t, b, x, left)
        restrict(done // 2, low[3] if rested == nx else rested // 2, place, left, low, low_b)


@part
def ascend(place, low, t, scale, boxes, b, x):
    """Take the answer of the level below, then solve red, then black. One pass, the stages in echelon."""
    nx, step = place[3], max(4, BLOCK // place[1])
    for start in range(0, nx, step):
        end = min(start + step, nx)
        prolong(start, end, place, low, boxes, x)
        relax(RED, behind(start, 1, nx), behind(end, 1, nx), place, t, scale, b, x)
        relax(BLACK, behind(start, 2, nx), behind(end, 2, nx), place, t, scale, b, x)


@part
def send(start, end, place, t, scale, b, x, sent, sends, sums):
    """Write A x of the red cells of planes start to end into sends; add b·x, x·sent, x·sends, Σ b and Σ x to sums."""
    for i in range(start, end):
        first = in_plane(RED, i, place)
        faces = around(RED, first, place, t, x)
        scales, here, fed, was, now = scale[RED, first:], x[RED, first:], b[RED, first:], sent[first:], sends[first:]
        gain = across = own = b_sum = x_sum = np.float32(0)
        for q in range(in_plane(RED, i + 1, place) - first):
            now[q] = here[q] / scales[q] - pull(faces, q) if scales[q] > 0 else np.float32(0)
            gain += fed[q] * here[q]
            across += here[q] * was[q]
            own += here[q] * now[q]
            b_sum += fed[q]
            x_sum += here[q]
        for n, found in enumerate((gain, across, own, b_sum, x_sum)):
            sums[n] += found


@part
def ascend_and_send(place, low, t, scale, boxes, b, x, sent, sends):
    """Go up to the first level, and find what A makes of the answer there (nothing, of the black cells); see send."""
    nx, step, sums = place[3], max(4, BLOCK // place[1]), np.zeros(5)
    for start in range(0, nx, step):
        end = min(start + step, nx)
        prolong(start, end, place, low, boxes, x)
        relax(RED, behind(start, 1, nx), behind(end, 1, nx), place, t, scale, b, x)
        relax(BLACK, behind(start, 2, nx), behind(end, 2, nx), place, t, scale, b, x)
        send(behind(start, 3, nx), behind(end, 3, nx), place, t, scale, b, x, sent, sends, sums)
    return sums


@kernel
def cycle(places, t, scale, boxes, sent, sends, b, x):
    """Leave in x the answer of one V-cycle for b on the first level; write A x of its red cells into sends; see send.

    The last level is one cell, whose answer is 0.
    """
    last = len(places) - 1
    for n in range(last):
        place, low = places[n], places[n + 1]
        faces, scales = level_faces(place, t), level(place, scale)
        left = sends[place[6] : place[6] + place[7]]
        descend(place, low, faces, scales, level(place, b), level(place, x), left, level(low, b))
    for n in range(last - 1, 0, -1):
        place, low = places[n], places[n + 1]
        faces, scales, low_boxes = level_faces(place, t), level(place, scale), level_boxes(low, boxes)
        flatten(low, level(low, x), low_boxes)
        ascend(place, low, faces, scales, low_boxes, level(place, b), level(place, x))
    place, low, low_boxes = places[0], places[1], level_boxes(places[1], boxes)
    flatten(low, level(low, x), low_boxes)
    faces, scales = level_faces(place, t), level(place, scale)
    return ascend_and_send(place, low, faces, scales, low_boxes, level(place, b), level(place, x), sent, sends)


@kernel
def eliminate(place, t, scale, mean, lack, phi, b):
    """Solve the black cells of lack - mean alone, into phi; write what the red then lack into b."""
    nx = place[3]
    for i in range(nx + 1):
        if i < nx:
            first = in_plane(BLACK, i, place)
            scales, lacks, solved = scale[BLACK, first:], lack[BLACK, first:], phi[BLACK, first:]
            for q in range(in_plane(BLACK, i + 1, place) - first):
                lacks[q] -= mean
                solved[q] = scales[q] * lacks[q]
        if i > 0:
            first = in_plane(RED, i - 1, place)
            faces = around(RED, first, place, t, phi)
            scales, lacks, solved, left = scale[RED, first:], lack[RED, first:], phi[RED, first:], b[RED, first:]
            for q in range(in_plane(RED, i, place) - first):
                left[q] = pull(faces, q) + lacks[q] - mean if scales[q] > 0 else np.float32(0)
                solved[q] = 0


@kernel
def complete(place, t, scale, lack, step, phi):
    """Solve the black cells of step, the red being known, and add it to phi."""
    for i in range(place[3]):
        relax(BLACK, i, i + 1, place, t, scale, lack, step)
        for colour in range(2):
            first = in_plane(colour, i, place)
            new, old = step[colour, first:], phi[colour, first:]
            for q in range(in_plane(colour, i + 1, place) - first):
                old[q] += new[q]


@kernel
def advance(place, alpha, beta, x, sends, search, sent, phi, b):
    """Add the new direction to the old one, and go along it."""
    start = place[0]
    fresh, fresh_sent, along, along_sent = x[RED, start:], sends[start:], search[start:], sent[start:]
    moved, left = phi[RED, start:], b[RED, start:]
    for q in range(in_plane(RED, place[3], place) - start):
        along[q] = fresh[q] + beta * along[q]
        along_sent[q] = fresh_sent[q] + beta * along_sent[q]
        moved[q] += alpha * along[q]
        left[q] -= alpha * along_sent[q]
