"""The loops of the shapes."""

from math import sqrt

import numpy as np
from numba import njit

kernel = njit(cache=True, no_cfunc_wrapper=True)
part = njit(no_cpython_wrapper=True, no_cfunc_wrapper=True)  # called from kernels only

ROUNDS = 60  # of Newton's method; far more than it needs
LEAST = 1e-12  # distance from a plane of symmetry that keeps the equation regular [of the smallest half axis]


@kernel
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


@part
def triangle(corners, faces, n):
    """The three corners of a triangle [m]."""
    return point(corners, faces[n, 0]), point(corners, faces[n, 1]), point(corners, faces[n, 2])


@part
def point(points, n):
    """One of points (n, 3)."""
    return points[n, 0], points[n, 1], points[n, 2]


@kernel
def nearest_on_lattice(corners, faces, x, y, z, band, squared):
    """Lower squared (len x, len y, len z) [m²] to the squared distance from triangles where they are within the band.

    corners (n, 3) [m], faces (m, 3) their numbers, x, y, z rising coordinates [m].
    """
    for face in range(faces.shape[0]):
        a, b, c = triangle(corners, faces, face)
        first_j, last_j = count_below(y, min(a[1], b[1], c[1]) - band), count_below(y, max(a[1], b[1], c[1]) + band)
        first_k, last_k = count_below(z, min(a[2], b[2], c[2]) - band), count_below(z, max(a[2], b[2], c[2]) + band)
        nx, ny, nz = normal(a, b, c)
        first_i, last_i = count_below(x, min(a[0], b[0], c[0]) - band), count_below(x, max(a[0], b[0], c[0]) + band)
        for i in range(first_i, last_i):
            for j in range(first_j, last_j):
                level = nx * (x[i] - a[0]) + ny * (y[j] - a[1])
                for k in range(first_k, last_k):
                    height = level + nz * (z[k] - a[2])
                    if height * height < squared[i, j, k]:
                        found = squared_distance(a, b, c, x[i], y[j], z[k])
                        squared[i, j, k] = min(squared[i, j, k], found)


@part
def count_below(row, place):
    """How many of rising coordinates lie below a place."""
    low, high = 0, row.shape[0]
    while low < high:
        middle = (low + high) // 2
        if row[middle] < place:
            low = middle + 1
        else:
            high = middle
    return low


@kernel
def nearest_to_points(corners, faces, boxes, points, squared):
    """Write the squared distance [m²] of points (n, 3) from the nearest of triangles.

    corners and faces as above, boxes (m, 6) lowest and highest x, y, z of each triangle [m].
    """
    nearest = np.int64(0)
    for n in range(points.shape[0]):
        px, py, pz = point(points, n)
        a, b, c = triangle(corners, faces, nearest)
        least = squared_distance(a, b, c, px, py, pz)
        for face in range(faces.shape[0]):
            gap_x = max(boxes[face, 0] - px, px - boxes[face, 3], 0.0)
            gap_y = max(boxes[face, 1] - py, py - boxes[face, 4], 0.0)
            gap_z = max(boxes[face, 2] - pz, pz - boxes[face, 5], 0.0)
            if gap_x * gap_x + gap_y * gap_y + gap_z * gap_z < least:
                a, b, c = triangle(corners, faces, face)
                found = squared_distance(a, b, c, px, py, pz)
                if found < least:
                    least, nearest = found, face
        squared[n] = least


@part
def squared_distance(a, b, c, px, py, pz):
    """Squared distance of a point from a triangle [m²]: from its plane where the point is over it, else from a side."""
    nx, ny, nz = normal(a, b, c)
    over = nx != 0.0 or ny != 0.0 or nz != 0.0
    least = np.inf
    for start, end in ((a, b), (b, c), (c, a)):
        ex, ey, ez = end[0] - start[0], end[1] - start[1], end[2] - start[2]
        dx, dy, dz = px - start[0], py - start[1], pz - start[2]
        over = over and nx * (ey * dz - ez * dy) + ny * (ez * dx - ex * dz) + nz * (ex * dy - ey * dx) >= 0.0
        length = ex * ex + ey * ey + ez * ez
        share = min(max((ex * dx + ey * dy + ez * dz) / length, 0.0), 1.0) if length > 0.0 else 0.0
        dx, dy, dz = dx - share * ex, dy - share * ey, dz - share * ez
        least = min(least, dx * dx + dy * dy + dz * dz)
    height = nx * (px - a[0]) + ny * (py - a[1]) + nz * (pz - a[2])
    return height * height if over else least


