"""Closed meshes from files: read, mended where that is certain, refused where they enclose nothing."""

from itertools import product
from math import pi

import numpy as np
import pytest
import trimesh

from flowviz.errors import InputError
from flowviz.shapes.surface import Surface, read_surface

BALL = trimesh.creation.icosphere(subdivisions=3, radius=100)  # in millimetres
MM = 1e-3


def written(folder, corners, faces, name="rock.stl"):
    """A mesh in a file."""
    path = folder / name
    trimesh.Trimesh(corners, faces, process=False).export(path)
    return path


def read(path):
    """In millimetres and as it stands."""
    return read_surface(path, MM, (0.0, 0.0, 0.0), 0.0)


def refusal(path) -> str:
    """What the user is told about a file that cannot be used."""
    with pytest.raises(InputError) as refused:
        read(path)
    assert refused.value.where == path.name
    return f"{refused.value.fault}. {refused.value.remedy}"


@pytest.mark.parametrize("name", ["rock.stl", "rock.STL", "rock.ply", "rock.obj"])
def test_every_format_gives_the_same_body(tmp_path, name):
    path = tmp_path / name
    path.write_bytes(
        BALL.export(file_type=name.lower()[-3:]) if name[-3:] != "obj" else BALL.export(file_type="obj").encode()
    )
    body = read(path)
    assert body.volume == pytest.approx(BALL.volume * MM**3, rel=1e-6)  # single precision of STL
    assert body.faces.shape == BALL.faces.shape
    assert body.corners.shape == BALL.vertices.shape
    assert body.distance(np.zeros((1, 3))) == pytest.approx(-0.1, rel=0.01)


def test_bodies_are_the_same_where_all_their_corners_and_triangles_are():
    body = Surface(np.array(BALL.vertices), BALL.faces)
    again = Surface(body.corners.copy(), body.faces.copy())
    assert body == again
    assert hash(body) == hash(again)
    assert body != Surface(np.add(body.corners, (0, 0, 1)), body.faces)
    assert body != Surface(body.corners, body.faces[:, [1, 2, 0]])
    assert body != "a ball"


def test_convex_is_what_every_line_meets_in_one_piece():
    block = trimesh.creation.box((3, 2, 1))
    ring = trimesh.creation.torus(3, 1)
    bodies = [Surface(np.array(body.vertices), np.array(body.faces)) for body in (BALL, block, ring)]
    hollow = np.concatenate((BALL.faces, BALL.faces[:, ::-1] + len(BALL.vertices)))
    bodies.append(Surface(np.concatenate((BALL.vertices, BALL.vertices / 2)), hollow))
    assert [body.convex for body in bodies] == [True, True, False, False]


def test_text_stl_and_quadrangles_are_read(tmp_path):
    (tmp_path / "text.stl").write_text(trimesh.exchange.stl.export_stl_ascii(BALL))
    assert read(tmp_path / "text.stl").volume == pytest.approx(BALL.volume * MM**3, rel=1e-6)
    corners = "".join(f"v {x} {y} {z}\n" for x in (0, 10) for y in (0, 10) for z in (0, 10))
    quads = "f 1 2 4 3\nf 5 7 8 6\nf 1 5 6 2\nf 3 4 8 7\nf 1 3 7 5\nf 2 6 8 4\n"
    (tmp_path / "cube.obj").write_text(corners + quads)
    assert read(tmp_path / "cube.obj").volume == pytest.approx(1e-6, rel=1e-12)


def cube(folder, place, error):
    """One of 10 mm whose twelve triangles have corners of their own, every other one off by an error, as text."""
    block = trimesh.creation.box(bounds=((0, 0, 0), (10, 10, 10)))
    corners = block.vertices[block.faces].reshape(-1, 3) + place
    corners[::2] += error
    path = folder / "cube.obj"
    rows = [f"v {x!r} {y!r} {z!r}" for x, y, z in corners.tolist()]
    path.write_text("\n".join([*rows, *(f"f {n + 1} {n + 2} {n + 3}" for n in range(0, 36, 3))]))
    return path


