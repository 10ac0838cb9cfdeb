"""What the current does to the bed: where detritus settles, where it is kept moving, where sand is blown out.

By the log law from the time-mean speed in the lowest cells, with the roughness of the scene's grain, or smooth on a
bare floor. It is told at 5 cm above the bed, where it can be measured too, and does not hang on the size of the cells.
Good to 20 to 30 % of the speed: eddies, which are left out, stir at a lower mean, and rock close by bends the profile.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import nan, sqrt
from typing import Literal

import numpy as np

from flowviz.assess.kernels import over_glass, over_sand
from flowviz.assess.speeds import share_over, share_under
from flowviz.flow.field import Field
from flowviz.flow.intervals import half_widths
from flowviz.flow.memory import likeness
from flowviz.formulas.sediment import ARAGONITE, QUARTZ, rough_speed, threshold_stress
from flowviz.formulas.water import density, kinematic_viscosity
from flowviz.grid.grid import Grid, Kind
from flowviz.scene.model import Scene

REFERENCE = 0.05  # height above the bed at which speeds near it are told [m]
DENSITIES = {"aragonite": ARAGONITE, "quartz": QUARTZ}  # of grains [kg/m³]
SHARES = ("settling_fraction", "moving_fraction", "blown_fraction")
FIGURES = (*SHARES, "mean_speed", "mean_stress")  # that have intervals


@dataclass(frozen=True, slots=True)
class Threshold:
    """When grains of sand begin to move."""

    stress: float  # on the bed [Pa]
    speed: float  # at 5 cm above it [m/s]


@dataclass(frozen=True, slots=True)
class BedFigures:
    """The current over the bed; every cell of it counts alike. Without one all figures are NaN."""

    material: Literal["sand", "glass"]  # glass: a bare floor
    cells: int
    area: float  # [m²]
    mean_speed: float  # over the bed, at 5 cm above it [m/s]
    max_speed: float  # [m/s]
    mean_stress: float  # [Pa]
    max_stress: float  # [Pa]
    settling_fraction: float  # share of the bed where detritus settles, by the scene's limit
    moving_fraction: float  # share of it where detritus is kept moving, by the scene's limit
    blown_fraction: float  # share of it where grains of the scene's sand begin to move (Soulsby 1997); NaN: no sand
    threshold_stress: float  # at which they do [Pa]
    threshold_speed: float  # at 5 cm above the bed [m/s]
    uncertainty: Mapping[str, float]  # half-widths of the 95 % intervals of shares and means; NaN: unknown


def bed_figures(scene: Scene, grid: Grid, field: Field) -> BedFigures:
    """The current over the bed and what it does there."""
    cells, heights = bed_cells(scene, grid)
    begins = threshold(scene)

    def figures(speeds: np.ndarray) -> dict[str, float]:
        near, stress = near_bed(scene, speeds, heights)
        shares = bed_shares(near, stress, scene, begins.stress)
        return {**shares, "mean_speed": float(near.mean()), "mean_stress": float(stress.mean())}

    material, area = "sand" if scene.sand else "glass", cells.size * grid.cell_volume / grid.spacing[2]
    if cells.size == 0:
        return BedFigures(material, 0, 0.0, *(nan,) * 7, begins.stress, begins.speed, dict.fromkeys(FIGURES, nan))
    speed, stress = near_bed(scene, field.speed.take(cells), heights)
    return BedFigures(
        material=material,
        cells=int(cells.size),
        area=area,
        mean_speed=float(speed.mean()),
        max_speed=float(speed.max()),
        mean_stress=float(stress.mean()),
        max_stress=float(stress.max()),
        **bed_shares(speed, stress, scene, begins.stress),
        threshold_stress=begins.stress,
        threshold_speed=begins.speed,
        uncertainty=half_widths(figures, field.speed, field.batches, cells, likeness(grid, field)),
    )


def bed_cells(scene: Scene, grid: Grid) -> tuple[np.ndarray, np.ndarray]:
    """The lowest water cells over sand or floor: positions in the flattened grid, and how far above the bed they are.

    The second is that of the middle of their water (n,) [m].
    """
    above = np.zeros(grid.shape, bool)
    above[:, :, 0] = True
    above[:, :, 1:] = grid.kind[:, :, :-1] == Kind.SAND
    cells = np.flatnonzero(above & grid.clear)
    layers = cells % grid.shape[2]
    bed = scene.sand.depth if scene.sand else 0.0
    return cells, ((layers + 1) * grid.spacing[2] - bed) / 2


def near_bed(scene: Scene, speeds: np.ndarray, heights: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Speed at 5 cm above the bed [m/s] and stress on it [Pa], of speeds (n,) at heights (n,)."""
    speeds, water = speeds.astype(np.float64), scene.water
    friction, there = np.empty(speeds.size), np.empty(speeds.size)
    if scene.sand:
        over_sand(speeds, heights, REFERENCE, scene.sand.grain, friction, there)
    else:
        viscosity = kinematic_viscosity(water.temperature, water.salinity)
        over_glass(speeds, heights, REFERENCE, viscosity, friction, there)
    return there, density(water.temperature, water.salinity) * friction**2


def bed_shares(speed: np.ndarray, stress: np.ndarray, scene: Scene, begins: float) -> dict[str, float]:
    """Shares of the bed: where detritus settles, where it is kept moving, and where sand moves from a stress on."""
    limits = scene.limits
    shares = share_under(speed, limits.settle), share_over(speed, limits.stir)
    return dict(zip(SHARES, (*shares, share_over(stress, begins) if scene.sand else nan), strict=True))


def threshold(scene: Scene) -> Threshold:
    """When grains of the scene's sand begin to move; NaN without sand."""
    if scene.sand is None:
        return Threshold(nan, nan)
    temperature, salinity = scene.water.temperature, scene.water.salinity
    water, viscosity = density(temperature, salinity), kinematic_viscosity(temperature, salinity)
    stress = threshold_stress(scene.sand.grain, DENSITIES[scene.sand.mineral], water, viscosity)
    return Threshold(stress, rough_speed(sqrt(stress / water), REFERENCE, scene.sand.grain))
