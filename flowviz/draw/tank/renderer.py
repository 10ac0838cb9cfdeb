"""The renderer of the still: a program of its own, so that a missing graphics library ends it and nothing else.

It loads its libraries, reads from its input the name of a file with a pickled description, and writes the picture's
bytes (height × width × 3) to its output. It imports nothing of flowviz, and so starts quickly. The description holds

    size     width and height of the picture [pixels]
    eye, focus, angle    of the camera [m], [°]
    parts    each with "shape", "colour", perhaps "veil", and

        surface  points (n, 3), triangles (m, 3)
        prism    outline (n, 2), low, high, opacity
        line     points (n, 3), width [pixels]
        body     cells (nx, ny, nz) bool, spacing (3,), hatch (its colour), ways (unit vectors square to its strokes)

A part with a veil is laid over the picture of all others with that share of its own colour, so that what stands in it
or behind it is seen, but not its own far side.
"""

import ctypes
import os
import pickle
import sys

import numpy as np
import pyvista as pv
from vtkmodules.vtkRenderingCore import vtkMapper

NO_LIBRARY = 3  # exit status
SAMPLES = 8  # of each pixel
PITCH, STROKE = 0.012, 1.7  # between strokes, of the longest extent of all cells; their width [pixels]
AMBIENT, DIFFUSE = 0.45, 0.6  # shares of the light, so that shaded sides stay light enough to be told apart
SMOOTHING, PASS_BAND = 30, 0.06  # Taubin's, that rounds the steps of cells


def main() -> int:
    """Render what the input names."""
    if headless() and not has_egl():
        return NO_LIBRARY
    with open(os.fsdecode(sys.stdin.buffer.readline().rstrip(b"\n")), "rb") as file:
        view = pickle.load(file)
    sys.stdout.buffer.write(picture(view).tobytes())
    return 0


def headless() -> bool:
    """Whether this is a Linux machine without a display; the renderer is then told to do without."""
    if not sys.platform.startswith("linux") or os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"):
        return False
    os.environ.setdefault("VTK_DEFAULT_OPENGL_WINDOW", "vtkEGLRenderWindow")
    return os.environ["VTK_DEFAULT_OPENGL_WINDOW"] == "vtkEGLRenderWindow"


def has_egl() -> bool:
    """Whether the graphics library can be loaded: the renderer would crash without."""
    try:
        ctypes.CDLL("libEGL.so.1")
    except OSError:
        return False
    return True


def picture(view: dict) -> np.ndarray:
    """The picture (height, width, 3) uint8."""
    veils = sorted({part.get("veil", 0.0) for part in view["parts"]} - {0.0}, reverse=True)
    plotter = stage(view)
    image = added(plotter, [part for part in view["parts"] if not part.get("veil")])
    for veil in veils:
        veiled = added(plotter, [part for part in view["parts"] if part.get("veil") == veil])
        image = veil * veiled + (1 - veil) * image
    plotter.close()
    return np.rint(image).astype(np.uint8)


def stage(view: dict) -> pv.Plotter:
    """An empty stage, and the eye before it."""
    pv.global_theme.allow_empty_mesh = True  # rock may lie wholly under the floor
    plotter = pv.Plotter(off_screen=True, window_size=view["size"])
    plotter.set_background("white")
    plotter.enable_anti_aliasing("msaa", multi_samples=SAMPLES)
    vtkMapper.SetResolveCoincidentTopologyToPolygonOffset()  # strokes lie on their surface, not half in it
    plotter.camera.position, plotter.camera.focal_point, plotter.camera.up = view["eye"], view["focus"], (0, 0, 1)
    plotter.camera.view_angle = view["angle"]
    return plotter


def added(plotter: pv.Plotter, parts: list[dict]) -> np.ndarray:
    """The picture (height, width, 3) with these parts too."""
    for part in parts:
        SHAPES[part["shape"]](plotter, part)
    plotter.reset_camera_clipping_range()
    return plotter.screenshot(return_img=True)


def add_surface(plotter: pv.Plotter, part: dict) -> None:
    """A body with a surface of triangles; what is below the floor is left out."""
    mesh = pv.PolyData.from_regular_faces(part["points"], part["triangles"])
    shade(plotter, mesh.clip("z", origin=(0, 0, 0), invert=False), part)


def add_prism(plotter: pv.Plotter, part: dict) -> None:
    """A floor plan raised from one height to another."""
    outline = part["outline"]
    points = np.column_stack((outline, np.full(len(outline), part["low"])))
    floor = pv.PolyData(points, np.concatenate(([len(points)], np.arange(len(points))))).triangulate()
    height = part["high"] - part["low"]
    mesh = floor.extrude((0, 0, height), capping=True) if height else floor
    plotter.add_mesh(mesh, color=part["colour"], opacity=part["opacity"], ambient=AMBIENT, diffuse=DIFFUSE)


def add_line(plotter: pv.Plotter, part: dict) -> None:
    """A line through points."""
    mesh = pv.lines_from_points(part["points"])
    plotter.add_mesh(mesh, color=part["colour"], line_width=part["width"], lighting=False)


def add_body(plotter: pv.Plotter, part: dict) -> None:
    """Cells as one smooth body with hatching; the cells are padded, so that it closes at the walls."""
    spacing = np.array(part["spacing"])
    values = np.pad(part["cells"], 1).astype(np.float32)
    image = pv.ImageData(dimensions=values.shape, spacing=spacing, origin=-spacing / 2)
    image.point_data["cells"] = values.ravel(order="F")
    mesh = image.contour([0.5], scalars="cells", method="flying_edges")
    mesh = mesh.smooth_taubin(n_iter=SMOOTHING, pass_band=PASS_BAND)
    shade(plotter, mesh, part)
    pitch = PITCH * max(np.multiply(part["cells"].shape, spacing))
    for way in part["ways"]:
        mesh["along"] = mesh.points @ np.array(way)
        strokes = np.arange(mesh["along"].min(), mesh["along"].max(), pitch)[1:]
        lines = mesh.contour(strokes, scalars="along")
        if lines.n_points:
            plotter.add_mesh(lines, color=part["hatch"], line_width=STROKE, lighting=False)


def shade(plotter: pv.Plotter, mesh: pv.PolyData, part: dict) -> None:
    """A surface in the light."""
    light = {"ambient": AMBIENT, "diffuse": DIFFUSE, "smooth_shading": True}
    plotter.add_mesh(mesh, color=part["colour"], **light)


SHAPES = {"surface": add_surface, "prism": add_prism, "line": add_line, "body": add_body}

if __name__ == "__main__":
    sys.exit(main())
