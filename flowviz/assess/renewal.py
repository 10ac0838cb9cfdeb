"""How old the water is, how well the loop renews it, and what goes straight from an outlet into an intake.

By steady transport on the mean flow with the mixing of its eddies (flow/transport.py). Water is new where it leaves an
outlet: its age is the time since it last passed the loop. The eddies' mixing is known to a factor of two, and the
scheme's own adds to it; the mean age is surer than the age of one place.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import nan

import numpy as np

from flowviz.assess.corals import cells_of
from flowviz.assess.places import place_in_words, surroundings
from flowviz.assess.words import named
from flowviz.flow.field import Field
from flowviz.flow.pressure.projection import Projection
from flowviz.flow.transport import against_the_flow, eddy_diffusivity, steady, with_the_flow
from flowviz.formulas.mixing import faded_when_mixed, straight_share
from flowviz.grid.grid import Grid, Vector
from flowviz.scene.model import Caution, Scene
from flowviz.units import percent

OLD = 2.0  # times the nominal age: water that is older is hardly renewed (O. Levenspiel, from memory)
FADING = 10.0  # how much faster than the loop renews the water the tracer fades that tells what goes straight
BALANCE = 1e-5  # of the largest flow through a face, to which every cell's balance is made up
TOLD = 0.1  # straight share that is told (common practice, no source)


@dataclass(frozen=True, slots=True, eq=False)
class Renewal:
    """How the loop renews the water; ages are weighted by volume."""

    nominal_age: float  # volume over flow [s]: the age of all water that leaves, whatever the flow
    mean_age: float  # of the water in the tank [s]
    efficiency: float  # nominal age over twice the mean age [-]: 1 for a piston, 0.5 well mixed, less with dead water
    old_fraction: float  # share of the water older than twice the nominal age
    oldest_age: float  # [s]
    oldest_at: Vector  # [m]
    oldest_place: str  # in words
    exhaust_error: float  # of the nominal age, by what leaves the intakes: a check of the solution [-]
    intake_ages: Mapping[str, float]  # age of the water that goes into each [s]
    coral_ages: Mapping[str, float]  # mean age of the water over each group; NaN without water [s]
    straight_shares: Mapping[str, Mapping[str, float]]  # of each outlet's water, by the intake that it goes straight to
    age: np.ndarray  # (nx, ny, nz) float32 [s]; 0 outside the water
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Passage:
    """The water of a tank, and what comes into it and leaves it."""

    volume: np.ndarray  # of the water in each cell (nx, ny, nz) [m³]
    enters: np.ndarray  # into each cell (nx, ny, nz) [m³/s]
    leaves: Mapping[str, np.ndarray]  # from each cell, by the opening that draws it [m³/s]
    flow: float  # of all together [m³/s]

    @property
    def nominal_age(self) -> float:
        """Volume over flow [s]."""
        return float(self.volume.sum()) / self.flow


def measure_renewal(scene: Scene, grid: Grid, field: Field, rates: Mapping[str, float]) -> Renewal:
    """How the loop renews the water.

    rates   into the tank, by opening [m³/s]: positive at outlets, negative at intakes

    Raises ConvergenceError where the steady state was not found.
    """
    field, passage, spread = balanced(grid, field, rates), passage_of(grid, rates), eddy_diffusivity(grid, field)
    exchange, nothing = with_the_flow(grid, field, spread), np.zeros(grid.shape)
    age = steady(exchange, passage.enters, nothing, passage.volume, passage.nominal_age)
    straight = straight_shares(grid, field, rates, passage, spread)
    mean, nominal = average(age, passage.volume), passage.nominal_age
    exhaust = sum(float((leaves * age).sum()) for leaves in passage.leaves.values()) / passage.flow
    oldest = np.unravel_index(int(age.argmax()), grid.shape)
    at = (np.array(oldest) + 0.5) * grid.spacing
    return Renewal(
        nominal_age=nominal,
        mean_age=mean,
        efficiency=nominal / (2 * mean),
        old_fraction=average(age > OLD * nominal, passage.volume),
        oldest_age=float(age[oldest]),
        oldest_at=tuple(float(x) for x in at),
        oldest_place=place_in_words(at[None], at, surroundings(scene)),
        exhaust_error=exhaust / nominal - 1,
        intake_ages={name: average(age, leaves) for name, leaves in passage.leaves.items()},
        coral_ages={coral.name: average_over(age, cells_of(coral, grid)) for coral in scene.corals},
        straight_shares=straight,
        age=age.astype(np.float32),
        cautions=tuple(short_circuits(straight)),
    )


def balanced(grid: Grid, field: Field, rates: Mapping[str, float]) -> Field:
    """The same field with what its cells lack to balance taken out: it would be aged as water from nowhere."""
    u, v, w = field.u.copy(), field.v.copy(), field.w.copy()
    Projection(grid).project(u, v, w, grid.source(rates), BALANCE)
    return replace(field, u=u, v=v, w=w)


def passage_of(grid: Grid, rates: Mapping[str, float]) -> Passage:
    """What comes into the water of a grid and leaves it."""
    none = dict.fromkeys(rates, 0.0)
    return Passage(
        volume=grid.open_volume.astype(np.float64) * grid.cell_volume,
        enters=grid.source({name: max(rate, 0.0) for name, rate in rates.items()}),
        leaves={name: grid.source(none | {name: -rate}) for name, rate in rates.items() if rate < 0},
        flow=sum(max(rate, 0.0) for rate in rates.values()),
    )


def straight_shares(
    grid: Grid, field: Field, rates: Mapping[str, float], passage: Passage, spread: np.ndarray
) -> Mapping[str, Mapping[str, float]]:
    """Share of each outlet's water that goes straight into each intake [-].

    A tracer in it fades ten times as fast as the loop renews the water, so that what reaches an intake is what came
    soon; what a well-mixed tank would let pass is taken off (formulas/mixing.py). In a tank that is half dead the other
    half passes its water sooner, and a few per cent of that count as straight. Found for all outlets at once, from the
    intakes back: how much of what is anywhere in the water will reach each.
    """
    back, lost = against_the_flow(grid, field, spread), sum(passage.leaves.values())
    fades = FADING / passage.nominal_age * passage.volume
    shares = {name: float(leaves.sum()) / passage.flow for name, leaves in passage.leaves.items()}
    coming = {
        name: steady(back, lost, fades, leaves, shares[name] * faded_when_mixed(FADING, 0.0))
        for name, leaves in passage.leaves.items()
    }
    arrives = {
        patch.name: {name: float(patch.share @ c[tuple(patch.cells.T)]) for name, c in coming.items()}
        for patch in grid.patches
        if rates[patch.name] > 0
    }
    whole = sum(rates[outlet] / passage.flow * sum(parts.values()) for outlet, parts in arrives.items())
    mixed = faded_when_mixed(FADING, straight_share(FADING, whole))
    return {outlet: without_mixing(parts, shares, mixed) for outlet, parts in arrives.items()}


def without_mixing(arrives: Mapping[str, float], shares: Mapping[str, float], mixed: float) -> Mapping[str, float]:
    """What of an outlet's water goes straight into each intake, of what arrives there before it has faded.

    shares  of the flow, by intake [-]
    mixed   what would arrive of water that is mixed with the tank's [-]
    """
    straight = max((sum(arrives.values()) - mixed) / (1 - mixed), 0.0)
    beyond = {name: max(part - (1 - straight) * mixed * shares[name], 0.0) for name, part in arrives.items()}
    whole = sum(beyond.values())
    return {name: straight * part / whole if whole else 0.0 for name, part in beyond.items()}


def short_circuits(straight: Mapping[str, Mapping[str, float]]) -> Iterator[Caution]:
    """Outlets whose water goes straight into intakes."""
    for outlet, parts in straight.items():
        intake, whole = max(parts, key=parts.__getitem__), sum(parts.values())
        if whole >= TOLD:
            what = f"{percent(whole)} of its water goes straight into an intake, most of it into {named(intake)}"
            yield Caution(f"outlet {outlet}", what, "It renews and moves little; turn it or move one of them away")


def average(values: np.ndarray, weights: np.ndarray) -> float:
    """Weighted mean."""
    return float((values * weights).sum() / weights.sum())


def average_over(values: np.ndarray, cells: np.ndarray) -> float:
    """Mean over cells, given by their positions in the flattened grid; NaN without any."""
    return float(values.take(cells).mean()) if cells.size else nan
