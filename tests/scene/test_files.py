"""Faults of the scene file as a file, and of the meshes and curves that it names."""

import struct

import pytest
import trimesh
from PIL import Image

from flowviz.scene.file import read_scene

ARCH = {"name": "arch", "shape": "mesh", "file": "arch.stl", "scale": "1 mm", "at": ["300 mm", "300 mm", "100 mm"]}
WHERE = "rock[3] 'arch'"


def test_a_missing_file(tmp_path, refused):
    refused(tmp_path / "no.toml", "", "no such file")


def test_a_folder_instead_of_a_file(tmp_path, refused):
    refused(tmp_path, "", "is a folder", "Name a file in it")


@pytest.mark.parametrize(
    ("line", "remedy"),
    [
        ('length "2 m"', "Mend that line"),
        ("length = 2400 mm", 'in quotes, as "25 mm"'),
        ("at = [0 mm, 1 1/4 in]", 'in quotes, as "25 mm"'),
        ('length = "2400 mm', "Close its quotes"),
        ('length = "84""', "Write in for the mark of an inch"),
        ("length = '7' 2\"'", "ft for that of a foot"),
        ('name = "the 84" 2 m long"', "double quotes, and write"),
        ('title = "our "big" tank"', "double quotes, and write"),
        ('name = "left", bore = "25 mm"', "each key on a line"),
        ("bore = '25 mm' hole = '50 mm'", "each key on a line"),
        ("name = 'Tom's 2'", "double quotes, and write"),
        ("length = “2400 mm”", "straight quotes"),
        ("at = [“0 mm”, “9 mm”]", "straight quotes"),
        ("[tank]", "stands twice"),
        ('strainer = { open_area = 0,4, slot = "3 mm" }', "Write a point in a decimal"),
        ("salinity = 35,5", "Write a point in a decimal"),
    ],
)
def test_what_is_not_toml_is_told_with_its_line(scene_file, refused, line, remedy):
    file = scene_file()
    file.write_bytes(f'title = "a"\r\n[tank]\r\n{line}\r\n'.encode())
    refused(file, "line 3", f"{line!r} is not TOML", remedy)


def test_a_key_that_stands_twice_is_told(scene_file, refused):
    file = scene_file()
    file.write_text('title = "a"\ntitle = "b" # not "c"\n', encoding="utf-8")
    refused(file, "line 2", "Cannot overwrite a value", "It stands twice: keep one of them")


@pytest.mark.parametrize(
    ("first", "second"), [("[[rock]]", "[rock]"), ("[rock]", "[[rock]]"), ("[rock]", "[ rock ] # b")]
)
def test_one_of_several_in_single_brackets_is_told(scene_file, refused, first, second):
    file = scene_file()
    file.write_text(f'{first}\nname = "a"\n{second}\nname = "b"\n', encoding="utf-8")
    refused(file, "line 3", "is not TOML", "Write [[rock]], in double brackets, each time")


def test_a_table_that_stands_before_the_one_that_it_is_of_is_told(scene_file, refused):
    file = scene_file()
    file.write_text('[intake.strainer]\nshape = "flat"\n\n[[intake]]\nname = "a"\n', encoding="utf-8")
    refused(file, "line 4", "is not TOML", "Put [intake.strainer] below the [[intake]] that it is of")


@pytest.mark.parametrize("text", ["", "\n", "# a tank\n", "\ufeff"])
def test_an_empty_file_is_told(scene_file, refused, text):
    file = scene_file()
    file.write_text(text, encoding="utf-8")
    refused(file, "", "is empty", "Describe a tank")


def test_what_is_left_open_is_told(scene_file, refused):
    file = scene_file()
    file.write_text('title = "a"\nat = ["2 m",\n', encoding="utf-8")
    refused(file, "", "is not TOML", "Close the quotes or brackets")


@pytest.mark.parametrize("data", [b"solid\0\0\0", b"\xca\xfe\0\0\xff"])
def test_what_is_no_text_is_told(scene_file, refused, data):
    file = scene_file()
    file.write_bytes(data)
    refused(file, "", "is no text", "text editor")


@pytest.mark.parametrize("kind", ["png", "jpeg", "gif", "webp", "tiff"])
def test_a_picture_is_told(scene_file, refused, kind):
    file = scene_file()
    Image.new("RGB", (2, 2)).save(file, format=kind)
    refused(file, "", "is a picture", "written with a text editor")


def test_a_text_in_utf_16_is_to_be_saved_again(scene_file, refused):
    """As some editors call "Unicode"; it is full of zeros and no picture."""
    file = scene_file()
    file.write_text('title = "a"\n', encoding="utf-16")
    refused(file, "line 1", "not UTF-8", "Save the file again")


def test_what_is_not_utf_8_is_told_with_its_line(scene_file, refused):
    file = scene_file()
    file.write_bytes(b'title = "a"\n# K\xf6rper\n')
    refused(file, "line 2", "not UTF-8", "UTF-8")


def test_a_byte_order_mark_and_windows_line_ends_are_no_fault(scene_file):
    file = scene_file()
    text = file.read_text(encoding="utf-8")
    file.write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    assert read_scene(file).title == "Test tank"


def test_brackets_without_end(scene_file, refused):
    file = scene_file()
    file.write_text("title = " + "[" * 100_000, encoding="utf-8")
    refused(file, "", "nested too deeply")


@pytest.fixture
def with_arch(scene_file, tmp_path):
    """Writes the scene with a mesh rock, and the mesh: a closed ball of 100 mm unless told."""

    def write(mesh=None, **changes):
        mesh = trimesh.creation.icosphere(2, 50.0) if mesh is None else mesh
        mesh.export(tmp_path / "arch.stl")
        return scene_file({"rock.2": ARCH | changes})

    return write


