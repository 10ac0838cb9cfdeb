"""Dead and too-strong water as connected pockets, the ones that matter first."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil, nan
from typing import Literal

import numpy as np

from flowviz.assess.causes import FASTER, SLOWER, Cause, cause_of_dead, cause_of_much_dead, cause_of_strong
from flowviz.assess.places import Surroundings, few, jet_through, place_in_words, region, spans
from flowviz.assess.speeds import mean
from flowviz.assess.sureness import Detail, sureness
from flowviz.assess.touch import touchable, touched
from flowviz.assess.words import named
from flowviz.flow.field import Field
from flowviz.grid.grid import Grid, Vector
from flowviz.grid.joining import bodies
from flowviz.scene.model import Limits, Outlet, Scene

FEWEST_CELLS = 8  # of a pocket that is told; the grid does not resolve a smaller one
SMALLEST_SHARE = 0.002  # of the water's cells, of a pocket that is told
ON_THE_BED = 2.0  # weight of a pocket there, where detritus gathers or sand is blown about (common practice, no source)
LOOKED_AT = 99  # cells of a pocket that stand for it where its cause is asked for
UNTOUCHED = "nothing, as long as nothing lives there; else {}"  # what is worth trying against a core in open water
LOOK_AGAIN = "a longer look first, for this may be chance; then {}"  # and against dead water that may as well be none
AT_ODDS = "{}; the dead water asks for the opposite, and a further outlet there would let both"
MUCH = 1 / 3  # of the water: a dead pocket that holds more of it is no corner that a jet misses (a choice of words)


@dataclass(frozen=True, slots=True)
class Zone:
    """A connected pocket of dead or too-strong water."""

    kind: Literal["dead", "over"]
    cells: int
    volume: float  # [m³]
    centre: Vector  # of its volume; may lie outside it [m]
    bounds: tuple[Vector, Vector]  # lowest and highest corner of its cells [m]
    mean_speed: float  # over its cells [m/s]
    extreme_speed: float  # lowest of dead water, highest of too-strong [m/s]
    extreme_at: Vector  # centre of the cell where that is [m]
    persistence: float  # share of its cells that are beyond the limit in a single window, on average; NaN: no windows
    place: str  # in words
    cause: str  # in words
    remedy: str  # what is worth trying, in words
    moving_may_help: bool  # whether that can be done by moving one opening
    corals: tuple[str, ...]  # groups that it touches
    openings: tuple[str, ...]  # outlets and intakes that it touches
    bed: Literal["sand", "floor"] | None  # that it lies on; None: it does not
    surface: bool  # whether it reaches the water's surface
    harmless: bool  # whether it is too strong where neither corals nor sand nor an intake are: jets have such cores

    @property
    def touches(self) -> str:
        """What it touches, in words; "nothing" if it is in open water."""
        bed = [f"the {self.bed}"] if self.bed else []
        things = [named(name) for name in self.corals] + bed + [named(name) for name in self.openings]
        return ", ".join([*things, *["the surface"] * self.surface]) or "nothing"

    def sureness(self, detail: Detail, marches: int) -> str:
        """How sure it is that it is there: sure, likely, or perhaps; at a level of detail."""
        return sureness(self.kind, self.persistence, detail, marches)


@dataclass(frozen=True, slots=True)
class Side:
    """One end of the speeds, and what makes a pocket there matter."""

    kind: Literal["dead", "over"]
    beyond: Callable[[np.ndarray], np.ndarray]  # speeds to whether each is past the limit
    extreme: Callable[[np.ndarray], int]  # speeds to the position of the worst
    size: Callable[[Zone], float]
    place: Callable[[np.ndarray, Vector, Vector, Surroundings], str]  # points, middle, worst point to words
    cause: Callable[[np.ndarray, Vector, float, Surroundings, Grid], Cause]  # points, worst, share of water to why

    def weight(self, zone: Zone) -> tuple[bool, float]:
        """Corals first, then size, which counts double on the bed."""
        return bool(zone.corals), self.size(zone) * (ON_THE_BED if zone.bed else 1.0)


def sides(limits: Limits) -> tuple[Side, Side]:
    """Too slow by volume, then too fast by peak speed × volume."""
    dead = Side(
        kind="dead",
        beyond=lambda speed: speed < limits.dead,
        extreme=np.argmin,
        size=lambda zone: zone.volume,
        place=lambda points, middle, worst, around: place_in_words(points, middle, around),
        cause=lambda some, worst, share, *where: cause_of_still(some, share, *where),
    )
    over = Side(
        kind="over",
        beyond=lambda speed: speed > limits.over,
        extreme=np.argmax,
        size=lambda zone: zone.extreme_speed * zone.volume,
        place=lambda points, middle, worst, around: place_of_strong(points, middle, worst, around),
        cause=lambda some, worst, share, *where: cause_of_strong(worst, *where),
    )
    return dead, over


def cause_of_still(some: np.ndarray, share: float, around: Surroundings, grid: Grid) -> Cause:
    """Why a dead pocket is there that holds a share of the water, or reaches all through the tank."""
    much = share > MUCH or all(spans(some, around.scene))
    return cause_of_much_dead(some, around, grid) if much else cause_of_dead(some, around, grid)


def place_of_strong(points: np.ndarray, middle: np.ndarray, worst: np.ndarray, around: Surroundings) -> str:
    """In the jet that passes through the worst point of a zone, if one does."""
    outlet = jet_through(worst, around.scene)
    if outlet is None:
        return place_in_words(points, middle, around)
    return f"in the jet of “{outlet.name}”, {region(points, around.scene)}"


def find_zones(around: Surroundings, grid: Grid, field: Field) -> tuple[tuple[Zone, ...], np.ndarray]:
    """Pockets of at least fewest_cells, dead ones first, and on each side the ones that matter first.

    The second part tells which zone a cell belongs to, counted from 1; 0 is none: (nx, ny, nz) int32.
    """
    zones, labels = [], np.zeros(grid.shape, np.int32)
    things = touchable(around.scene, grid)
    for side in sides(around.scene.limits):
        found = []
        for cells in pockets(side.beyond(field.speed) & grid.clear, grid):
            told = figures_of(cells, side, grid, field) | words_of(cells, side, around, grid, field)
            touches = touched(cells, things)
            spared = is_harmless(side, touches, around.scene)
            told["remedy"] = UNTOUCHED.format(told["remedy"]) if spared else told["remedy"]
            found.append((Zone(**told, **touches, harmless=spared), cells))
        for zone, cells in sorted(found, key=lambda pair: side.weight(pair[0]), reverse=True):
            zones.append(zone)
            labels.reshape(-1)[cells] = len(zones)
    return tuple(zones), labels


def put_off(zones: Sequence[Zone]) -> tuple[Zone, ...]:
    """Pockets of a tank of which none may be dead: against those that look so, a longer look comes first."""
    return tuple(
        replace(zone, remedy=LOOK_AGAIN.format(zone.remedy)) if zone.kind == "dead" else zone for zone in zones
    )


def at_odds(zones: Sequence[Zone], outlets: Sequence[Outlet]) -> tuple[Zone, ...]:
    """Pockets where what helps against a too-strong one is the opposite of what helps against a dead one, told so."""
    wanted = [zone.remedy for zone in zones if zone.kind == "dead"]
    names = [named(outlet.name) for outlet in outlets]
    slower = {SLOWER.format(name) for name in names if any(asks_for_more(remedy, name) for remedy in wanted)}
    return tuple(
        replace(zone, remedy=AT_ODDS.format(zone.remedy)) if zone.kind == "over" and zone.remedy in slower else zone
        for zone in zones
    )


def asks_for_more(remedy: str, outlet: str) -> bool:
    """Whether a faster jet is worth trying at an outlet, by its name in a sentence, and not at one of a longer name."""
    _, found, behind = remedy.partition(FASTER.format(outlet))
    return bool(found) and (not behind or behind.startswith((";", ", or a second")))


def is_harmless(side: Side, touches: Mapping[str, object], scene: Scene) -> bool:
    """Whether a pocket that touches that is the core of a jet in which nothing lives."""
    drawn = {intake.name for intake in scene.intakes} & set(touches["openings"])
    return side.kind == "over" and not touches["corals"] and touches["bed"] != "sand" and not drawn


def fewest_cells(grid: Grid) -> int:
    """What a pocket must have to be told."""
    return max(FEWEST_CELLS, ceil(SMALLEST_SHARE * np.count_nonzero(grid.clear)))


def pockets(mask: np.ndarray, grid: Grid) -> list[np.ndarray]:
    """Positions in the flattened grid of the cells of each large enough pocket of mask, joined through open faces."""
    cells, fewest = np.flatnonzero(mask), fewest_cells(grid)
    pocket = bodies(mask, grid.shares).take(cells)
    by_pocket = np.split(cells[np.argsort(pocket, kind="stable")], np.cumsum(np.bincount(pocket)[1:])[:-1])
    return [members for members in by_pocket if members.size >= fewest]


def figures_of(cells: np.ndarray, side: Side, grid: Grid, field: Field) -> dict[str, object]:
    """What is measured of the zone of these cells, given by their positions in the flattened grid."""
    speeds, middles = field.speed.take(cells).astype(np.float64), middles_of(cells, grid)
    half, worst = np.array(grid.spacing) / 2, int(side.extreme(speeds))
    volumes = grid.open_volume.take(cells)
    held = [mean(side.beyond(window.take(cells)), volumes) for window in field.batches]
    return {
        "kind": side.kind,
        "cells": int(cells.size),
        "volume": float(volumes.sum(dtype=np.float64)) * grid.cell_volume,
        "centre": vector(centre_of(cells, grid)),
        "bounds": (vector(middles.min(axis=0) - half), vector(middles.max(axis=0) + half)),
        "mean_speed": mean(speeds, volumes),
        "extreme_speed": float(speeds[worst]),
        "extreme_at": vector(middles[worst]),
        "persistence": float(np.mean(held)) if held else nan,
    }


def words_of(cells: np.ndarray, side: Side, around: Surroundings, grid: Grid, field: Field) -> dict[str, object]:
    """Where the zone of these cells is, why, and what may help."""
    middles = middles_of(cells, grid)
    worst = middles[int(side.extreme(field.speed.take(cells)))]
    cause = side.cause(few(middles, LOOKED_AT), worst, cells.size / np.count_nonzero(grid.clear), around, grid)
    return {
        "place": side.place(middles, centre_of(cells, grid), worst, around),
        "cause": cause.words,
        "remedy": cause.remedy,
        "moving_may_help": cause.moving_may_help,
    }


def middles_of(cells: np.ndarray, grid: Grid) -> np.ndarray:
    """Middles of cells (n, 3) [m]."""
    return (np.stack(np.unravel_index(cells, grid.shape), axis=-1) + 0.5) * grid.spacing


def centre_of(cells: np.ndarray, grid: Grid) -> np.ndarray:
    """Centre of the water of cells (3,) [m]."""
    weights = grid.open_volume.take(cells).astype(np.float64)
    return weights @ middles_of(cells, grid) / weights.sum()


def vector(row: np.ndarray) -> Vector:
    """Three floats."""
    x, y, z = (float(value) for value in row)
    return x, y, z
