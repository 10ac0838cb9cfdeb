"""The whole chain on one page: from a scene to everything flowviz computes about it."""

from dataclasses import dataclass
from typing import Literal

from flowviz.assess.measures import Measures, measure
from flowviz.assess.renewal import Renewal, measure_renewal
from flowviz.flow.field import Field
from flowviz.flow.solve import solve_flow
from flowviz.flow.state import FORGETFUL, Keeper
from flowviz.formulas.water import kinematic_viscosity
from flowviz.grid.grid import Grid
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import Loop, solve_loop
from flowviz.progress import Listener, Stage, silent
from flowviz.scene.model import Caution, Scene

Detail = Literal["sketch", "coarse", "fine"]


@dataclass(frozen=True, slots=True)
class Settings:
    """How a scene is computed; nothing here belongs to the tank."""

    detail: Detail = "sketch"
    cell: float | None = None  # edge of a cell [m]; None: chosen from the tank
    seed: int = 0  # of the random disturbance at the outlets: another one gives the same tank at another time


@dataclass(frozen=True, slots=True, eq=False)
class Study:
    """A scene and everything flowviz computed about it."""

    scene: Scene
    settings: Settings
    loop: Loop
    grid: Grid
    field: Field
    measures: Measures
    renewal: Renewal | None = None  # ages and short circuits; None: a sketch, which is to be quick

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """From every floor, in the order of the chain."""
        aged = self.renewal.cautions if self.renewal else ()
        return (*self.scene.cautions, *self.loop.cautions, *self.measures.cautions, *aged)


def run(
    scene: Scene, settings: Settings = Settings(), progress: Listener = silent, keeper: Keeper = FORGETFUL
) -> Study:
    """Compute everything about a scene; the keeper keeps a fine run's state, and has what an earlier one left.

    Raises InputError where the scene cannot be computed as it stands and ConvergenceError where the flow was not found.
    """
    loop = solve_loop(scene)
    progress(Stage("dividing the tank into cells"))
    grid = voxelise(scene, settings.cell)
    viscosity = kinematic_viscosity(scene.water.temperature, scene.water.salinity)
    limits = (scene.limits.dead, scene.limits.over)
    field = solve_flow(
        grid,
        loop.rates,
        viscosity,
        settings.detail,
        watch=limits,
        progress=progress,
        keeper=keeper,
        seed=settings.seed,
    )
    progress(Stage("measuring"))
    return assessed(scene, settings, loop, grid, field)


def assessed(scene: Scene, settings: Settings, loop: Loop, grid: Grid, field: Field) -> Study:
    """What a computed flow says about its scene; raises ConvergenceError where the age of the water was not found."""
    renewal = None if settings.detail == "sketch" else measure_renewal(scene, grid, field, loop.rates)
    return Study(scene, settings, loop, grid, field, measure(scene, grid, field), renewal)
