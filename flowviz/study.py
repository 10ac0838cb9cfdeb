"""The whole chain on one page: from a scene to everything flowviz computes about it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from numbers import Integral, Real
from typing import Literal, get_args

from flowviz.assess.cycle import Cycle, measure_cycle
from flowviz.assess.measures import Measures, measure
from flowviz.assess.renewal import Renewal, measure_renewal
from flowviz.cycle import Flow, Moment, loop_cautions, running, solve_cycle, solved
from flowviz.errors import InputError, seen
from flowviz.flow.field import Field
from flowviz.flow.solve import solve_flow
from flowviz.flow.state import FORGETFUL, Keeper
from flowviz.formulas.water import kinematic_viscosity
from flowviz.grid.grid import Grid
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.loop import Loop
from flowviz.plumbing.solve import solve_loop
from flowviz.progress import Listener, Stage, silent
from flowviz.scene.model import Caution, Phase, Scene
from flowviz.units import percent

Detail = Literal["sketch", "coarse", "fine"]


@dataclass(frozen=True, slots=True)
class Settings:
    """How a scene is computed; nothing here belongs to the tank."""

    detail: Detail = "sketch"
    cell: float | None = None  # edge of a cell [m]; None: chosen from the tank
    seed: int = 0  # of the random disturbance at the outlets: another one gives the same tank at another time
    marches: int = 1  # independent ones whose mean is taken: their scatter tells what short averages cannot

    def __post_init__(self) -> None:
        """Raises InputError where nothing can be computed so; numbers of numpy become plain, to be told and stored."""
        if self.detail not in get_args(Detail):
            raise InputError("detail", f"{seen(self.detail)} is no level", f"Write {', '.join(get_args(Detail))}")
        if self.cell is not None:
            if not isinstance(self.cell, Real):
                raise InputError("cell", f"{seen(self.cell)} is no number of metres", "Write 0.02, or leave it out")
            object.__setattr__(self, "cell", float(self.cell))
        for name, least in (("seed", 0), ("marches", 1)):
            number = getattr(self, name)
            if not isinstance(number, Integral) or number < least:
                raise InputError(name, f"{seen(number)} will not do", f"Write a whole number from {least} on")
            object.__setattr__(self, name, int(number))


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Study:
    """A scene and everything flowviz computed about it."""

    scene: Scene
    settings: Settings
    loop: Loop
    grid: Grid
    field: Field
    measures: Measures
    renewal: Renewal | None = None  # ages and short circuits; None: a sketch, which is to be quick
    moments: tuple[Moment, ...] = ()  # the scene's phases; loop, field, measures and renewal are the main one's
    cycle: Cycle | None = None  # what the phases come to together; None: the scene has none

    def __repr__(self) -> str:
        dead, over = (percent(each) for each in (self.measures.dead_fraction, self.measures.over_fraction))
        return f"<Study of {self.scene.title!r}, {self.settings.detail}: {dead} dead, {over} too strong>"

    @property
    def main_phase(self) -> Phase | None:
        """The phase that loop, field, measures and renewal are of; None: the scene has none."""
        return next((moment.phase for moment in self.moments if moment.field is self.field), None)

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """From every floor, in the order of the chain."""
        aged = self.renewal.cautions if self.renewal else ()
        cycled = self.cycle.cautions if self.cycle else ()
        looped = loop_cautions(self.scene, self.moments) if self.moments else self.loop.cautions
        return (*self.scene.cautions, *looped, *self.measures.cautions, *aged, *cycled)


def run(
    scene: Scene, settings: Settings = Settings(), progress: Listener = silent, keeper: Keeper = FORGETFUL
) -> Study:
    """Compute everything about a scene; the keeper keeps a fine run's state, and has what an earlier one left.

    Raises InputError where the scene cannot be computed as it stands and ConvergenceError where the flow was not found.
    """
    loop = None if scene.phases else solve_loop(scene)
    progress(Stage("dividing the tank into cells"))
    grid = voxelise(scene, settings.cell)
    flow = flow_on(grid, scene, settings, progress, keeper)
    if loop is None:
        moments = solve_cycle(scene, flow)
        progress(Stage("measuring"))
        return assessed_cycle(scene, settings, grid, moments)
    field = flow(0, loop.rates)
    progress(Stage("measuring"))
    return assessed(scene, settings, loop, grid, field)


def flow_on(grid: Grid, scene: Scene, settings: Settings, progress: Listener, keeper: Keeper) -> Flow:
    """How flows are solved; only of the first is the state kept."""
    viscosity = kinematic_viscosity(scene.water.temperature, scene.water.salinity)
    watch, marches = (scene.limits.dead, scene.limits.over), settings.marches
    asked = {"watch": watch, "progress": progress, "seed": settings.seed, "marches": marches}

    def flow(number: int, rates: Mapping[str, float]) -> Field:
        keeps = FORGETFUL if number else keeper
        return solve_flow(running(grid, rates), rates, viscosity, settings.detail, **asked, keeper=keeps)

    return flow


def assessed(scene: Scene, settings: Settings, loop: Loop, grid: Grid, field: Field) -> Study:
    """What a computed flow says about its scene; raises ConvergenceError where the age of the water was not found.

    An opening that passes nothing drives no water, and is blamed for nothing that the water does.
    """
    rates = loop.rates
    grid = running(grid, rates)
    renewal = None if settings.detail == "sketch" else measure_renewal(scene, grid, field, rates)
    return Study(scene, settings, loop, grid, field, measure(in_use(scene, rates), grid, field), renewal)


def assessed_cycle(scene: Scene, settings: Settings, grid: Grid, moments: tuple[Moment, ...]) -> Study:
    """What a computed cycle says about its scene: all of the main phase, and what the phases come to together."""
    main = solved(moments)[0]
    study = assessed(scene, settings, main.loop, grid, main.field)
    fields, rates = [moment.field for moment in moments], [moment.loop.rates for moment in moments]
    cycle = measure_cycle(scene, grid, fields, rates)
    return replace(study, moments=moments, cycle=cycle)


def phase_alone(study: Study, moment: Moment) -> Study:
    """One phase of a study as a study of its own, as if it went on for ever; the age of its water is left out."""
    rates = moment.loop.rates
    scene = replace(in_use(study.scene, rates), phases=())
    grid = running(voxelise(study.scene, study.settings.cell), rates)
    return Study(scene, study.settings, moment.loop, grid, moment.field, measure(scene, grid, moment.field))


def in_use(scene: Scene, rates: Mapping[str, float]) -> Scene:
    """A scene without the openings that pass nothing."""
    outlets, intakes = (tuple(each for each in found if rates[each.name]) for found in (scene.outlets, scene.intakes))
    return replace(scene, outlets=outlets, intakes=intakes)
