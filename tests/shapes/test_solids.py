"""Solids: their distances, volumes, bounds and surfaces hang together."""

import pickle
from math import pi, sqrt

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from flowviz.shapes.solids import Box, Capsule, Cylinder, Ellipsoid, turned
from flowviz.shapes.surface import Surface


def meshed(solid) -> Surface:
    """A solid as the mesh it is drawn with."""
    corners, faces = solid.triangles()
    return Surface(corners, faces.astype(np.int64))


SOLIDS = {
    "box": Box((0.1, 0.2, 0.3), (0.4, 0.2, 0.3)),
    "cylinder": Cylinder((0.1, 0.2, 0.3), 0.3, 0.5),
    "ball": Ellipsoid((0.1, 0.2, 0.3), (0.4, 0.4, 0.4)),
    "pancake": Ellipsoid((0.1, 0.2, 0.3), (0.5, 0.4, 0.05)),
    "capsule": Capsule((0.0, 0.1, 0.1), (0.3, 0.2, 0.5), 0.12),
    "level capsule": Capsule((0.4, 0.1, 0.1), (0.0, 0.2, 0.1), 0.12),
    "turned box": turned(Box((0.1, 0.2, 0.3), (0.4, 0.2, 0.3)), 0.7, (0.3, 0.1, 0.0)),
    "mesh": meshed(Ellipsoid((0.1, 0.2, 0.3), (0.3, 0.4, 0.2))),
}
each = pytest.mark.parametrize("solid", SOLIDS.values(), ids=SOLIDS.keys())
spots = st.tuples(*[st.floats(-0.5, 1.0)] * 3)


@each
def test_a_solid_equals_its_copy_and_no_other(solid):
    copy = pickle.loads(pickle.dumps(solid))
    assert copy is not solid
    assert copy == solid
    assert hash(copy) == hash(solid)
    assert [other for other in SOLIDS.values() if other == solid] == [solid]


@settings(deadline=None)  # the first call compiles
@given(st.sampled_from(sorted(SOLIDS)), spots, spots)
def test_distance_changes_no_faster_than_the_way(name, one, other):
    first, second = SOLIDS[name].distance(np.array([one, other]))
    assert abs(first - second) <= np.linalg.norm(np.subtract(one, other)) + 1e-9  # rounding


@each
def test_the_drawn_surface_is_closed_and_lies_on_the_solid(solid):
    corners, faces = solid.triangles()
    mesh = trimesh.Trimesh(corners, faces, process=False)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert solid.distance(corners) == pytest.approx(0, abs=1e-9)
    assert mesh.volume == pytest.approx(
        solid.volume, rel=0.02
    )  # chords of 48 corners to a circle: 2π²/(3·48²) each way


@each
def test_bounds_hold_the_solid_closely(solid):
    low, high = map(np.array, solid.bounds)
    corners, _ = solid.triangles()
    assert (corners >= low - 1e-9).all()
    assert (corners <= high + 1e-9).all()
    if solid is not SOLIDS["turned box"]:  # whose bounds are those of its turned bounds, the same here
        assert (np.abs(corners.min(axis=0) - low) < 0.002).all()  # the drawn sphere misses its sides by 1 - cos(π/48)
    assert (np.abs(corners.max(axis=0) - high) < 0.002).all()


@each
def test_volume_is_that_of_the_inside(solid):
    """Forty steps of a lattice across it counted: sides on the axes fall between points, others are off by chance."""
    rows = [np.linspace(a, b, 40, endpoint=False) + (b - a) / 80 for a, b in zip(*solid.bounds, strict=True)]
    step = np.prod([row[1] - row[0] for row in rows])
    assert (solid.lattice_distance(*rows) < 0).sum() * step == pytest.approx(solid.volume, rel=0.02)


@each
def test_the_lattice_agrees_with_single_points(solid):
    rows = [np.linspace(-0.2, 0.7, n) for n in (31, 28, 33)]
    lattice = solid.lattice_distance(*rows)
    points = np.stack(np.meshgrid(*rows, indexing="ij"), axis=-1).reshape(-1, 3)
    exact = solid.distance(points).reshape(lattice.shape)
    step = max(row[1] - row[0] for row in rows)
    near = np.abs(exact) <= 2 * step
    assert lattice.dtype == np.float32
    assert lattice[near] == pytest.approx(exact[near], abs=1e-7)  # single precision
    assert (np.sign(lattice) == np.sign(exact))[np.abs(exact) > 1e-7].all()
    assert (np.abs(lattice[~near]) >= 2 * step).all()


