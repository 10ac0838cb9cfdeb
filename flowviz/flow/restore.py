"""Gives a field what the cells that it was marched on could not carry.

A jet whose edge they do not tell comes out of them too wide, with all of its momentum. The law of jets tells both, the
jet as it is and the jet so smeared, and the difference is added along the way that the jet takes. Motion smaller than a
cell is known from the viscosity that stands for it.
"""

from collections.abc import Mapping
from dataclasses import replace
from math import pi, sqrt

import numpy as np

from flowviz.flow.course import Water, barriers, courses
from flowviz.flow.field import Field
from flowviz.flow.narrow import TOLD
from flowviz.flow.restoring.kernels import FADED, REACH, expect, sharpen
from flowviz.flow.restoring.strands import Strand, height, length, strands
from flowviz.flow.team import Team
from flowviz.flow.velocity import Velocity
from flowviz.formulas.jets import INTENSITY, SPREAD, turning
from flowviz.grid.grid import Grid, Patch

SMEAR = 1.2  # half-width of a narrow jet that was marched, over the cells' edge: seen 1.1 to 1.35, one to five cells on
ALONE, EACH = 0.25, 0.3  # square of the same out of a wider bore, had one cell brought it; what each further cell adds
AROUND = 3.0  # half-widths from its axis at which water is out of a jet, and near enough to be drawn in
SEEN = 0.34  # the same for a jet of no width that is only averaged over cells: √(2 ln2/12), from a box's variance


def restore(field: Field, grid: Grid, marched: Grid, rates: Mapping[str, float], subgrid: np.ndarray | float) -> Field:
    """The field with its jets sharpened and with the subgrid motion; its mean velocity is left with divergence.

    Takes its windows, which are large, along.

    marched    the grid that it was marched on
    subgrid    rms of the motion that that did not carry (nx, ny, nz) [m/s]
    """
    expected = _expected(field)
    velocity, gain = _sharpened(field, grid, marched, rates)
    fluctuation = np.sqrt(np.maximum(field.fluctuation**2 + subgrid**2 + gain, 0))
    restored = replace(field, u=velocity[0], v=velocity[1], w=velocity[2], fluctuation=fluctuation)
    speed = np.maximum(field.speed + _expected(restored) - expected, 0)
    gained, kept = np.maximum(speed - field.speed, 0), np.ones_like(speed)
    np.divide(speed, field.speed, out=kept, where=speed < field.speed)
    for batch in field.batches:
        batch *= kept
        batch += gained  # the law's, and no more in one window than in another
    return replace(restored, speed=speed)


def _expected(field: Field) -> np.ndarray:
    """The time-mean of |u| that a field's mean velocity and fluctuation let expect [m/s]."""
    speed = np.empty_like(field.speed)
    Team(len(speed), speed.size).planes(expect, field.u, field.v, field.w, field.fluctuation, speed)
    return speed


def _sharpened(field: Field, grid: Grid, marched: Grid, rates: Mapping[str, float]) -> tuple[Velocity, np.ndarray]:
    """The mean velocity with its jets sharpened, and what the square of the fluctuation gains by that [m²/s²]."""
    gains, square = np.zeros((3, *grid.shape), np.float32), np.zeros(grid.shape, np.float32)
    cell = marched.cell_volume ** (1 / 3)
    water, seen, rings = _water(field, grid), SEEN * grid.cell_volume ** (1 / 3), _rings(cell)
    count = {patch.name: 1 / np.sum(patch.share**2) for patch in marched.patches}
    wide = {patch.name: _smear(patch, count[patch.name], cell) for patch in grid.patches}
    outlets = [patch for patch in grid.patches if patch.inflow and rates[patch.name] > 0 and wide[patch.name] > seen]
    jets = [(strand, rates[outlet.name] / outlet.area) for outlet in outlets for strand in strands(outlet, cell)]
    for (strand, speed), (points, ways) in zip(jets, _courses(water, jets, cell, rings), strict=True):
        smears = wide[strand.outlet.name], seen
        farthest = points[-1] + (len(rings) + 1 - len(points)) * cell * ways[-1]
        box = _box(grid, np.stack((*points, farthest)), strand.reach + REACH * sqrt(FADED**2 + 1) * smears[0])
        walls = water.smooth_walls(points, ways, strand.row)
        jet = points, ways, walls, *strand.across(ways), (length(strand.outlet), height(strand.outlet), speed)
        places = water.spacing, water.barred, box, cell
        team = Team(box[1, 0] - box[0, 0], grid.kind.size)
        team.planes(sharpen, *places, *jet, smears, water.velocity, gains, square)
    return _added(field, grid, gains), 3 * INTENSITY**2 * square