def test_a_mesh_stands_where_the_scene_says(with_arch):
    """The ball's diameter is 100 units of 1 mm; its lowest corner is not exactly on the sphere, by less than 1 %."""
    scene = read_scene(with_arch())
    low, high = scene.rocks[2].solid.bounds
    assert low == pytest.approx((0.25, 0.25, 0.05), abs=5e-4)
    assert high == pytest.approx((0.35, 0.35, 0.15), abs=5e-4)
    assert list(scene.source.files) == ["arch.stl"]


def test_a_missing_mesh(with_arch, refused):
    refused(with_arch(file="arc.stl"), f"{WHERE}.file", "'arc.stl'")


def test_an_open_mesh_tells_its_open_edges(with_arch, refused):
    """A ball without one triangle has three open edges."""
    mesh = trimesh.creation.icosphere(2, 50.0)
    mesh.update_faces([False] + [True] * (len(mesh.faces) - 1))
    refused(with_arch(mesh), f"{WHERE}.file", "3 open edges")


def test_an_empty_mesh(with_arch, tmp_path, refused):
    file = with_arch()
    (tmp_path / "arch.stl").write_bytes(bytes(80) + struct.pack("<I", 0))
    refused(file, f"{WHERE}.file", "no triangles")


def test_a_mesh_a_thousand_times_too_large(with_arch, refused):
    refused(with_arch(scale="1 m"), f"{WHERE}.scale", "100 m long in a tank of 1200 mm", 'scale = "1 mm"')


def test_a_mesh_ten_thousand_times_too_small(with_arch, refused):
    refused(with_arch(scale="0.0001 mm"), f"{WHERE}.scale", "0.01 mm long in a tank of 1200 mm")


def test_a_mesh_that_is_doubtfully_small_is_a_caution(with_arch):
    (caution,) = read_scene(with_arch(scale="0.1 mm")).cautions
    assert caution.where == "rock arch"
    assert "10 mm long in a tank of 1200 mm" in caution.what


def test_a_mesh_outside_the_tank(with_arch, refused):
    refused(with_arch(at=["300 mm", "-2 m", "100 mm"]), f"{WHERE}.at", "outside the tank")


@pytest.mark.parametrize("name", ["../arch.stl", "/arch.stl", "meshes/../../arch.stl"])
def test_a_mesh_outside_the_folder(with_arch, name, refused):
    refused(with_arch(file=name), f"{WHERE}.file", "outside the folder of the scene", "beside the scene")


def test_a_link_that_leads_out_of_the_folder(with_arch, tmp_path, tmp_path_factory, refused):
    file = with_arch()
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "arch.stl"
    (tmp_path / "arch.stl").rename(elsewhere)
    (tmp_path / "arch.stl").symlink_to(elsewhere)
    refused(file, f"{WHERE}.file", "outside the folder")


@pytest.fixture
def with_curve(scene_file, tmp_path):
    """Writes the scene with its pump's curve in a file of the given text."""

    def write(text):
        (tmp_path / "pump.csv").write_text(text, encoding="utf-8")
        return scene_file({"pump.0.curve": None, "pump.0.curve_file": "pump.csv"})

    return write


def test_a_pump_curve_from_a_file(with_curve):
    scene = read_scene(with_curve("# an invented pump\nFlow, Head\n0 gph, 20 ft\n\n1000 L/h, 3 m\n"))
    assert scene.pumps[0].curve == ((0.0, 20 * 0.3048), (1 / 3600, 3.0))
    assert list(scene.source.files) == ["pump.csv"]


@pytest.mark.parametrize(
    ("text", "where", "found"),
    [
        ("0 m3/h, 16.4 ft\n6 m3/h, 6 m\n", "", "does not fall: 16.4 ft, then 6 m"),
        ("0 m3/h, 5 m\n", "", "1 of the two points"),
        ("0 m3/h, 5 m\n6 m3/h, 4\n", ": pump.csv, line 2", "4 is a number without a unit"),
        ("0 m3/h; 5 m\n", ": pump.csv, line 1", "not a flow and a head"),
    ],
)
def test_a_faulty_pump_curve_in_a_file(with_curve, text, where, found, refused):
    refused(with_curve(text), f"pump[1] 'pump'.curve_file{where}", found)


def test_a_workbook_in_the_place_of_a_text_is_told(tmp_path, refused):
    (tmp_path / "tank.toml").write_bytes(b"PK\x03\x04\x14\x00\x06\x00")  # as every zip archive begins
    refused(tmp_path / "tank.toml", "", "is a workbook or an archive", "Save it as CSV")


def test_a_missing_pump_curve(scene_file, refused):
    file = scene_file({"pump.0.curve": None, "pump.0.curve_file": "no.csv"})
    refused(file, "pump[1] 'pump'.curve_file", "no file 'no.csv'")


def test_ten_thousand_rocks_are_read(scene_file):
    """In seconds; a reader whose time grew with the square of their number would not come to an end here."""
    pebble = {"shape": "box", "centre": ["900 mm", "100 mm", "60 mm"], "size": ["5 mm", "1/4 in", "5 mm"]}
    rocks = [pebble | {"name": f"pebble {number}"} for number in range(10_000)]
    scene = read_scene(scene_file({"rock": rocks}))
    copies = [caution for caution in scene.cautions if "stands just where" in caution.what]
    assert (len(scene.rocks), len(copies)) == (10_000, 9_999)  # all but the first stand where it does