def test_known_distances():
    """By hand, from corners, edges, sides and middles."""
    box = Box((0, 0, 0), (2, 2, 2))
    assert box.distance(np.array([(0, 0, 0), (2, 0, 0), (2, 2, 0), (2, 2, 2)])) == pytest.approx(
        (-1, 1, sqrt(2), sqrt(3))
    )
    column = Cylinder((0, 0, 0), 2, 4)
    assert column.distance(np.array([(0, 0, 0), (3, 0, 0), (0, 0, 5), (2, 0, 3)])) == pytest.approx((-1, 2, 3, sqrt(2)))
    rod = Capsule((0, 0, 0), (0, 0, 2), 2)
    assert rod.distance(np.array([(0, 0, 1), (0, 0, 4), (3, 0, 1)])) == pytest.approx((-1, 1, 2))
    assert rod.volume == pytest.approx(pi * 2 + 4 / 3 * pi)


def test_a_mesh_of_a_block_is_as_far_as_the_block():
    """Corners, edges and sides of a body whose distance is known in closed form, straight and turned."""
    points = np.random.default_rng(4).uniform(-0.3, 0.8, (500, 3))
    for name in ("box", "turned box"):
        assert meshed(SOLIDS[name]).distance(points) == pytest.approx(SOLIDS[name].distance(points), abs=1e-12)


def test_a_capsule_without_length_is_a_ball():
    ball = Capsule((0.1, 0.2, 0.3), (0.1, 0.2, 0.3), 0.4)
    points = np.array([(0.1, 0.2, 0.3), (0.5, 0.2, 0.3)])
    assert ball.distance(points) == pytest.approx(SOLIDS["ball"].distance(points))
    assert ball.volume == pytest.approx(SOLIDS["ball"].volume)


@pytest.mark.parametrize("size", [(1.0, 2.0, 0.5), (0.02, 1.0, 1.0), (0.5, 0.5, 2.0), (1.0, 1.0, 1.0)])
def test_distance_to_an_ellipsoid_is_that_to_its_nearest_point(size):
    """Along the gradient of Σ (x/r)² from a point of the surface, as far as that point is the nearest."""
    half = np.array(size) / 2
    dice = np.random.default_rng(2)
    unit = dice.normal(size=(400, 3))
    foot = unit / np.linalg.norm(unit, axis=1)[:, None] * half
    normal = foot / half**2
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    out = dice.uniform(0, 1, (400, 1))
    within = dice.uniform(0, 0.9, (400, 1)) * half.min() ** 2 / half.max()  # the least radius of curvature
    ellipsoid = Ellipsoid((0, 0, 0), size)
    assert ellipsoid.distance(foot + out * normal) == pytest.approx(out[:, 0], abs=1e-9)
    assert ellipsoid.distance(foot - within * normal) == pytest.approx(-within[:, 0], abs=1e-9)


@pytest.mark.parametrize("size", [(3, 2, 0.5), (0.5, 3, 2), (2, 0.5, 3)])
def test_the_middle_of_an_ellipsoid_is_half_its_shortest_axis_deep(size):
    assert Ellipsoid((1, 1, 1), size).distance(np.array([(1.0, 1.0, 1.0)])) == pytest.approx(-0.25, abs=1e-9)


def test_turning_goes_counter_clockwise_about_the_point():
    quarter = turned(Box((1, 0, 0), (2, 0.2, 0.2)), pi / 2, (0, 0, 0))
    assert quarter.distance(np.array([(0, 1.9, 0), (1.9, 0, 0)])) == pytest.approx((-0.1, 1.8))
    assert turned(quarter, 0.0, (0, 0, 0)) is quarter


