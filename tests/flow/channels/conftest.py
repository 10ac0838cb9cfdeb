"""Flows that were measured elsewhere, told as scenes and computed by the whole chain.

Full-width slots bring the water, a slot or a weir takes it away, boxes stand in it: what a tank has, in a room or a
channel that was measured. The channel's surface is free of stress, its other sides are glass.
"""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from flowviz import Settings, read_scene, run
from flowviz.flow.sample import velocity_at
from flowviz.study import Study

Corner = tuple[float, float, float]
MARCHES = {"sketch": 4, "coarse": 4, "fine": 1}  # in whose short averages a wake or a jet is a matter of chance
FRAME = """
title = "Channel"
show = "metric"
[water]
temperature = "20 degC"
salinity = "0 g/kg"
[limits]
dead = "2 cm/s"
over = "20 cm/s"
[tank]
length = "{length} m"
width = "{width} m"
height = "4 m"
depth = "{depth} m"
seen_from = ["front"]
[[outlet]]
name = "inflow"
at = ["0 m", "{middle} m", "{in_at} m"]
slot = ["{width} m", "{in_high} m"]
panel = "left"
flow = "{flow} L/h"
[[intake]]
name = "outflow"
at = ["{out_end} m", "{middle} m", "{out_at} m"]
slot = ["{width} m", "{out_high} m"]
panel = "{out_panel}"
"""
ROCK = """
[[rock]]
name = "{name}"
shape = "box"
centre = ["{c[0]} m", "{c[1]} m", "{c[2]} m"]
size = ["{s[0]} m", "{s[1]} m", "{s[2]} m"]
"""


@dataclass(frozen=True)
class Channel:
    """A tank as wide everywhere, with openings as wide as itself at its ends [m]."""

    length: float
    width: float
    depth: float
    inflow: tuple[float, float]  # from and to which height
    outflow: tuple[float, float]
    speed: float  # in the inflow [m/s]
    solids: tuple[tuple[Corner, Corner], ...] = ()  # boxes, from and to which corner
    further: str = ""  # tables of the scene, as they stand in its file
    through: bool = True  # the outflow is at the other end, not above the inflow

    def study(self, folder: Path, detail: str, cell: float | None = None) -> Study:
        """Computed as a user would."""
        (in_low, in_high), (out_low, out_high) = self.inflow, self.outflow
        flow = self.speed * self.width * (in_high - in_low) * 3.6e6
        text = FRAME.format(
            length=self.length,
            width=self.width,
            depth=self.depth,
            middle=self.width / 2,
            in_at=(in_low + in_high) / 2,
            in_high=in_high - in_low,
            out_at=(out_low + out_high) / 2,
            out_high=out_high - out_low,
            out_end=self.length if self.through else 0.0,
            out_panel="right" if self.through else "left",
            flow=flow,
        )
        path = folder / "channel.toml"
        path.write_text(text + "".join(map(rock, range(9), self.solids)) + self.further, encoding="utf-8")
        return run(read_scene(path), Settings(detail, cell, marches=MARCHES[detail]))


def rock(number: int, corners: tuple[Corner, Corner]) -> str:
    """One box, as the scene file has it."""
    low, high = map(np.array, corners)
    return ROCK.format(name=f"box {number}", c=(low + high) / 2, s=high - low)


def profile_at(study: Study, x: float, axis: int = 0) -> np.ndarray:
    """Mean velocity along an axis in the middle of each layer of cells, over the middle half of the width [m/s]."""
    grid = study.grid
    width = grid.shape[1] * grid.spacing[1]
    rows = [np.array([(x, y, z) for y in np.linspace(0.25, 0.75, 11) * width]) for z in grid.centres()[2]]
    return np.array([velocity_at(grid, study.field, row)[:, axis].mean() for row in rows])


def turn_after(study: Study, start: float, layer: int = 0, half: float = 0.25) -> float:
    """Where behind a place the mean stream, in a layer of cells, turns forward for good [m].

    half    of the width, on either side of its middle, over which the mean is taken
    """
    grid = study.grid
    ny = grid.shape[1]
    first = min(int((0.5 - half) * ny), (ny - 1) // 2)
    u = study.field.u[:, first : ny - first, layer].mean(axis=1)
    x = np.arange(len(u)) * grid.spacing[0]
    behind = (x > start + grid.spacing[0]) & (x < 0.95 * x[-1])
    last = np.flatnonzero((u < 0) & behind)[-1]
    return x[last] + grid.spacing[0] * u[last] / (u[last] - u[last + 1])


def momentum_thickness(y: np.ndarray, u: np.ndarray) -> float:
    """Of the layers along two walls, on average, from the mean stream from one to the other [m]."""
    share = u / u.max()
    return np.trapezoid(share * (1 - share), y) / 2


@pytest.fixture(scope="session")
def channel():
    return Channel


@pytest.fixture(scope="session")
def profile():
    return profile_at


@pytest.fixture(scope="session")
def turn():
    return turn_after


@pytest.fixture(scope="session")
def thickness():
    return momentum_thickness
