"""Loops that give back what larger cells do not carry: narrow jets, and the motion smaller than a cell."""

from math import sqrt

import numpy as np
from numba import njit

from flowviz.formulas import jets, turbulence

SPREAD = jets.SPREAD
smeared_speed = njit(jets.smeared_speed)
mean_magnitude = njit(turbulence.mean_magnitude)

REACH = 1.8  # half-widths from the axis that a jet is followed to
MOST = 0.5  # of the marched velocity that may be taken away
LEAST = 5e-3  # gains below this are left out [m/s]


@njit(cache=True)
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


@njit(cache=True)
def sharpen(spacing, water, start, direction, bore, speed, wide, narrow, marched, velocity, square):
    """Add to cells what a jet has with narrow smear more than with wide one.

    Where that is less, no more is taken than half of the velocity that was marched, which may have gone another way by
    there. From where the jet's own half-width is that of the wide smear, and so matters little, the gain fades; it is
    nothing half as far again.

    start           where the jet leaves [m], with what speed [m/s] and from what bore [m]
    wide, narrow    smear, as in the formula [m]
    marched         velocity of the cells (nx, ny, nz, 3) [m/s]
    velocity        (3, nx, ny, nz) gains it [m/s]
    square          (nx, ny, nz) gains the square of it [m²/s²]
    """
    cells, far = 1 / spacing, wide / SPREAD
    ahead = spacing * direction
    eye = start + ahead
    for i in range(water.shape[0]):
        dx = (i + 0.5) * spacing[0] - start[0]
        for j in range(water.shape[1]):
            dy = (j + 0.5) * spacing[1] - start[1]
            for k in range(water.shape[2]):
                dz = (k + 0.5) * spacing[2] - start[2]
                along = dx * direction[0] + dy * direction[1] + dz * direction[2]
                radius = sqrt(max(dx * dx + dy * dy + dz * dz - along * along, 0.0))
                if not 0 < along < 1.5 * far or radius > REACH * sqrt((SPREAD * along) ** 2 + wide * wide):
                    continue
                sharp = smeared_speed(along, radius, bore, speed, narrow)
                blunt = smeared_speed(along, radius, bore, speed, wide)
                u, v, w = marched[i, j, k]
                there = max(u * direction[0] + v * direction[1] + w * direction[2], 0.0)
                gain = min(1.0, 3 - 2 * along / far) * max(sharp - blunt, -MOST * there)
                if abs(gain) > LEAST and sees(water, cells, eye, dx - ahead[0], dy - ahead[1], dz - ahead[2]):
                    for axis in range(3):
                        velocity[axis, i, j, k] += np.float32(direction[axis] * gain)
                    square[i, j, k] += np.float32(gain * (sharp + blunt))


@njit(cache=True)
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
