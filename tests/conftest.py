"""What the tests of all floors share: printed tables, small scenes as files, and studies of hand-made water.

Hand-made water shows what a test is about without marching anything, and is the same on every machine.
"""

import csv
import json
import tomllib
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from flowviz.assess.measures import measure
from flowviz.flow.field import Field, Quality
from flowviz.flow.velocity import Velocity, still
from flowviz.grid.grid import Grid
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.loop import Loop
from flowviz.scene.apertures import Bore
from flowviz.scene.model import Coral, Intake, Limits, Outlet, Rock, Sand, Scene, Tank, Vector, Water
from flowviz.shapes.plans import FloorPlan, rectangle
from flowviz.shapes.solids import Box
from flowviz.study import Settings, Study
from flowviz.tables import study_tables

Rows = list[dict[str, str]]
Sides = tuple[str, ...]
Speeds = Callable[[np.ndarray, np.ndarray, np.ndarray], np.ndarray]  # coordinates of cells to speed, all in SI

HERE = Path(__file__).parent
LONG = Quality(0.0, 1, 1e8, 1e8, steady=True)  # averaged for so long that windows do not remember each other
RATE = 1e-3  # through each outlet [m³/s]
CELL = 0.025  # [m]


@pytest.fixture(scope="session")
def published() -> Callable[[str], Rows]:
    """Reads the rows of a printed table in tests/published, whose first lines tell its source."""

    def read(name: str) -> Rows:
        text = (HERE / "published" / name).read_text(encoding="utf-8")
        return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))

    return read


@pytest.fixture(scope="session")
def rows() -> Callable[[Study, str], dict[str, tuple[str, ...]]]:
    """Gives the rows of a study's table whose title begins so, by their first cell."""

    def find(study: Study, title: str) -> dict[str, tuple[str, ...]]:
        (table,) = (table for table in study_tables(study) if table.title.startswith(title))
        assert all(len(row) == len(table.columns) for row in table.rows)
        return {row[0]: row[1:] for row in table.rows}

    return find


@pytest.fixture(scope="session")
def scene_in() -> Callable[..., Path]:
    """Writes a scene of tests/scenes into a folder, with changes by dotted path, and gives the file's path."""

    def write(folder: Path, changes: Mapping[str, Any] | None = None, base: str = "bare") -> Path:
        tables = tomllib.loads((HERE / "scenes" / f"{base}.toml").read_text(encoding="utf-8"))
        for path, value in (changes or {}).items():
            change(tables, path, value)
        file = folder / "tank.toml"
        file.write_text("".join(f"{json.dumps(key)} = {toml(value)}\n" for key, value in tables.items()), "utf-8")
        return file

    return write


def change(tables: dict, path: str, value) -> None:
    """Put a value at a dotted path such as outlet.0.bore, or take the key out (None)."""
    *way, last = (int(part) if part.isdigit() else part for part in path.split("."))
    here = tables
    for part in way:
        here = here[part]
    if value is None:
        del here[last]
    elif isinstance(here, list) and last == len(here):
        here.append(value)
    else:
        here[last] = value


def toml(value) -> str:
    """A value as TOML writes it."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{json.dumps(key)} = {toml(part)}" for key, part in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str | bool) else repr(value)


@pytest.fixture(scope="session")
def make() -> SimpleNamespace:
    """Makes scenes and openings for them, fields on a grid, and studies of a scene whose water is told."""
    return SimpleNamespace(
        tank=bare_tank,
        scene=walled_tank,
        outlet=outlet,
        intake=intake,
        field=field,
        study=study,
        dead=dead_at_the_right,
        alive=alive,
    )


def bare_tank(plan: FloorPlan, depth: float, freeboard: float = 0.0, seen_from: Sides = ("front",), **parts) -> Scene:
    """A tank of that much water with nothing in it but what it is given, dead below 3 cm/s, too strong above 50."""
    always = {
        "title": "hand-made",
        "show": "metric",
        "water": Water(25.0, 35.0),
        "tank": Tank(plan, depth + freeboard, depth, {}, seen_from),
        "limits": Limits(0.03, 0.5),
    }
    return Scene(**(always | parts))


def walled_tank(**changes) -> Scene:
    """A tank of 1.2 by 0.5 by 0.5 m with a wall of rock across the middle of its floor."""
    parts = {
        "sand": Sand(0.05, 1e-3),
        "rocks": (Rock("wall", Box((0.6, 0.3, 0.15), (0.3, 0.1, 0.3))),),
        "corals": (Coral("crest", (0.6, 0.3, 0.35), (0.2, 0.2, 0.05), (0.05, 0.3)),),
        "outlets": (outlet("left jet", (0.0, 0.1, 0.4), (1, 0, 0), "left"),),
        "intakes": (intake("right low", (1.2, 0.25, 0.2), (-1.0, 0.0, 0.0), "right"),),
    }
    return bare_tank(rectangle(1.2, 0.5), 0.5, 0.05, **(parts | changes))


def outlet(name: str, at: Vector, direction: Vector, panel: str) -> Outlet:
    """Of 30 mm, through a hole of 60 mm."""
    way = tuple((np.array(direction) / np.linalg.norm(direction)).tolist())
    return Outlet(name, at, way, way, Bore(0.03), panel, 0.06, None)


def intake(name: str, at: Vector, normal: Vector, panel: str) -> Intake:
    """Of 50 mm, through a hole of 90 mm, with no strainer."""
    return Intake(name, at, normal, Bore(0.05), panel, 0.09, None, None)


def field(grid: Grid, windows: np.ndarray, velocity: Velocity | None = None, quality: Quality = LONG) -> Field:
    """The mean of speeds in windows (m, nx, ny, nz) [m/s], without eddies; at rest where no velocity is told."""
    batches = np.where(grid.water, windows, 0).astype(np.float32)
    speed = batches.mean(axis=0, dtype=np.float64).astype(np.float32)
    return Field(*(velocity or still(grid)), speed, np.zeros_like(speed), batches, quality)


def study(scene: Scene, speeds: Speeds, windows: Sequence[float] = (1, 1, 1, 1), cell: float = CELL) -> Study:
    """Water that flows along x at the speeds of a function, times a factor in each window."""
    grid = voxelise(scene, cell)
    speed = np.where(grid.water, speeds(*np.meshgrid(*grid.centres(), indexing="ij")), 0).astype(np.float32)
    batches = np.array(windows, np.float32)[:, None, None, None] * speed
    _, v, w = still(grid)
    u = np.pad(batches.mean(axis=0), ((1, 0), (0, 0), (0, 0))) * (grid.open_x > 0)
    water = field(grid, batches, (u, v, w))
    rates = {opening.name: RATE if isinstance(opening, Outlet) else -RATE for opening in scene.openings}
    return Study(scene, Settings(cell=cell), Loop(rates), grid, water, measure(scene, grid, water))


def dead_at_the_right(x, y, z):
    """Dead in a corner at the right and back, 10 cm/s elsewhere."""
    return np.where((x > 0.9) & (y > 0.3) & (z < 0.35), 0.01, 0.1)


def alive(x, y, z):
    """10 cm/s everywhere."""
    return np.full_like(x, 0.1)