def test_corners_a_millionth_apart_are_one(tmp_path):
    """Of the longest edge: three tenths of that leave no gap, ten times as much leaves the cube open."""
    assert read(cube(tmp_path, 0.0, 3e-6)).volume == pytest.approx(1e-6, rel=3e-6)  # of the error
    assert "the mesh is not closed" in refusal(cube(tmp_path, 0.0, 1e-4))


def test_a_body_far_from_its_file_s_origin_is_read_as_one_beside_it(tmp_path):
    """A hundred kilometres, where the last bit of a corner is 1.5e-8 mm."""
    assert read(cube(tmp_path, (1e8, 0.0, 0.0), 0.0)).volume == pytest.approx(1e-6, rel=1e-8)


def test_scale_place_and_turn(tmp_path):
    """A block from x = 0 to 100, y = 0 to 20, z = 0 to 10 mm, turned by a quarter and set at (1, 2, 3) m."""
    block = trimesh.creation.box((100, 20, 10))
    block.apply_translation((50, 10, 5))
    body = read_surface(written(tmp_path, block.vertices, block.faces), MM, (1.0, 2.0, 3.0), pi / 2)
    low, high = body.bounds
    assert low == pytest.approx((0.98, 2.0, 3.0))
    assert high == pytest.approx((1.0, 2.1, 3.01))


@pytest.mark.parametrize("name", ["ball", "inside out", "each third triangle turned", "doubled triangle", "lines"])
def test_triangles_are_turned_outwards(tmp_path, name):
    faces = BALL.faces.copy()
    if name == "inside out":
        faces = faces[:, ::-1]
    if name == "each third triangle turned":
        faces[::3] = faces[::3, ::-1]
    if name == "doubled triangle":
        faces = np.concatenate((faces, faces[:1]))
    if name == "lines":
        faces = np.concatenate((faces, [(0, 0, 5), (0, 5, 0), (5, 0, 0)]))
    body = read(written(tmp_path, BALL.vertices, faces))
    assert body.volume == pytest.approx(BALL.volume * MM**3, rel=1e-6)
    assert body.distance(np.array([(0.0, 0.0, 0.0), (0.2, 0.0, 0.0)])) == pytest.approx((-0.1, 0.1), rel=0.01)


@pytest.mark.parametrize("turned", list(product((False, True), repeat=4)))
def test_triangles_of_two_bodies_may_run_any_way(tmp_path, turned):
    """Two corners cut off cubes of half a unit, a sixth of each, however single triangles look."""
    corners = np.array([(0, 0, 0), (0.5, 0, 0), (0, 0.5, 0), (0, 0, 0.5)])
    faces = np.array([(0, 2, 1), (0, 1, 3), (1, 2, 3), (0, 3, 2)])
    one, other = (np.where(np.array(each)[:, None], faces[:, ::-1], faces) for each in (turned, turned[::-1]))
    body = read(written(tmp_path, np.concatenate((corners, corners + 1)), np.concatenate((one, other + 4))))
    assert body.volume == pytest.approx(2 * (0.5 * MM) ** 3 / 6, rel=1e-6)  # single precision of STL
    assert np.sign(body.distance(np.array([(0.1, 0.1, 0.1), (1.1, 1.1, 1.1)]) * MM)).tolist() == [-1, -1]


def test_several_shells(tmp_path):
    """Two balls apart, one of them inside out, and a hollow in the first: inside and outside as one would say."""
    apart = np.add(BALL.vertices, (300, 0, 0))
    corners = np.concatenate((BALL.vertices, apart, BALL.vertices / 2))
    count = len(BALL.vertices)
    faces = np.concatenate((BALL.faces, BALL.faces[:, ::-1] + count, BALL.faces[:, ::-1] + 2 * count))
    body = read(written(tmp_path, corners, faces))
    assert body.volume == pytest.approx((2 - 1 / 8) * BALL.volume * MM**3, rel=1e-6)
    places = np.array([(0.0, 0.0, 0.0), (0.075, 0.0, 0.0), (0.3, 0.0, 0.0), (0.15, 0.0, 0.0)])
    assert np.sign(body.distance(places)).tolist() == [1, -1, -1, 1]


