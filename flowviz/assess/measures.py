"""From a field to numbers: how the water moves, where it is dead or too strong, and what the corals get."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass

import numpy as np

from flowviz.assess.bed import BedFigures, bed_figures
from flowviz.assess.causes import Cause
from flowviz.assess.cautions import corals_without_water, cut_off_water, doubtful_shares, points_without_water
from flowviz.assess.corals import CoralFigures, coral_figures
from flowviz.assess.measured import Agreement, agreement
from flowviz.assess.needs import Step, first_steps, needs, unknowable
from flowviz.assess.places import surroundings
from flowviz.assess.reach import suction_reaches
from flowviz.assess.rubble import RubbleFigures, rubble_figures
from flowviz.assess.speeds import SpeedStatistics, share_over, share_under, speed_statistics
from flowviz.assess.surfaces import RockFigures, SurfaceFigures, rock_figures, surface_figures
from flowviz.assess.turnover import circulation, turnover
from flowviz.assess.words import may_be_none
from flowviz.assess.zones import Zone, at_odds, fewest_cells, find_zones, put_off
from flowviz.flow.field import Field
from flowviz.flow.intervals import half_widths
from flowviz.flow.memory import likeness
from flowviz.grid.grid import Grid
from flowviz.scene.model import Caution, Limits, Scene


@dataclass(frozen=True, slots=True, eq=False)
class Measures:
    """What the numbers say about a tank; dead and too strong by the time-mean speed, shares by volume.

    All but the water among the stones of rubble, which is meant to be slow and has figures of its own.
    """

    water_volume: float  # [m³]
    turnover: float  # of the tank's water by the loop [1/h]
    circulation: float  # of the tank's water by the currents that the loop drives [1/h]
    speed: SpeedStatistics
    dead_fraction: float  # share of the water that is slower than the scene's limit
    over_fraction: float  # share of the water that is faster than the scene's limit
    uncertainty: Mapping[str, float]  # half-widths of the 95 % intervals of the shares and the speeds; NaN: unknown
    zones: tuple[Zone, ...]  # dead, then too strong, the ones that matter first; zone n is zones[n - 1]
    smallest_zone: float  # volume that a pocket must have to be one [m³]
    labels: np.ndarray  # (nx, ny, nz) int32, the zone a cell belongs to; 0: none
    corals: Mapping[str, CoralFigures]
    needs: Mapping[str, Cause]  # why groups have not the current they want, and what may help; the worst off first
    bed: BedFigures
    rock: RockFigures
    rubble: RubbleFigures | None  # None: there is none
    surface: SurfaceFigures
    reaches: Mapping[str, Mapping[str, float]]  # of the suction, by intake and animal [m]
    agreement: Agreement | None  # with what was measured; None: nothing was
    cautions: tuple[Caution, ...]

    @property
    def within_limits(self) -> bool:
        """Whether no pocket is dead or too strong and every group of corals has what it wants."""
        return not self.zones and all(figures.verdict == "good" for figures in self.corals.values())

    @property
    def first_steps(self) -> tuple[Step, ...]:
        """What is worth trying first, for the corals and against a pocket."""
        return first_steps(self.corals, self.needs, self.zones)

    @property
    def unknown_corals(self) -> tuple[str, ...]:
        """Groups of corals of which nothing can be said after so short a look."""
        return tuple(name for name in self.needs if unknowable(self.corals[name]))


def measure(scene: Scene, grid: Grid, field: Field) -> Measures:
    """Everything the numbers say about a computed tank."""
    cells = np.flatnonzero(grid.clear)
    speeds, volumes = field.speed.take(cells).astype(np.float64), grid.open_volume.take(cells)
    shares = beyond_limits(speeds, volumes, scene.limits)
    widths = doubts(scene.limits, grid, field)
    around = surroundings(scene)
    found, labels = find_zones(around, grid, field)
    zones = at_odds(found, scene.outlets)
    compared = agreement(scene.measured, grid, field) if scene.measured else None
    corals = {coral.name: coral_figures(coral, grid, field) for coral in scene.corals}
    return Measures(
        water_volume=grid.water_volume,
        turnover=turnover(grid, field),
        circulation=circulation(grid, field),
        speed=speed_statistics(speeds, volumes),
        **shares,
        uncertainty=widths,
        zones=put_off(zones) if may_be_none(shares["dead_fraction"], widths["dead_fraction"]) else zones,
        smallest_zone=fewest_cells(grid) * grid.cell_volume,
        labels=labels,
        corals=corals,
        needs=needs(corals, zones, around, grid, field),
        bed=bed_figures(scene, grid, field),
        rock=rock_figures(scene.limits.dead, grid, field),
        rubble=rubble_figures(grid, field),
        surface=surface_figures(scene.limits.dead, grid, field),
        reaches=suction_reaches(scene, grid, field),
        agreement=compared,
        cautions=(
            *cut_off_water(grid, around),
            *corals_without_water(corals),
            *points_without_water(compared),
            *doubtful_shares(shares, widths, len(field.batches)),
        ),
    )


def doubts(limits: Limits, grid: Grid, field: Field) -> Mapping[str, float]:
    """Half-widths of the 95 % intervals of all numbers of the water as a whole, by name."""
    flow, cells, fast = (field.speed, field.batches), np.flatnonzero(grid.clear), likeness(grid, field, limits.over)
    volumes = grid.open_volume.take(cells)
    return {
        **half_widths(lambda speeds: figures(speeds, volumes, limits), *flow, cells, likeness(grid, field)),
        **half_widths(lambda speeds: {"over_fraction": share_over(speeds, limits.over, volumes)}, *flow, cells, fast),
    }


def figures(speeds: np.ndarray, volumes: np.ndarray, limits: Limits) -> dict[str, float]:
    """All numbers of the water in cells (n,), by name."""
    return {**beyond_limits(speeds, volumes, limits), **asdict(speed_statistics(speeds, volumes))}


def beyond_limits(speeds: np.ndarray, volumes: np.ndarray, limits: Limits) -> dict[str, float]:
    """Dead and too-strong share of the water in cells (n,)."""
    return {
        "dead_fraction": share_under(speeds, limits.dead, volumes),
        "over_fraction": share_over(speeds, limits.over, volumes),
    }
