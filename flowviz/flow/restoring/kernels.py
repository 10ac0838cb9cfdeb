"""Loops that give back what larger cells do not carry: narrow jets, and the motion smaller than a cell."""

from math import sqrt

import numpy as np
from numba import njit

from flowviz.formulas import jets, turbulence

kernel = njit(cache=True, no_cfunc_wrapper=True)
part = njit(no_cpython_wrapper=True, no_cfunc_wrapper=True)  # called from kernels only
smeared_speed, smeared_flat_speed = part(jets.smeared_speed), part(jets.smeared_flat_speed)
mean_magnitude = part(turbulence.mean_magnitude)

SPREAD = jets.SPREAD
REACH = 2.2  # half-widths from the axis that a jet is followed to: there it has 3 % of its speed left
MOST = 0.5  # of the marched velocity that may be taken away
LOST = 0.4  # of what the march lacks of its smeared jet: by trial, for the too-strong share of eight tanks
FADED = 3.0  # half-widths of its own, over that of its smear, from which on a jet is left as it was marched
PAST = 4.0  # steps past its last point in which that comes about
EDGE = 1e-9  # how far before the end of a row of cells a start outside is held [cells]
UNCLEAR, BESIDE = 8, 16  # parts of what bars the way: the cell is not clear; a face of it is shut
LEAST = 5e-3  # gains below this are left out [m/s]


@part
def sees(barred, cells, start, dx, dy, dz):
    """Whether all is clear from a point to one by so much farther [m]; cells a metre.

    One outside the box, as the axis of a jet may lie that turns along its side, counts as one in the cells there.
    """
    x, dx = held(start[0] * cells[0], dx * cells[0], barred.shape[0])
    y, dy = held(start[1] * cells[1], dy * cells[1], barred.shape[1])
    z, dz = held(start[2] * cells[2], dz * cells[2], barred.shape[2])
    a, b, c = int(x), int(y), int(z)
    here = barred[a, b, c]
    looks = int(max(abs(dx), abs(dy), abs(dz)))
    for look in range(1, looks + 2):
        share = look / (looks + 1)
        i, j, k = int(x + share * dx), int(y + share * dy), int(z + share * dz)
        there = barred[i, j, k]
        if there & UNCLEAR or (here & BESIDE and shut(barred, a, b, c, i, j, k)):
            return False
        here = there
        a, b, c = i, j, k
    return True


@part
def shut(barred, a, b, c, i, j, k):
    """Whether a shut face lies between two cells, in the row of the one and in that of the other."""
    return (
        (i != a and barred[max(i, a), b, c] & barred[max(i, a), j, k] & 1)
        or (j != b and barred[a, max(j, b), c] & barred[i, max(j, b), k] & 2)
        or (k != c and barred[a, b, max(k, c)] & barred[i, j, max(k, c)] & 4)
    )


@part
def held(start, way, count):
    """A start within a row of count - 1 cells, and the way from there to the same end [cells]."""
    inside = min(max(start, 0.0), count - 1 - EDGE)
    return inside, start - inside + way


@part
def beside(points, x, y, z, n):
    """Which of the points (count, 3) of a line is nearest, sought from the nth on."""
    least = apart(points, x, y, z, n)
    for step in (1, -1):
        while 0 <= n + step < len(points):
            square = apart(points, x, y, z, n + step)
            if square >= least:
                break
            n, least = n + step, square
    return n


@part
def apart(points, x, y, z, n):
    """Square of the distance from the nth point [m²]."""
    return (x - points[n, 0]) ** 2 + (y - points[n, 1]) ** 2 + (z - points[n, 2]) ** 2


@part
def law(distance, aside, off, mouth, smear):
    """Speed of a jet so far along and off its axis, out of a slot, or of a bore where that has no length [m/s]."""
    length, height, speed = mouth
    if length == 0:
        return smeared_speed(distance, off, height, speed, smear)
    return smeared_flat_speed(distance, aside, off, length, height, speed, smear)


@part
def split(ways, rows, n, dx, dy, dz):
    """What of a distance lies along the jet, along its slot, and across both [m]."""
    beyond = dx * ways[n, 0] + dy * ways[n, 1] + dz * ways[n, 2]
    aside = dx * rows[n, 0] + dy * rows[n, 1] + dz * rows[n, 2]
    return beyond, aside, sqrt(max(dx * dx + dy * dy + dz * dz - beyond * beyond - aside * aside, 0.0))


@part
def within(along, aside, off, mouth, smears):
    """Whether a jet is followed so far along and off its axis [m]: past the ends of a slot as far as off its sides."""
    out, square = max(abs(aside) - mouth[0] / 2, 0.0), (SPREAD * along) ** 2 + smears[0] * smears[0]
    return out * out + off * off <= REACH * REACH * square and 0 < along < FADED * smears[0] / SPREAD


@part
def believed(along, past, step, wide, there, blunt):
    """How much of what the law gives is given [-]: the less, the farther out, as the march has what it should."""
    far = wide / SPREAD
    sure = min(2 - along / far, 1 - max(past, 0.0) / (PAST * step))
    return min(1.0, max(sure, min(1.0, there / blunt)), FADED - along / far)


@part
def with_image(along, aside, off, behind, mouth, smear):
    """Speed so far off the axis of a jet and so far from that of its image behind a wall: their momenta add up [m/s].

    H. Reichardt, VDI-Forschungsheft 414 (1942), from memory.
    """
    one, other = law(along, aside, off, mouth, smear), law(along, aside, behind, mouth, smear)
    return sqrt(one * one + other * other)


