"""Loops of the multigrid solver, over cells stored by colour as multigrid.py draws them.

All levels stand in common arrays, in which each cell has one place:

t (3, sizes)     what its lower face across each axis lets through, area over distance [m]
scale (sizes,)   one over the sum of its six; 0 where there is no water
b, x (sizes,)    what is to be solved, and the answer; the first level's alone where nothing else is asked
place (9,)       where a level's cells stand: first, plane, row, nx, ny, nz, start, size, start in boxes
back, on         how far from cells of one colour those before and behind them stand, along each axis

What sums over cells, and the stages of a pass, are written out where they are called: of a part there are two, one
within its kernel and one of its own, which is the one that is called until the kernel comes from the cache; and they
may add in another order.
"""

import numpy as np
from numba import njit

NONE, RED, BLACK = np.int64(0), np.int64(0), np.int64(1)
LEAN_X, LEAN_Y, LEAN_Z, ANSWER = np.int64(0), np.int64(1), np.int64(2), np.int64(3)  # boxes
OVER = np.float32(1.3)  # how far the first red sweep overshoots: found by trial, in boxes with and without rock
BLOCK = 8192  # cells that one stage of a pass takes at a time: few enough for all their data to stay at hand

kernel = njit(cache=True, nogil=True, fastmath=True, error_model="numpy", no_cfunc_wrapper=True)
part = njit(
    nogil=True, no_cpython_wrapper=True, no_cfunc_wrapper=True, fastmath=True, error_model="numpy"
)  # called from kernels only
within = njit(inline="always")  # written out in the one kernel that calls them
unsigned = np.uint64  # of places: one that could be negative would be taken for a count from the end, one by one


@part
def bits(x):
    """The bits of a float without its sign: they stand in the order of the floats, what is no number at the end."""
    return np.int64(np.float32(x).view(np.int32)) & 0x7FFFFFFF