@pytest.mark.parametrize("whole_turned", [False, True])
def test_a_shell_in_the_hole_of_a_ring_is_no_hollow_of_it_and_one_in_its_tube_is(tmp_path, whole_turned):
    """Both balls lie in the ring's box, look the other way than it does, and are read: one solid, one a hollow."""
    ring = trimesh.creation.torus(100, 30, major_sections=64, minor_sections=32)
    shells = [(ring.vertices, ring.faces)]
    for place, size in (((5, 3, 0), 0.4), ((0, 100, 0), 0.2)):
        shells.append((np.add(BALL.vertices * size, place), BALL.faces[:, ::-1]))
    counts = np.cumsum([0, *(len(corners) for corners, _ in shells)])
    corners = np.add(np.concatenate([corners for corners, _ in shells]), (400, -300, 200))
    faces = np.concatenate([faces + first for (_, faces), first in zip(shells, counts, strict=False)])
    body = read(written(tmp_path, corners, faces[:, ::-1] if whole_turned else faces, "ring.ply"))
    assert body.volume == pytest.approx((ring.volume + (0.4**3 - 0.2**3) * BALL.volume) * MM**3, rel=1e-6)
    places = np.array([(405, -297, 200), (400, -200, 200), (400, -175, 200), (450, -300, 200)]) * MM
    assert np.sign(body.distance(places)).tolist() == [-1, 1, -1, 1]


def test_overlapping_shells_are_solid_where_they_overlap(tmp_path):
    corners = np.concatenate((BALL.vertices, np.add(BALL.vertices, (100, 0, 0))))
    body = read(written(tmp_path, corners, np.concatenate((BALL.faces, BALL.faces + len(BALL.vertices)))))
    assert body.distance(np.array([(0.05, 0.0, 0.0)]))[0] < 0


@pytest.mark.parametrize("turned", [[], range(12), range(0, 12, 2), range(12, 24), range(0, 24, 5)], ids=str)
def test_two_blocks_that_share_an_edge_are_closed(tmp_path, turned):
    """Four triangles meet in that edge; nothing is open, and neither block tells the other which side is out."""
    block = trimesh.creation.box((10, 10, 10))
    corners = np.concatenate((block.vertices, np.add(block.vertices, (10, 10, 0))))
    faces = np.concatenate((block.faces, block.faces + 8))
    faces[turned] = faces[turned, ::-1]
    body = read(written(tmp_path, corners, faces))
    assert body.volume == pytest.approx(2e-6, rel=1e-9)
    assert np.sign(body.distance(np.array([(0, 0, 0), (10, 10, 0)]) * MM)).tolist() == [-1, -1]


def test_slivers_do_not_confuse_inside_and_outside(tmp_path):
    """A slab whose sides are fans of needles a million times longer than wide: the lattice sees a slab."""
    rim = np.array([(0, y, z) for y, z in ((0, 0), (100, 0), (100, 100), (0, 100))], dtype=float)
    needles = np.linspace(0, 1e-2, 60)[1:-1, None] * (0, 1, 0)
    ring = np.concatenate((rim[:1], needles, rim[1:]))
    front, back = np.add(ring, (20, 0, 0)), ring
    n = len(ring)
    fan = np.array([(n - 1, a, a + 1) for a in range(n - 2)])
    around = np.arange(n)
    ahead = (around + 1) % n
    sides = np.concatenate((np.stack((around, ahead, ahead + n)), np.stack((around, ahead + n, around + n))), axis=1).T
    faces = np.concatenate((fan[:, ::-1], fan + n, sides))
    body = read(written(tmp_path, np.concatenate((back, front)), faces, "slab.ply"))
    rows = [np.linspace(-0.0213, 0.1237, 60)] * 3
    solid = body.lattice_distance(*rows) < 0
    slab = [(row > 0) & (row < edge) for row, edge in zip(rows, (0.02, 0.1, 0.1), strict=True)]
    assert np.array_equal(solid, slab[0][:, None, None] & slab[1][:, None] & slab[2])


