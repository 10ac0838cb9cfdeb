"""Loops that give back what larger cells do not carry: narrow jets, and the motion smaller than a cell."""

from math import sqrt

import numpy as np
from numba import njit

from flowviz.formulas import jets, turbulence

SPREAD = jets.SPREAD
smeared_speed = njit(jets.smeared_speed)
mean_magnitude = njit(turbulence.mean_magnitude)

REACH = 3.0  # half-widths from the axis that a jet is followed to
PACE = 0.7  # cells from one look to the next along a line of sight


@njit(cache=True, inline="never")
def sees(water, spacing, start, x, y, z):
    """Whether all is water from start to a point, that itself left out [m]."""
    dx, dy, dz = x - start[0], y - start[1], z - start[2]
    looks = int(sqrt(dx * dx + dy * dy + dz * dz) / (PACE * spacing[0]))
    for look in range(1, looks + 1):
        share = look / (looks + 1)
        i = int((start[0] + share * dx) / spacing[0])
        j = int((start[1] + share * dy) / spacing[1])
        k = int((start[2] + share * dz) / spacing[2])
        if not water[i, j, k]:
            return False
    return True


@njit(cache=True)
def sharpen(offset, spacing, water, start, direction, bore, speed, wide, narrow, power, factor, out):
    """Add factor (U^power - V^power) to out where a jet is: U as narrow smear leaves it, V as wide smear does.

    offset        a place of out lies at (index + offset) spacing [m]
    start         where the jet leaves [m], with what speed [m/s] and from what bore [m]
    wide, narrow  smear [m], as in the formula
    power         1.0 for velocity [m/s], 2.0 for its square [m²/s²]
    """
    eye = start + spacing * direction
    for i in range(out.shape[0]):
        dx = (i + offset[0]) * spacing[0] - start[0]
        for j in range(out.shape[1]):
            dy = (j + offset[1]) * spacing[1] - start[1]
            for k in range(out.shape[2]):
                dz = (k + offset[2]) * spacing[2] - start[2]
                along = dx * direction[0] + dy * direction[1] + dz * direction[2]
                aside = dx * dx + dy * dy + dz * dz - along * along
                edge = REACH * sqrt((SPREAD * along) ** 2 + wide * wide)
                if (
                    along > 0.0
                    and aside < edge * edge
                    and sees(water, spacing, eye, start[0] + dx, start[1] + dy, start[2] + dz)
                ):
                    radius = sqrt(max(aside, 0.0))
                    sharp = smeared_speed(along, radius, bore, speed, narrow)
                    blunt = smeared_speed(along, radius, bore, speed, wide)
                    out[i, j, k] += np.float32(factor * (sharp**power - blunt**power))


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
