"""What the current does to the bed: where detritus settles, where it is kept moving, where sand is blown out.

By the time-mean speed 5 cm above the bed, where it can be measured too: read between the cells there, so that it hangs
neither on where the top of the sand cuts a cell nor on a law. The stress is that of the log law through it, with the
roughness of the scene's grain, or smooth on a bare floor; cells larger than 5 cm are read one cell above the bed, and
the law leads down. Good to 20 to 30 % of the speed: eddies, which are left out, stir at a lower mean, rock close by
bends the profile, and a jet along the bed is fastest below 5 cm.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import floor, nan, sqrt
from typing import Literal

import numpy as np

from flowviz.assess.kernels import over_glass, over_sand
from flowviz.assess.speeds import share_over, share_under
from flowviz.flow.field import Field
from flowviz.flow.intervals import Statistics, half_widths
from flowviz.flow.memory import likeness
from flowviz.formulas.sediment import ARAGONITE, QUARTZ, rough_speed, threshold_stress
from flowviz.formulas.water import density, kinematic_viscosity
from flowviz.grid.grid import Grid, Kind
from flowviz.scene.model import Scene

REFERENCE = 0.05  # height above the bed at which speeds near it are told [m]
DENSITIES = {"aragonite": ARAGONITE, "quartz": QUARTZ}  # of grains [kg/m³]
SHARES = ("settling_fraction", "moving_fraction", "blown_fraction")
FIGURES = (*SHARES, "mean_speed", "mean_stress")  # that have intervals

Reading = Callable[[np.ndarray], tuple[np.ndarray, np.ndarray]]


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
    cells, begins = bed_cells(grid), threshold(scene)
    material, area = "sand" if scene.sand else "glass", cells.size * grid.cell_volume / grid.spacing[2]
    if cells.size == 0:
        return BedFigures(material, 0, 0.0, *(nan,) * 7, begins.stress, begins.speed, dict.fromkeys(FIGURES, nan))
    places, read = reading(scene, grid, cells)
    speed, stress = read(field.speed.take(places))

    def figures(speeds: np.ndarray) -> dict[str, float]:
        near, stress = read(speeds)
        shares = bed_shares(near, stress, scene, begins.stress)
        return {**shares, "mean_speed": float(near.mean()), "mean_stress": float(stress.mean())}

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
        uncertainty=half_widths(figures, field.speed, field.batches, places, likeness(grid, field)),
    )


def bed_cells(grid: Grid) -> np.ndarray:
    """Positions (n,) in the flattened grid of the lowest water cells over sand or floor."""
    above = np.zeros(grid.shape, bool)
    above[:, :, 0] = True
    above[:, :, 1:] = grid.kind[:, :, :-1] == Kind.SAND
    return np.flatnonzero(above & grid.clear)


def shares_of(scene: Scene, grid: Grid) -> tuple[np.ndarray, Statistics]:
    """Where to read speeds, positions (n,) in the flattened grid, and what shares of the bed these come to."""
    places, read = reading(scene, grid, bed_cells(grid))
    begins = threshold(scene).stress
    return places, lambda speeds: bed_shares(*read(speeds), scene, begins)


def reading(scene: Scene, grid: Grid, cells: np.ndarray) -> tuple[np.ndarray, Reading]:
    """Where to read speeds over cells of the bed (n,), positions (2n,) in the flattened grid, and what they mean there:
    the speed at 5 cm above it [m/s] and the stress on it [Pa].
    """
    places, ahead, height = over_bed(scene, grid, cells)
    return places, lambda speeds: near_bed(scene, between(speeds, ahead), height)


def over_bed(scene: Scene, grid: Grid, cells: np.ndarray) -> tuple[np.ndarray, float, float]:
    """Where to read the speed over cells of the bed (n,), and at what height above the bed [m].

    Positions (2n,) in the flattened grid of the cells whose middles are next below and next above that height, and the
    weight of the upper ones. Where rock or the surface ends the water below that, its last cell stands for it.
    """
    height = max(REFERENCE, grid.spacing[2])
    place = ((scene.sand.depth if scene.sand else 0.0) + height) / grid.spacing[2] - 0.5
    low, high = (straight_up(cells, layer, grid) for layer in (floor(place), floor(place) + 1))
    return np.concatenate((low, high)), place - floor(place), height


def straight_up(cells: np.ndarray, layer: int, grid: Grid) -> np.ndarray:
    """Positions (n,) of the last cells over others, up to a layer, that clear water leads to."""
    leads = grid.open_z[:, :, 1:] > 0
    leads[:, :, :-1] &= grid.clear[:, :, 1:]
    leads, there = leads.reshape(-1), cells
    for _ in range(layer):
        there = there + ((there % grid.shape[2] < layer) & leads[there])
    return there


def between(speeds: np.ndarray, ahead: float) -> np.ndarray:
    """Speeds (n,) of lower and upper cells (2n,), the upper with their weight [m/s]."""
    low, high = speeds.reshape(2, -1)
    return low + ahead * (high - low)


def near_bed(scene: Scene, speeds: np.ndarray, height: float) -> tuple[np.ndarray, np.ndarray]:
    """Speed at 5 cm above the bed [m/s] and stress on it [Pa], of speeds (n,) at a height [m]."""
    speeds, water = speeds.astype(np.float64), scene.water
    friction, there = np.empty(speeds.size), np.empty(speeds.size)
    if scene.sand:
        over_sand(speeds, height, REFERENCE, scene.sand.grain, friction, there)
    else:
        viscosity = kinematic_viscosity(water.temperature, water.salinity)
        over_glass(speeds, height, REFERENCE, viscosity, friction, there)
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
