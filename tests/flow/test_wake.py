"""Boxes on the floor of a stream: how long the cavity behind them is, as measured in wind tunnels.

The dead water behind a rock is just this case. The stream comes in as a thick layer slowed by the floor, and turbulent,
as in the tunnels, though in eddies smaller than theirs.
"""

from dataclasses import dataclass

import numpy as np
import pytest

from flowviz.flow import disturbance
from flowviz.flow.levels import COARSE, FINE
from flowviz.flow.march import March
from flowviz.flow.momentum import Closure
from flowviz.flow.statistics import gather
from flowviz.flow.velocity import Velocity
from flowviz.flow.walls import GLASS, SLIP, Walls
from flowviz.grid.grid import Grid, Patch

HEIGHT = 0.2  # of the box, and its length along the stream [m]
SPEED = 0.3  # of the stream at that height [m/s]; Reynolds number 60,000
POWER = 0.2  # of the height, with which the speed of a stream over rough ground rises: common practice, no source
STIRRED = 6.0  # times as much as an outlet's water: an rms of 0.16 of the speed where the box stands; 0.03 else
AHEAD, BEHIND, ABOVE, BESIDE = 3, 6, 3, 2.5  # water round the box, over its height; it shuts 4 to 11 % of the stream


@dataclass(frozen=True)
class Stream:
    """A stream with a box in it."""

    grid: Grid
    rates: dict[str, float]
    lee: int  # planes across x up to the box's lee face
    cells: int  # to the height of the box


@pytest.fixture
def stream(box, monkeypatch):
    """Makes the stream with a box a number of times as wide as high, in so many cells to the height.

    The layers over rough ground in tunnels have an rms of 0.15 to 0.25 of the speed, all ways taken together: common
    practice, no source. In a stream as calm as that of an outlet the cavity is longer, as it is in uniform streams.
    """
    monkeypatch.setattr(disturbance, "STRENGTH", STIRRED * disturbance.STRENGTH)

    def make(wide: int, cells: int) -> Stream:
        h = HEIGHT / cells
        shape = tuple(round(cells * size) for size in (AHEAD + 1 + BEHIND, wide + 2 * BESIDE, 1 + ABOVE))
        middle = ((AHEAD + 0.5) * HEIGHT, shape[1] * h / 2, 0.0)

        def distance(x, y, z):
            reach = (HEIGHT / 2, wide * HEIGHT / 2, HEIGHT)
            return np.maximum.reduce(
                np.broadcast_arrays(*(abs(a - m) - r for a, m, r in zip((x, y, z), middle, reach, strict=True)))
            )

        patches, rates = openings(shape, h)
        return Stream(box(shape, (h,) * 3, distance, patches), rates, (AHEAD + 1) * cells, cells)

    return make


def openings(shape, h) -> tuple[tuple[Patch, ...], dict[str, float]]:
    """The stream's layers on the left, and all of the right end, where it leaves; the flow of each [m³/s]."""
    nx, ny, nz = shape
    extent = ny * h, nz * h
    layers = [[(0, j, k) for j in range(ny)] for k in range(nz)]
    patches = [opening(f"layer {k}", True, np.array(cells), h, extent) for k, cells in enumerate(layers)]
    rates = {patch.name: SPEED * ((k + 0.5) * h / HEIGHT) ** POWER * patch.area for k, patch in enumerate(patches)}
    right = np.array([(nx - 1, j, k) for j in range(ny) for k in range(nz)])
    patches.append(opening("right end", False, right, h, extent))
    return tuple(patches), {**rates, "right end": -sum(rates.values())}


def opening(name: str, inflow: bool, cells: np.ndarray, h: float, extent) -> Patch:
    """A part of one end of the stream."""
    along = (1.0, 0.0, 0.0) if inflow else (-1.0, 0.0, 0.0)
    share, centre = np.full(len(cells), 1 / len(cells)), tuple((cells.mean(axis=0) + 0.5) * h)
    return Patch(name, inflow, cells, share, centre, along, along, len(cells) * h**2, extent, False)


def cavity_length(stream: Stream, closure: Closure, seed: int = 0) -> float:
    """Where on the floor the mean stream behind the box turns forward again, from its lee face, over the height."""
    walls = Walls((GLASS, GLASS), (SLIP, SLIP), (GLASS, SLIP))
    march = March(stream.grid, stream.rates, 1e-6, walls, closure, flowing(stream.grid), seed)
    gather(march, 25 * HEIGHT / SPEED)
    window = gather(march, 50 * HEIGHT / SPEED)
    u = window.velocity[0][stream.lee + 1 :, :, 0]
    middle = u.shape[1] // 2
    line = (u[:, middle] + u[:, -1 - middle]) / 2
    last = np.flatnonzero(line[:-1] <= 0)[-1]
    return (last + 1 + line[last] / (line[last] - line[last + 1])) / stream.cells


def flowing(grid: Grid) -> Velocity:
    """The whole stream at one speed."""
    u, v, w = (np.zeros_like(share) for share in grid.shares)
    u[grid.open_x > 0] = SPEED
    return u, v, w


def published_length(wide: float) -> float:
    """Length of the cavity behind a box as long as high, from its lee face, over its height [-].

    J. E. Fackrell, J. Wind Eng. Ind. Aerodyn. 16 (1984) 97-118: 1.8 (W/H) / ((L/H)^0.3 (1 + 0.24 W/H)).
    """
    return 1.8 * wide / (1 + 0.24 * wide)


@pytest.mark.slow
@pytest.mark.parametrize("wide", [1, 2])
def test_cavity_behind_a_box(wide, stream):
    """Within 30 %: the scatter of tunnels and of the formula, and ours of ten cells and an average over 33 s.

    Reached: 1.48 and 2.31 heights, where 1.45 and 2.43 are published.
    """
    made = stream(wide, 10)
    assert np.count_nonzero(~made.grid.water) == wide * 10**3
    assert cavity_length(made, FINE.closure) == pytest.approx(published_length(wide), rel=0.3)


@pytest.mark.slow
@pytest.mark.parametrize("wide", [1, 2, 4])
def test_cavity_behind_a_box_in_larger_cells(wide, stream):
    """As above with five cells to the height, as a coarse march has them; give or take twice the standard error of a
    mean of four marches. Reached: 1.57, 2.45 and 3.39 heights, all ± 0.1, where 1.45, 2.43 and 3.67 are published.
    """
    made = stream(wide, 5)
    lengths = np.array([cavity_length(made, COARSE.closure, seed) for seed in range(4)])
    error = 2 * lengths.std(ddof=1) / len(lengths) ** 0.5
    assert abs(lengths.mean() - published_length(wide)) < 0.3 * published_length(wide) + error