@part
def off_image(off, away, gap):
    """How far a place is from the axis of a jet's image behind a wall [m].

    off     of the place from the jet's own axis [m]
    away    of that axis from the wall [m]
    gap     of the place from the wall [m]
    """
    return sqrt(off * off + 4 * away * max(gap, 0.0))


@part
def gains(along, aside, off, behind, past, step, mouth, smears, there):
    """What velocity gains where so much of it was marched along the jet [m/s], and what its square gains [m²/s²]."""
    wide, narrow = smears
    sharp = with_image(along, aside, off, behind, mouth, narrow)
    blunt = with_image(along, aside, off, behind, mouth, wide)
    share = believed(along, past, step, wide, there, blunt)
    blunt -= LOST * max(blunt - there, 0.0)
    gain = share * max(sharp - blunt, -MOST * there)
    return gain, gain * (sharp + blunt)


@kernel
def sharpen(
    first, last, spacing, barred, box, step, points, ways, walls, rows, strips, mouth, smears, marched, velocity, square
):
    """Give the cells of a box what a jet has with narrow smear and the march has not.

    That is the law's difference to a jet with wide smear, and a share of what the march lacks of that one. Where it is
    negative, no more is taken than half of the velocity that was marched, which may have gone another way by there.
    Past its last point, where its axis meets a wall, what passes by is followed straight on, as far as can be seen from
    there. There, and beyond where the jet's own half-width is that of the wide smear, the march is more and more
    believed as to how much is left of the jet.

    first, last     the planes of the box across x to do, first <= i < last
    barred          (nx+1, ny+1, nz+1) uint8, the sum of 1, 2, 4 where the lower face of a cell across x, y, z is shut,
                    of BESIDE where any is, and of UNCLEAR where the cell is not clear water
    box             (2, 3) first cell, and the one after the last
    points, ways    (n, 3) the jet's axis, a step apart [m], and its direction there [-]
    walls           (n, 4) normal of the smooth wall beside it there, towards that [-], and how far it is [m]
    rows            (n, 3) direction of the length of its slot there [-]; 0 where it leaves from a bore
    strips          (n, 3) how far the axis is from the middle of the slot's length there [m], and how much of what is
                    given goes over to the axis beside it in each metre towards the one end and the other [1/m]
    mouth           length and height of the slot, or 0 and the bore [m]; speed there [m/s]
    smears          wide and narrow, as in the formula [m]
    marched         velocity of the cells (nx, ny, nz, 3) [m/s]
    velocity        (3, nx, ny, nz) gains it [m/s]
    square          (nx, ny, nz) gains the square of it [m²/s²]
    """
    cells = 1 / spacing[0], 1 / spacing[1], 1 / spacing[2]
    end = len(points) - 1
    for i in range(box[0, 0] + first, box[0, 0] + last):
        n = np.int64(0)
        for j in range(box[0, 1], box[1, 1]):
            for k in range(box[0, 2], box[1, 2]):
                x, y, z = (i + 0.5) * spacing[0], (j + 0.5) * spacing[1], (k + 0.5) * spacing[2]
                n = beside(points, x, y, z, n)
                dx, dy, dz = x - points[n, 0], y - points[n, 1], z - points[n, 2]
                beyond, aside, off = split(ways, rows, n, dx, dy, dz)
                along, near = n * step + beyond, n == end or abs(beyond) <= step
                if barred[i, j, k] & UNCLEAR or not (near and within(along, aside + strips[n, 0], off, mouth, smears)):
                    continue
                own = 1 - max(aside * strips[n, 2], -aside * strips[n, 1])
                if own <= 0:
                    continue
                u, v, w = marched[i, j, k, 0], marched[i, j, k, 1], marched[i, j, k, 2]
                there = max(u * ways[n, 0] + v * ways[n, 1] + w * ways[n, 2], 0.0)
                gap = walls[n, 3] - dx * walls[n, 0] - dy * walls[n, 1] - dz * walls[n, 2]
                offs = aside + strips[n, 0], off, off_image(off, walls[n, 3], gap)
                gain, more = gains(along, *offs, along - end * step, step, mouth, smears, there)
                if n < end:
                    dx, dy, dz = dx - beyond * ways[n, 0], dy - beyond * ways[n, 1], dz - beyond * ways[n, 2]
                if abs(gain) > LEAST and sees(barred, cells, (x - dx, y - dy, z - dz), dx, dy, dz):
                    for axis in range(3):
                        velocity[axis, i, j, k] += np.float32(ways[n, axis] * own * gain)
                    square[i, j, k] += np.float32(own * more)


@kernel
def expect(first, last, u, v, w, fluctuation, speed):
    """Write the time-mean of |u| that velocity and fluctuation of cells let expect into speed (nx, ny, nz) [m/s].

    first, last    the planes across x to do, first <= i < last
    """
    _, ny, nz = speed.shape
    for i in range(first, last):
        for j in range(ny):
            for k in range(nz):
                a = u[i, j, k] + u[i + 1, j, k]
                b = v[i, j, k] + v[i, j + 1, k]
                c = w[i, j, k] + w[i, j, k + 1]
                mean = 0.5 * sqrt(float(a * a + b * b + c * c))
                speed[i, j, k] = mean_magnitude(mean, float(fluctuation[i, j, k]))