@part
def in_plane(colour, i, place):
    """Where the cells of one colour in plane i start; those of plane i end where the next ones start."""
    return unsigned(place[6] + colour * place[7] + place[0] + (i * place[1] + 1 - colour) // 2)


@part
def cell(n, place):
    """Where cell n of a level stands."""
    return unsigned(place[6] + (n & 1) * place[7] + (n >> 1))


@part
def in_box(which, i, j, low):
    """Where row j of plane i of a box of a level starts."""
    return unsigned(low[8] + ((which * (low[3] + 2) + i) * (low[4] + 2) + j) * (low[5] + 2))


@part
def around(colour, place):
    """How far the cells of the other colour stand before and behind those of one."""
    apart = place[7] if colour == RED else -place[7]
    left, front = (place[1] + 1 - colour) // 2, (place[2] + 1 - colour) // 2
    right, behind = place[1] - left, place[2] - front
    back = unsigned(left - apart), unsigned(front - apart), unsigned(1 - colour - apart)
    return back, (unsigned(right + apart), unsigned(behind + apart), unsigned(colour + apart))


@part
def pull(q, back, on, t, x):
    """Σ t x over the neighbours of a cell."""
    left, front, below = q - back[0], q - back[1], q - back[2]
    right, behind, above = q + on[0], q + on[1], q + on[2]
    from_before = t[0, q] * x[left] + t[1, q] * x[front] + t[2, q] * x[below]
    return from_before + t[0, right] * x[right] + t[1, behind] * x[behind] + t[2, above] * x[above]


@part
def relax(colour, start, end, place, t, scale, b, x):
    """Solve the cells of one colour in planes start to end, the others held: x = scale (b + Σ t x)."""
    back, on = around(colour, place)
    for q in range(in_plane(colour, start, place), in_plane(colour, end, place)):
        x[q] = scale[q] * (b[q] + pull(q, back, on, t, x))


@part
def start_red(start, end, place, scale, b, x):
    """Guess the red cells of planes start to end from nothing, overshooting."""
    for q in range(in_plane(RED, start, place), in_plane(RED, end, place)):
        x[q] = OVER * scale[q] * b[q]


@part
def leave_red(start, end, place, t, b, x, left):
    """Write the residual of the red cells of planes start to end into left, the black being solved."""
    back, on = around(RED, place)
    apart = unsigned(place[6] // 2)
    for q in range(in_plane(RED, start, place), in_plane(RED, end, place)):
        left[q - apart] = pull(q, back, on, t, x) + (1 - OVER) * b[q]


@part
def restrict(low_start, low_end, place, left, low, low_b):
    """Write into planes low_start to low_end of the level below what its red cells have left (black: none).

    Beyond the last plane and the last row there are empty places, so that odd counts need no care.
    """
    plane, row = place[1], place[2]
    for low_i in range(low_start, low_end):
        for low_j in range(low[4]):
            n = 2 * (place[0] + low_i * plane + low_j * row) + 1 + place[6]
            one, two = unsigned(n >> 1), unsigned((n + row) >> 1)
            three, four = unsigned((n + plane) >> 1), unsigned((n + plane + row) >> 1)
            n = 2 * low[0] + low_i * low[1] + low_j * low[2]
            for k in range(low[5]):
                q = unsigned(k)
                low_b[cell(n + k, low)] = left[one + q] + left[two + q] + left[three + q] + left[four + q]


@part
def flatten(place, x, boxes):
    """Copy x, by colour, into the last of the boxes."""
    for i in range(place[3]):
        for j in range(place[4]):
            n, box = 2 * place[0] + i * place[1] + j * place[2], in_box(ANSWER, i + 1, j + 1, place)
            for k in range(place[5]):
                boxes[box + unsigned(k + 1)] = x[cell(n + k, place)]


@part
def prolong(start, end, place, low, boxes, x):
    """Add to the black cells of planes start to end the answer of the level below, interpolated along open faces.

    boxes, of the level below: a quarter of the open share of lower faces, and the answer
    """
    for i in range(start, end):
        low_i, odd_i = i // 2 + 1, i & 1
        for j in range(place[4]):
            n = i * place[1] + j * place[2]
            low_j, odd_j, odd_k = j // 2 + 1, j & 1, 1 - (n & 1)
            black, own = cell(2 * place[0] + n + odd_k, place), in_box(ANSWER, low_i, low_j, low)
            next_x = in_box(ANSWER, low_i - 1 + 2 * odd_i, low_j, low)
            next_y = in_box(ANSWER, low_i, low_j - 1 + 2 * odd_j, low)
            next_z, lean_z = own + unsigned(2 * odd_k), in_box(LEAN_Z, low_i, low_j, low) + unsigned(odd_k)
            lean_x, lean_y = in_box(LEAN_X, low_i + odd_i, low_j, low), in_box(LEAN_Y, low_i, low_j + odd_j, low)
            for k in range(unsigned(low[5])):
                q = k + unsigned(1)
                here = boxes[own + q]
                aslant = boxes[lean_x + q] * (boxes[next_x + q] - here) + boxes[lean_y + q] * (boxes[next_y + q] - here)
                x[black + k] += here + aslant + boxes[lean_z + q] * (boxes[next_z + k] - here)


@part
def behind(i, nx):
    """How far a stage may go that needs one plane more from the stage ahead, which has gone to i."""
    return nx if i == nx else max(i - 1, 0)


@within
def descend(place, low, t, scale, b, x, left):
    """Solve red, then black, from nothing; hand what is left to the level below. One pass, the stages in echelon."""
    nx, step = place[3], max(4, BLOCK // place[1])
    for start in range(0, nx, step):
        end = min(start + step, nx)
        start_red(start, end, place, scale, b, x)
        black, black_end = behind(start, nx), behind(end, nx)
        relax(BLACK, black, black_end, place, t, scale, b, x)
        done, rested = behind(black, nx), behind(black_end, nx)
        leave_red(done, rested, place, t, b, x, left)
        restrict(done // 2, low[3] if rested == nx else rested // 2, place, left, low, b)


@within
def ascend(place, low, t, scale, boxes, b, x, sent, sends, sums):
    """Take the answer of the level below, then solve red, then black. One pass, the stages in echelon.

    On the first level, find also what A makes of the answer (nothing, of the black cells); see send.
    """
    nx, step = place[3], max(4, BLOCK // place[1])
    for start in range(0, nx, step):
        end = min(start + step, nx)
        prolong(start, end, place, low, boxes, x)
        red, red_end = behind(start, nx), behind(end, nx)
        relax(RED, red, red_end, place, t, scale, b, x)
        black, black_end = behind(red, nx), behind(red_end, nx)
        relax(BLACK, black, black_end, place, t, scale, b, x)
        if place[6] == 0:
            send(behind(black, nx), behind(black_end, nx), place, t, scale, b, x, sent, sends, sums)


@within
def send(start, end, place, t, scale, b, x, sent, sends, sums):
    """Write A x of the red cells of planes start to end into sends; add b·x, x·sent, x·sends, Σ b and Σ x to sums."""
    back, on = around(RED, place)
    for i in range(start, end):
        gain = across = own = b_sum = x_sum = np.float32(0)
        for q in range(in_plane(RED, i, place), in_plane(RED, i + 1, place)):
            here = x[q]
            now = here / scale[q] - pull(q, back, on, t, x) if scale[q] > 0 else np.float32(0)
            sends[q] = now
            gain += b[q] * here
            across += here * sent[q]
            own += here * now
            b_sum += b[q]
            x_sum += here
        sums[0] += gain
        sums[1] += across
        sums[2] += own
        sums[3] += b_sum
        sums[4] += x_sum


@kernel
def cycle(places, t, scale, boxes, sent, b, x, sends, sums):
    """Leave in x the answer of one V-cycle for b on the first level; write A x of its red cells into sends; see send.

    The last level is one cell, whose answer is 0.
    """
    sums[:] = 0
    last = len(places) - 1
    for n in range(last):
        descend(places[n], places[n + 1], t, scale, b, x, sends)
    for n in range(last - 1, -1, -1):
        flatten(places[n + 1], x, boxes)
        ascend(places[n], places[n + 1], t, scale, boxes, b, x, sent, sends, sums)


@kernel
def eliminate(place, t, scale, mean, lack, phi, b):
    """Solve the black cells of lack - mean alone, into phi; write what the red then lack into b.

    returned: the largest of it, as bits
    """
    nx, largest = place[3], NONE
    back, on = around(RED, place)
    for i in range(nx + 1):
        for q in range(in_plane(BLACK, i, place), in_plane(BLACK, min(i + 1, nx), place)):
            lack[q] -= mean
            phi[q] = scale[q] * lack[q]
        for q in range(in_plane(RED, max(i - 1, 0), place), in_plane(RED, i, place)):
            b[q] = pull(q, back, on, t, phi) + lack[q] - mean if scale[q] > 0 else np.float32(0)
            phi[q] = 0
            largest = max(largest, bits(b[q]))
    return largest


@kernel
def complete(place, t, scale, lack, step, phi):
    """Solve the black cells of step, the red being known, and add it to phi."""
    relax(BLACK, NONE, place[3], place, t, scale, lack, step)
    for q in range(unsigned(len(phi))):
        phi[q] += step[q]


@kernel
def advance(place, alpha, beta, x, sends, search, sent, phi, b):
    """Add the new direction to the old one, and go along it.

    returned: the largest of what b then is, as bits
    """
    largest = NONE
    for q in range(in_plane(RED, NONE, place), in_plane(RED, place[3], place)):
        search[q] = x[q] + beta * search[q]
        sent[q] = sends[q] + beta * sent[q]
        phi[q] += alpha * search[q]
        b[q] -= alpha * sent[q]
        largest = max(largest, bits(b[q]))
    return largest
