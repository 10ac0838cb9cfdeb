"""The loops of the shapes."""

from math import sqrt

from numba import njit

ROUNDS = 60  # of Newton's method; far more than it needs
LEAST = 1e-12  # distance from a plane of symmetry that keeps the equation regular [of the smallest half axis]


@njit(cache=True)
def ellipsoid_distance(points, radii, distance):
    """Write the signed distance [m] of points (n, 3), counted from the centre, to an ellipsoid of half axes radii (3,).

    The nearest point of the surface is q_i = r_i² p_i/(t + r_i²), where t is the largest root of

        g(t) = Σ [r_i p_i/(t + r_i²)]² - 1

    g falls and is convex to the right of its last pole, so Newton's method from a point left of the root climbs to it.
    The loop solves for u = t + r², r the smallest half axis, which keeps its digits near the pole.
    D. Eberly, Distance from a point to an ellipse, an ellipsoid or a hyperellipsoid (2013), section 3.
    """
    rx, ry, rz = radii[0], radii[1], radii[2]
    least = min(rx, ry, rz)
    beyond_x = rx * rx - least * least
    beyond_y = ry * ry - least * least
    beyond_z = rz * rz - least * least
    for n in range(points.shape[0]):
        px = max(abs(points[n, 0]), LEAST * least)
        py = max(abs(points[n, 1]), LEAST * least)
        pz = max(abs(points[n, 2]), LEAST * least)
        u = max(rx * px - beyond_x, ry * py - beyond_y, rz * pz - beyond_z)
        for _ in range(ROUNDS):
            sx = rx * px / (u + beyond_x)
            sy = ry * py / (u + beyond_y)
            sz = rz * pz / (u + beyond_z)
            g = sx * sx + sy * sy + sz * sz - 1.0
            slope = 2.0 * (sx * sx / (u + beyond_x) + sy * sy / (u + beyond_y) + sz * sz / (u + beyond_z))
            u += g / slope
            if g <= 1e-14:
                break
        t = u - least * least
        dx = px * t / (u + beyond_x)
        dy = py * t / (u + beyond_y)
        dz = pz * t / (u + beyond_z)
        size = sqrt(dx * dx + dy * dy + dz * dz)
        distance[n] = size if t > 0.0 else -size
