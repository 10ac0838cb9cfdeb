"""Studies whose water moves as the test says, window by window."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from flowviz.assess.measures import measure
from flowviz.flow.field import Field, Quality
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Bore, Coral, Intake, Limits, Outlet, Rock, Sand, Scene, Tank, Water
from flowviz.shapes.plans import rectangle
from flowviz.shapes.solids import Box
from flowviz.study import Settings, Study

Speeds = Callable[[np.ndarray, np.ndarray, np.ndarray], np.ndarray]  # coordinates of cells to speed, all in SI

RATE = 1e-3  # through the outlet [m³/s]
CELL = 0.025  # [m]
AVERAGED = 1e8  # [s]


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
        "outlets": (Outlet("left jet", (0.0, 0.1, 0.4), (1, 0, 0), (1, 0, 0), Bore(0.03), "left", 0.06, None),),
        "intakes": (Intake("low", (1.2, 0.25, 0.2), (-1.0, 0.0, 0.0), Bore(0.05), "right", 0.09, None, None),),
    }
    return Scene(**(parts | changes))


def study_of(
    scene: Scene, speeds: Speeds, windows: Sequence[float] = (0.98, 1.02, 1.01, 0.99), cell: float = CELL
) -> Study:
    """Water that flows along x at the speeds of a function, times a factor of each window, long ones."""
    grid = voxelise(scene, cell)
    speed = np.where(grid.water, speeds(*np.meshgrid(*grid.centres(), indexing="ij")), 0).astype(np.float32)
    batches = np.array(windows, np.float32)[:, None, None, None] * speed
    mean = batches.mean(axis=0)
    u = np.pad(mean, ((1, 0), (0, 0), (0, 0))) * (grid.open_x > 0)
    v, w = np.zeros_like(grid.open_y), np.zeros_like(grid.open_z)
    field = Field(u, v, w, mean, np.zeros_like(mean), batches, Quality(0.0, 1, AVERAGED, AVERAGED, steady=True))
    rates = {opening.name: RATE if isinstance(opening, Outlet) else -RATE for opening in scene.openings}
    return Study(scene, Settings(cell=cell), Loop(rates), grid, field, measure(scene, grid, field))


def dead_at_the_right(x, y, z):
    """Dead in a corner at the right and back, 10 cm/s elsewhere."""
    return np.where((x > 0.9) & (y > 0.3) & (z < 0.35), 0.01, 0.1)


def alive(x, y, z):
    """10 cm/s everywhere."""
    return np.full_like(x, 0.1)


@pytest.fixture(scope="session")
def make() -> SimpleNamespace:
    """What the tests make studies with."""
    return SimpleNamespace(scene=box_scene, study=study_of, dead=dead_at_the_right, alive=alive, replace=replace)