def test_a_lattice_is_exact_within_two_of_its_widest_steps_and_cut_off_beyond():
    """In one plane 0.1 m over a block of 20 x 20 x 10 cm, in steps of 10 and 40 mm: twice 40 mm, and a little."""
    block = trimesh.creation.box((0.2, 0.2, 0.1))
    x, y, z = np.arange(-0.2, 0.41, 0.04), np.array([0.03]), np.arange(0.01, 0.3, 0.01)
    found = Surface(np.array(block.vertices), np.array(block.faces)).lattice_distance(x, y, z)
    places = np.stack(np.meshgrid(x, y, z, indexing="ij"), axis=-1).reshape(-1, 3)
    away = Box((0.0, 0.0, 0.0), (0.2, 0.2, 0.1)).distance(places).reshape(found.shape)
    assert found[away < 0.08] == pytest.approx(away[away < 0.08], abs=1e-7)  # single precision
    assert found[away > 0.081] == pytest.approx(0.08, rel=0.01)


def test_a_lattice_misses_nothing_of_a_triangle():
    """However large and askew it is: as far as single points are, up to the cut of 2.01 steps of a tenth."""
    dice, rows = np.random.default_rng(6), [np.linspace(0, 1, n) for n in (14, 11, 16)]
    places = np.stack(np.meshgrid(*rows, indexing="ij"), axis=-1).reshape(-1, 3)
    for _ in range(40):
        triangle = Surface(dice.uniform(-0.2, 1.2, (3, 3)), np.array([(0, 1, 2)]))
        away = np.abs(triangle.distance(places)).reshape(14, 11, 16)
        assert np.abs(triangle.lattice_distance(*rows)) == pytest.approx(np.minimum(away, 0.201), abs=1e-7)  # float32


@pytest.mark.parametrize("third", [0.0, 0.4, 1.0])
@pytest.mark.parametrize("axis", range(3))
def test_a_triangle_without_area_is_as_far_as_its_line(third, axis):
    """From 0 to 1 along an axis; worked out by Pythagoras, 3, 4 and 5."""
    corners = np.roll([(0, 0, 0), (1, 0, 0), (third, 0, 0)], axis, axis=1).astype(float)
    points = np.roll([(0.3, 0.2, 0), (-0.3, 0, 0.4), (1.3, -0.4, 0), (0.5, 0.3, 0.4)], axis, axis=1)
    assert Surface(corners, np.array([(0, 1, 2)])).distance(points) == pytest.approx([0.2, 0.5, 0.5, 0.5])


def test_points_level_with_corners_are_in_or_out_as_all_others():
    """The inside of an octahedron is where |x| + |y| + |z| < 1; its corners lie in the rows of the lattice."""
    ends = np.concatenate((np.eye(3), -np.eye(3)))
    faces = trimesh.convex.convex_hull(ends)
    body = Surface(np.array(faces.vertices), np.array(faces.faces))
    rows = [np.linspace(-1.5, 1.5, 13)] * 3
    places = np.stack(np.meshgrid(*rows, indexing="ij"), axis=-1)
    beyond = np.abs(places).sum(axis=-1) - 1
    off = np.abs(beyond) > 1e-9
    for found in (body.lattice_distance(*rows), body.distance(places.reshape(-1, 3)).reshape(beyond.shape)):
        assert np.array_equal(found[off] < 0, beyond[off] < 0)


def test_a_point_is_in_a_hull_where_it_lies_behind_all_its_faces():
    """Faces that lie askew to all axes, round dots strewn by chance."""
    hull = trimesh.convex.convex_hull(np.random.default_rng(8).uniform(-1, 1, (14, 3)))
    body = Surface(np.array(hull.vertices), np.array(hull.faces))
    rows = [np.linspace(-1.1, 1.1, n) for n in (12, 13, 14)]
    places = np.stack(np.meshgrid(*rows, indexing="ij"), axis=-1)
    a, b, c = (body.corners[body.faces[:, side]] for side in range(3))
    before = np.einsum("xyzfi,fi->xyzf", places[..., None, :] - a, np.cross(b - a, c - a))
    behind = (before < 0).all(axis=-1)
    assert np.array_equal(body.lattice_distance(*rows) < 0, behind)
    assert np.array_equal(body.distance(places.reshape(-1, 3)).reshape(behind.shape) < 0, behind)
