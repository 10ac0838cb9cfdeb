"""A study whose scene was read from its file, with a made-up field on its cells."""

from pathlib import Path

import numpy as np
import pytest

from flowviz.flow.field import Field, Quality
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene
from flowviz.store import fresh_folder, write_study
from flowviz.study import Settings, Study, assessed

SCENE = """
title = "Kleines Becken \\"am Fenster\\" <b>"
show = "metric"

[water]
temperature = "25 degC"
salinity = "35 g/kg"

[tank]
length = "600 mm"
width = "300 mm"
height = "400 mm"
depth = "360 mm"
seen_from = ["front"]

[limits]
dead = "3 cm/s"
over = "50 cm/s"

[[rock]]
name = "boulder"
shape = "mesh"
file = "meshes/wedge.stl"
scale = "1 mm"
at = ["300 mm", "150 mm", "-10 mm"]

[[coral]]
name = "speed"
centre = ["300 mm", "150 mm", "250 mm"]
size = ["100 mm", "100 mm", "60 mm"]
speed = ["10 cm/s", "35 cm/s"]

[[outlet]]
name = "head"
at = ["0 mm", "150 mm", "200 mm"]
direction = [1, 0, 0]
bore = "32 mm"
panel = "left"
flow = "2 m3/h"

[[intake]]
name = "flow"
at = ["600 mm", "150 mm", "100 mm"]
bore = "50 mm"
panel = "right"
flow = "2 m3/h"
"""
CORNERS = [(-60.0, -60.0, 0.0), (60.0, -60.0, 0.0), (0.0, 60.0, 0.0), (0.0, 0.0, 120.0)]  # of a wedge [mm]
FACES = [(0, 2, 1), (0, 1, 3), (1, 2, 3), (2, 0, 3)]


def stl() -> str:
    """The wedge as a text STL."""
    faces = "".join(
        f"facet normal 0 0 0\nouter loop\n{''.join('vertex {} {} {}'.format(*CORNERS[i]) + chr(10) for i in face)}"
        "endloop\nendfacet\n"
        for face in FACES
    )
    return f"solid wedge\n{faces}endsolid wedge\n"


@pytest.fixture(scope="session")
def study(tmp_path_factory) -> Study:
    """A scene read from its file, with a made-up field on its cells."""
    folder = tmp_path_factory.mktemp("scenes")
    (folder / "meshes").mkdir()
    (folder / "meshes" / "wedge.stl").write_text(stl())
    (folder / "tank.toml").write_text(SCENE, encoding="utf-8")
    scene, settings = read_scene(folder / "tank.toml"), Settings("coarse", 0.03)
    grid = voxelise(scene, settings.cell)
    field = made_up(grid)
    return assessed(scene, settings, solve_loop(scene), grid, field)


def made_up(grid) -> Field:
    """Speeds of all sizes in the water, in five windows, and face velocities."""
    random = np.random.default_rng(0)
    batches = np.where(grid.water, random.gamma(2.0, 0.08, (5, *grid.shape)), 0).astype(np.float32)
    faces = [
        random.normal(0, 0.1, share.shape).astype(np.float32) * share
        for share in (grid.open_x, grid.open_y, grid.open_z)
    ]
    speed = batches.mean(axis=0)
    return Field(*faces, speed, speed / 2, batches, Quality(1e-5, 400, 60.0, 40.0, steady=True))


@pytest.fixture(scope="session")
def folder(study, tmp_path_factory) -> Path:
    """The study as it is written."""
    target = tmp_path_factory.mktemp("results") / "tank"
    with fresh_folder(target) as fresh:
        write_study(study, fresh)
    return target