@part
def normal(a, b, c):
    """Unit normal of a triangle, towards where it is seen anticlockwise from; zero where it has no area."""
    ux, uy, uz = b[0] - a[0], b[1] - a[1], b[2] - a[2]
    vx, vy, vz = c[0] - a[0], c[1] - a[1], c[2] - a[2]
    nx, ny, nz = uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx
    size = sqrt(nx * nx + ny * ny + nz * nz)
    if size == 0.0:
        return 0.0, 0.0, 0.0
    return nx / size, ny / size, nz / size


@kernel
def exits_on_lattice(corners, faces, x, y, z, exits):
    """Add to exits (len x + 1, len y, len z) how often lines along x leave the body before each point.

    Entering counts -1, so that the sum over all points up to one is minus the number of shells round it. Triangles that
    share a side judge by it alike to the last bit, so the sum behind a closed mesh is exactly 0, slivers or not.
    """
    for face in range(faces.shape[0]):
        a, b, c = triangle(corners, faces, face)
        first_k, last_k = count_below(z, min(a[2], b[2], c[2])), count_below(z, max(a[2], b[2], c[2]))
        for j in range(count_below(y, min(a[1], b[1], c[1])), y.shape[0]):
            if y[j] > max(a[1], b[1], c[1]):
                break
            for k in range(first_k, last_k):
                turns = turns_round(a, b, c, y[j], z[k])
                if turns != 0:
                    exits[count_below(x, place_on_line(a, b, c, y[j], z[k])), j, k] += turns


@kernel
def shells_round_points(corners, faces, boxes, points, shells):
    """Write how many shells lie round each of points (n, 3); guarantee as above, boxes as for nearest_to_points."""
    for n in range(points.shape[0]):
        px, py, pz = point(points, n)
        shells[n] = 0
        for face in range(faces.shape[0]):
            if (
                boxes[face, 1] <= py <= boxes[face, 4]
                and boxes[face, 2] <= pz <= boxes[face, 5]
                and boxes[face, 3] >= px
            ):
                a, b, c = triangle(corners, faces, face)
                turns = turns_round(a, b, c, py, pz)
                if turns != 0 and place_on_line(a, b, c, py, pz) > px:
                    shells[n] += turns


@part
def turns_round(a, b, c, y, z):
    """How often the sides of a triangle, seen against x, run anticlockwise round the point (y, z): -1, 0 or 1."""
    return half_turns(a, b, y, z) + half_turns(b, c, y, z) + half_turns(c, a, y, z)


@part
def half_turns(start, end, y, z):
    """1 or -1 where a side crosses the half line from (y, z) towards +y upwards or downwards, else 0.

    Worked out from the lower end whichever way the side runs, so that the other way gives exactly the negative.
    """
    if (start[2] > z) == (end[2] > z):
        return 0
    upwards = start[2] < end[2]
    low, high = (start, end) if upwards else (end, start)
    beyond = (high[1] - low[1]) * (z - low[2]) - (high[2] - low[2]) * (y - low[1]) > 0.0
    if not beyond:
        return 0
    return 1 if upwards else -1


@part
def place_on_line(a, b, c, y, z):
    """Where the line along x through (y, z) meets a triangle's plane, no farther than the triangle reaches [m]."""
    nx, ny, nz = normal(a, b, c)
    low, high = min(a[0], b[0], c[0]), max(a[0], b[0], c[0])
    if nx == 0.0:
        return low
    return min(max(a[0] - (ny * (y - a[1]) + nz * (z - a[2])) / nx, low), high)