def _smear(outlet: Patch, count: float, cell: float) -> float:
    """Half-width that cells of an edge [m] gave to a jet beyond its own [m]; 0 where they tell it as it is.

    One of more than a cell comes out as wide as the cells that bring it, by where among them it lies: the square of
    what is beyond its own was 0.25 to 1 over that of a cell, two to six cells on, and within 0.2 of this. A narrower
    one may come out as narrow, but is slower farther on: taken so, its decay constant would be 4.2 instead of 5.1 in a
    tank in which the water has gone round.

    count    cells that brought it, if each had brought as much; of a mouth half covered by sand they are so few that
             its jet is taken as it is
    """
    bore = min(outlet.extent)
    if outlet.round and cell <= bore < TOLD * cell:
        return sqrt(max(ALONE * cell**2 + EACH * (count * cell**2 - outlet.area), 0.0))
    return SMEAR * cell if bore < cell else 0.0


def _water(field: Field, grid: Grid) -> Water:
    """What the jets go through."""
    barred = barriers(grid.clear, grid.shares)
    return Water(barred, np.array(grid.spacing), field.velocity())


def _courses(
    water: Water, jets: list[tuple[Strand, float]], step: float, radii: np.ndarray
) -> list[tuple[np.ndarray, np.ndarray]]:
    """The ways of jets, each with its speed at the outlet [m/s]: see courses."""
    starts = np.array([strand.start for strand, _ in jets]).reshape(-1, 3)
    ways = np.array([strand.outlet.direction for strand, _ in jets]).reshape(-1, 3)
    turns = np.array([turning(1.0, sqrt(4 * strand.outlet.area / pi), speed) for strand, speed in jets])
    return courses(water, starts, ways, turns, step, radii)


def _added(field: Field, grid: Grid, gains: np.ndarray) -> Velocity:
    """The mean velocity on faces with what the cells beside each gain (3, nx, ny, nz) [m/s]; shut ones gain nothing."""
    velocity = tuple(along.copy() for along in (field.u, field.v, field.w))
    for axis, (along, share) in enumerate(zip(velocity, grid.shares, strict=True)):
        inner, opened, gain = (np.moveaxis(of, axis, 0) for of in (along, share, gains[axis]))
        inner[1:-1] += (opened[1:-1] > 0) * (gain[:-1] + gain[1:]) / 2
    return velocity


def _rings(cell: float) -> np.ndarray:
    """Radii of the rings along a jet on which what moves round it is read [m], as far as anything is given back.

    cell    edge of those that it was marched on [m], a step of the jet's course
    """
    wide = SMEAR * cell
    distances = np.arange(0.5, FADED * wide / SPREAD / cell) * cell
    return AROUND * np.sqrt((SPREAD * distances) ** 2 + wide**2)


def _box(grid: Grid, points: np.ndarray, reach: float) -> np.ndarray:
    """First cell and the one after the last (2, 3) within reach of points [m]."""
    low, high = points.min(axis=0) - reach, points.max(axis=0) + reach
    return np.clip(np.stack((low / grid.spacing, high / grid.spacing + 1)), 0, grid.shape).astype(int)
