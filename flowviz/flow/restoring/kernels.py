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
LEAST = 5e-3  # gains below this are left out [m/s]


@part
def sees(water, cells, start, dx, dy, dz):
    """Whether all is water between a point and one by so much farther, that itself left out [m]; cells a metre."""
    x, y, z = start[0] * cells[0], start[1] * cells[1], start[2] * cells[2]
    dx, dy, dz = dx * cells[0], dy * cells[1], dz * cells[2]
    looks = int(max(abs(dx), abs(dy), abs(dz)))
    for look in range(1, looks + 1):
        share = look / (looks + 1)
        if not water[int(x + share * dx), int(y + share * dy), int(z + share * dz)]:
            return False
    return True


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
def law(distance, aside, off, length, height, speed, smear):
    """Speed of a jet so far along and off its axis, out of a slot, or of a bore where that has no length [m/s]."""
    if length == 0:
        return smeared_speed(distance, off, height, speed, smear)
    return smeared_flat_speed(distance, aside, off, length, height, speed, smear)


@kernel
def sharpen(
    spacing, water, box, step, points, ways, rows, length, height, speed, wide, narrow, marched, velocity, square
):
    """Give the cells of a box what a jet has with narrow smear and the march has not.

    That is the law's difference to a jet with wide smear, and a share of what the march lacks of that one. Where it is
    negative, no more is taken than half of the velocity that was marched, which may have gone another way by there.
    Past its last point, where its axis meets a wall, what passes by is followed straight on, as far as can be seen from
    there. There, and beyond where the jet's own half-width is that of the wide smear, the march is more and more
    believed as to how much is left of the jet.

    box             (2, 3) first cell, and the one after the last
    points, ways    (n, 3) the jet's axis, a step apart [m], and its direction there [-]
    rows            (n, 3) direction of the length of its slot there [-]
    length, height  of the slot that it leaves from; 0 and the bore where that is round [m]
    speed           at the outlet [m/s]
    wide, narrow    smear, as in the formula [m]
    marched         velocity of the cells (nx, ny, nz, 3) [m/s]
    velocity        (3, nx, ny, nz) gains it [m/s]
    square          (nx, ny, nz) gains the square of it [m²/s²]
    """
    cells, far, n = 1 / spacing, wide / SPREAD, np.int64(0)
    known = (len(points) - 1) * step
    for i in range(box[0, 0], box[1, 0]):
        for j in range(box[0, 1], box[1, 1]):
            for k in range(box[0, 2], box[1, 2]):
                x, y, z = (i + 0.5) * spacing[0], (j + 0.5) * spacing[1], (k + 0.5) * spacing[2]
                n = beside(points, x, y, z, n)
                way = ways[n, 0], ways[n, 1], ways[n, 2]
                dx, dy, dz = x - points[n, 0], y - points[n, 1], z - points[n, 2]
                beyond = dx * way[0] + dy * way[1] + dz * way[2]
                along, square_off = n * step + beyond, dx * dx + dy * dy + dz * dz - beyond * beyond
                aside = dx * rows[n, 0] + dy * rows[n, 1] + dz * rows[n, 2] if length > 0 else 0.0
                off = sqrt(max(square_off - aside * aside, 0.0))
                out, reach = max(abs(aside) - length / 2, 0.0), REACH * sqrt((SPREAD * along) ** 2 + wide * wide)
                last = n == len(points) - 1
                if (
                    not water[i, j, k]
                    or out * out + off * off > reach * reach
                    or not 0 < along < FADED * far
                    or (abs(beyond) > step and not last)
                ):
                    continue
                u, v, w = marched[i, j, k, 0], marched[i, j, k, 1], marched[i, j, k, 2]
                there = max(u * way[0] + v * way[1] + w * way[2], 0.0)
                sharp = law(along, aside, off, length, height, speed, narrow)
                blunt = law(along, aside, off, length, height, speed, wide)
                sure = min(2 - along / far, 1 - max(along - known, 0.0) / (PAST * step))
                share = max(sure, min(1.0, there / blunt))
                blunt -= LOST * max(blunt - there, 0.0)
                gain = min(1.0, share, FADED - along / far) * max(sharp - blunt, -MOST * there)
                if not last:
                    dx, dy, dz = dx - beyond * way[0], dy - beyond * way[1], dz - beyond * way[2]
                if abs(gain) > LEAST and sees(water, cells, (x - dx, y - dy, z - dz), dx, dy, dz):
                    for axis in range(3):
                        velocity[axis, i, j, k] += np.float32(way[axis] * gain)
                    square[i, j, k] += np.float32(gain * (sharp + blunt))


@kernel
def expect(u, v, w, fluctuation, speed):
    """Write the time-mean of |u| that velocity and fluctuation of cells let expect into speed (nx, ny, nz) [m/s]."""
    nx, ny, nz = speed.shape
    for i in range(nx):
        for j in range(ny):
            for k in range(nz):
                a = u[i, j, k] + u[i + 1, j, k]
                b = v[i, j, k] + v[i, j + 1, k]
                c = w[i, j, k] + w[i, j, k + 1]
                mean = 0.5 * sqrt(float(a * a + b * b + c * c))
                speed[i, j, k] = mean_magnitude(mean, float(fluctuation[i, j, k]))
