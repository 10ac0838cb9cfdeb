"""Studies whose water moves as the test says: a hand-made field on the cells of a real scene."""

from collections.abc import Callable
from types import SimpleNamespace

import numpy as np
import pytest

from flowviz.assess.measures import measure
from flowviz.draw.pictures import write_pictures
from flowviz.flow.field import Field, Quality
from flowviz.grid.grid import Grid
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Bore, Coral, Intake, Limits, Outlet, Rock, Sand, Scene, Tank, Water
from flowviz.shapes.plans import Disc, Polygon, rectangle
from flowviz.shapes.solids import Box, Ellipsoid
from flowviz.study import Settings, Study

Speeds = Callable[[np.ndarray, np.ndarray, np.ndarray], np.ndarray]  # coordinates of cells to speed, all in SI

RATE = 1e-3  # through each outlet [m³/s]
CELL = 0.025  # [m]
STILL, FAST, COMMON = 0.01, 0.8, 0.1  # speeds of the hand-made water [m/s]; dead below 3 cm/s, too strong above 50


def outlet(name, at, direction, panel) -> Outlet:
    way = tuple((np.array(direction) / np.linalg.norm(direction)).tolist())
    return Outlet(name, at, way, way, Bore(0.03), panel, None, RATE)


def intake(name, at, normal, panel) -> Intake:
    return Intake(name, at, normal, Bore(0.05), panel, None, RATE, None)


def box_scene(**changes) -> Scene:
    """A tank of 1.2 by 0.5 by 0.5 m with a wall of rock across the middle of its floor."""
    parts = {
        "title": "hand-made",
        "show": "metric",
        "water": Water(25.0, 35.0),
        "tank": Tank(rectangle(1.2, 0.5), 0.55, 0.5, {}, ("front",)),
        "limits": Limits(0.03, 0.5),
        "sand": Sand(0.05, 1e-3),
        "rocks": (Rock("wall", Box((0.6, 0.3, 0.15), (0.3, 0.1, 0.3))),),
        "corals": (Coral("crest", (0.6, 0.3, 0.35), (0.2, 0.2, 0.05), (0.05, 0.3)),),
        "outlets": (outlet("left jet", (0.0, 0.1, 0.4), (1, 0, 0), "left"),),
        "intakes": (intake("right low", (1.2, 0.25, 0.2), (-1.0, 0.0, 0.0), "right"),),
    }
    return Scene(**(parts | changes))


def box_speeds(x, y, z):
    """Dead in a corner at the right, too strong along the left jet, COMMON elsewhere."""
    dead = (x > 0.9) & (y > 0.3) & (z < 0.35)
    fast = (x < 0.4) & (abs(y - 0.1) < 0.06) & (abs(z - 0.4) < 0.06)
    return np.where(dead, STILL, np.where(fast, FAST, COMMON))


def field_of(grid: Grid, speeds: Speeds) -> Field:
    """Water that flows along x at the speeds of a function, alike in four windows."""
    speed = np.where(grid.water, speeds(*np.meshgrid(*grid.centres(), indexing="ij")), 0).astype(np.float32)
    u = np.pad(speed, ((1, 0), (0, 0), (0, 0))) * (grid.open_x > 0)
    v, w = np.zeros_like(grid.open_y), np.zeros_like(grid.open_z)
    batches = np.repeat(speed[None], 4, axis=0)
    return Field(u, v, w, speed, np.zeros_like(speed), batches, Quality(0.0, 1, 1.0, 1.0, steady=True))


def study_of(scene: Scene, speeds: Speeds, cell: float = CELL) -> Study:
    """A study of a scene with hand-made water."""
    grid = voxelise(scene, cell)
    field = field_of(grid, speeds)
    rates = {opening.name: RATE if isinstance(opening, Outlet) else -RATE for opening in scene.openings}
    return Study(scene, Settings(cell=cell), Loop(rates), grid, field, measure(scene, grid, field))


def disc_study() -> Study:
    """A round tank, in US units, dead on its left."""
    scene = box_scene(
        show="us",
        tank=Tank(Disc(0.8), 0.55, 0.5, {}, ("wall",)),
        rocks=(Rock("spire", Ellipsoid((0.4, 0.4, 0.1), (0.3, 0.3, 0.6))),),
        corals=(),
        outlets=(outlet("riser", (0.6, 0.4, 0.05), (0, 0.2, 1), "floor"),),
        intakes=(intake("drain", (0.4, 0.7, 0.05), (0.0, 0.0, 1.0), "floor"),),
    )
    return study_of(scene, lambda x, y, z: np.where(x < 0.25, STILL, COMMON))


def corner_study() -> Study:
    """An L-shaped tank with names that are hard to set, dead in one leg."""
    plan = Polygon(
        ((0.0, 0.0), (1.2, 0.0), (1.2, 0.4), (0.5, 0.4), (0.5, 0.9), (0.0, 0.9)),
        ("front", "right", "inner", "inner side", "back", "left"),
    )
    names = (
        'Höhle <"3"> $x_1$ & {"' + "sehr " * 40 + "}",
        "\N{TROPICAL FISH} 岩 o\N{COMBINING DIAERESIS}\N{VARIATION SELECTOR-16}\n$\\frac",
        "%s 100 %",
    )
    scene = box_scene(
        title=names[0],
        tank=Tank(plan, 0.55, 0.5, {}, ("front", "left")),
        rocks=(Rock(names[0], Ellipsoid((0.25, 0.5, 0.1), (0.2, 0.2, 0.4))),),
        corals=(Coral(names[1], (0.25, 0.5, 0.4), (0.2, 0.2, 0.05), (0.05, 0.3)),),
        outlets=(outlet(names[2], (1.2, 0.2, 0.4), (-1, 0, 0), "right"),),
        intakes=(intake("", (0.25, 0.9, 0.3), (0.0, -1.0, 0.0), "back"),),
    )
    return study_of(scene, lambda x, y, z: np.where(y > 0.6, STILL, COMMON))


@pytest.fixture(scope="session")
def make() -> SimpleNamespace:
    """What the tests make studies with."""
    return SimpleNamespace(scene=box_scene, speeds=box_speeds, study=study_of)


@pytest.fixture(scope="session")
def box() -> Study:
    return study_of(box_scene(), box_speeds)


@pytest.fixture(scope="session")
def disc() -> Study:
    return disc_study()


@pytest.fixture(scope="session")
def corner() -> Study:
    return corner_study()


@pytest.fixture(scope="session", params=["box", "disc", "corner"])
def study(request) -> Study:
    """Each of the hand-made studies."""
    return request.getfixturevalue(request.param)


@pytest.fixture(scope="session")
def drawn(study, tmp_path_factory):
    """A folder with the pictures of each study, and the album of them."""
    folder = tmp_path_factory.mktemp("pictures")
    return folder, write_pictures(study, folder)