def test_open_meshes_are_refused_with_the_number_of_open_edges(tmp_path):
    """A ball without one triangle has 3 open edges, without two that touch nowhere 6."""
    assert "it has 3 open edges. Fill its holes" in refusal(written(tmp_path, BALL.vertices, BALL.faces[1:]))
    far = np.delete(BALL.faces, (0, 700), axis=0)
    assert "it has 6 open edges" in refusal(written(tmp_path, BALL.vertices, far))


def test_a_band_with_one_side_is_refused(tmp_path):
    """A Klein bottle has no open edge and no inside either."""
    n, m = 16, 12
    corners = [klein(2 * pi * a / n, 2 * pi * (b + 0.5) / m) for a in range(n) for b in range(m)]
    faces = []
    for a in range(n):
        for b in range(m):
            one, two = (a * m + b, a * m + (b + 1) % m)
            if a + 1 < n:
                three, four = (one + m, (a + 1) * m + (b + 1) % m)
            else:
                three, four = (m - 1 - b, (m - 2 - b) % m)
            faces += [(one, three, two), (two, three, four)]
    assert "triangles disagree along" in refusal(written(tmp_path, np.array(corners), np.array(faces), "bottle.ply"))


def klein(u: float, v: float) -> tuple[float, float, float]:
    """A point of the figure-eight Klein bottle (H. B. Lawson's immersion), in tens of millimetres."""
    r = 2 + np.cos(u / 2) * np.sin(v) - np.sin(u / 2) * np.sin(2 * v)
    return (10 * r * np.cos(u), 10 * r * np.sin(u), 10 * (np.sin(u / 2) * np.sin(v) + np.cos(u / 2) * np.sin(2 * v)))


def test_files_that_hold_no_body_are_refused(tmp_path):
    flat = np.array([(0, 0, 0), (10, 0, 0), (0, 10, 0), (10, 10, 0)], dtype=float)
    pillow = np.array([(0, 1, 2), (1, 3, 2), (0, 2, 3), (0, 3, 1)])
    assert "encloses nothing" in refusal(written(tmp_path, flat, pillow, "flat.ply"))
    assert "one point" in refusal(written(tmp_path, flat * 0, pillow, "point.ply"))
    broken = BALL.vertices.copy()
    broken[3] = np.nan
    assert "not numbers" in refusal(written(tmp_path, broken, BALL.faces, "nan.ply"))


@pytest.mark.parametrize("content", [b"", b"solid nothing\nendsolid nothing\n", b"\x00" * 84, b"no mesh at all" * 10])
@pytest.mark.parametrize("name", ["rock.stl", "rock.ply", "rock.obj"])
def test_files_without_a_mesh_are_refused(tmp_path, name, content):
    path = tmp_path / name
    path.write_bytes(content)
    message = refusal(path)
    assert "holds no triangles" in message or "is not a readable" in message
    assert "\n" not in message


def test_missing_files_and_other_formats_are_refused(tmp_path):
    assert refusal(tmp_path / "gone.stl") == "there is no such file. Put the mesh beside the scene or mend the name"
    (tmp_path / "rock.step").write_text("x")
    assert refusal(tmp_path / "rock.step").startswith("a mesh of the kind '.step' cannot be read")
    (tmp_path / "folder.stl").mkdir()
    assert "no such file" in refusal(tmp_path / "folder.stl")


def test_a_truncated_file_is_refused(tmp_path):
    whole = written(tmp_path, BALL.vertices, BALL.faces).read_bytes()
    (tmp_path / "cut.stl").write_bytes(whole[: len(whole) // 2])
    assert refusal(tmp_path / "cut.stl")
