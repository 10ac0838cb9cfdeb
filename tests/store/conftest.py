"""A study whose scene was read from its file, with a made-up field on its cells."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from flowviz.flow.field import Quality
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene
from flowviz.store import fresh_folder, write_study
from flowviz.study import Settings, Study, assessed

CHANGES = {
    "title": 'Kleines Becken "am Fenster" <b>',
    "tank.depth": "372 mm",  # so that cells are no cubes
    "rock.0": {
        "name": "boulder",
        "shape": "mesh",
        "file": "meshes/wedge.stl",
        "scale": "1 mm",
        "at": ["300 mm", "150 mm", "-10 mm"],
    },
    "coral.0.name": "speed",  # names of keys, and of what stands in the summary
    "coral.0.centre": ["300 mm", "150 mm", "250 mm"],
    "coral.0.size": ["100 mm", "100 mm", "60 mm"],
    "outlet.0.name": "head",
    "intake.0.name": "flow",
}
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
def study(make, scene_in, tmp_path_factory) -> Study:
    """A scene read from its file, with speeds of all sizes in five windows and any velocity."""
    folder = tmp_path_factory.mktemp("scenes")
    (folder / "meshes").mkdir()
    (folder / "meshes" / "wedge.stl").write_text(stl())
    scene, settings = read_scene(scene_in(folder, CHANGES)), Settings("coarse", 0.03)
    grid, random = voxelise(scene, settings.cell), np.random.default_rng(0)
    windows = random.gamma(2.0, 0.08, (5, *grid.shape))
    shares = grid.shares
    velocity = tuple(random.normal(0, 0.1, share.shape).astype(np.float32) * share for share in shares)
    field = make.field(grid, windows, velocity, Quality(1e-5, 400, 60.0, 40.0, steady=True))
    return assessed(scene, settings, solve_loop(scene), grid, replace(field, fluctuation=field.speed / 2))


@pytest.fixture(scope="session")
def folder(study, tmp_path_factory) -> Path:
    """The study as it is written."""
    target = tmp_path_factory.mktemp("results") / "tank"
    with fresh_folder(target) as fresh:
        write_study(study, fresh)
    return target
