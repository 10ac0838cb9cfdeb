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
from flowviz.flow.transport import Balances, Exchange, eddy_diffusivity, exchange_by
from flowviz.formulas.mixing import faded_when_mixed, straight_share
from flowviz.grid.grid import Grid, Patch, Vector
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


def measure_renewal(scene: Scene, grid: Grid, field: Field, rates: Mapping[str, float]) -> Renewal:
    """How the loop renews the water.

    rates   into the tank, by opening [m³/s]: positive at outlets, negative at intakes

    Raises ConvergenceError where the steady state was not found.
    """
    carried, flow = exchange_by(grid, balanced(grid, field, rates), eddy_diffusivity(grid, field)), passing(rates)
    age = Balances(carried, grid.source(entering(rates))).steady(volumes(grid)).astype(np.float32)
    carried.turn_round()
    straight = straight_shares(grid, rates, carried)
    mean, nominal = average(age, grid.open_volume), grid.water_volume / flow
    intake_ages = {patch.name: over_opening(age, patch) for patch in grid.patches if rates[patch.name] < 0}
    oldest = np.unravel_index(int(age.argmax()), grid.shape)
    at = (np.array(oldest) + 0.5) * grid.spacing
    return Renewal(
        nominal_age=nominal,
        mean_age=mean,
        efficiency=nominal / (2 * mean),
        old_fraction=average(age > OLD * nominal, grid.open_volume),
        oldest_age=float(age[oldest]),
        oldest_at=tuple(float(x) for x in at),
        oldest_place=place_in_words(at[None], at, surroundings(scene)),
        exhaust_error=sum(-rates[name] * each for name, each in intake_ages.items()) / flow / nominal - 1,
        intake_ages=intake_ages,
        coral_ages={coral.name: over_cells(age, cells_of(coral, grid), grid) for coral in scene.corals},
        straight_shares=straight,
        age=age,
        cautions=tuple(short_circuits(straight)),
    )


def balanced(grid: Grid, field: Field, rates: Mapping[str, float]) -> Field:
    """The same field with what its cells lack to balance taken out: it would be aged as water from nowhere."""
    u, v, w = field.u.copy(), field.v.copy(), field.w.copy()
    Projection(grid).project(u, v, w, grid.source(rates), BALANCE)
    return replace(field, u=u, v=v, w=w)


def entering(rates: Mapping[str, float]) -> Mapping[str, float]:
    """What outlets bring, and nothing of intakes [m³/s]."""
    return {name: max(rate, 0.0) for name, rate in rates.items()}


def leaving(rates: Mapping[str, float]) -> Mapping[str, float]:
    """What intakes draw, and nothing of outlets [m³/s]."""
    return {name: max(-rate, 0.0) for name, rate in rates.items()}


def passing(rates: Mapping[str, float]) -> float:
    """What goes through the tank [m³/s]."""
    return sum(entering(rates).values())


def volumes(grid: Grid) -> np.ndarray:
    """Of the water in each cell (nx, ny, nz) [m³]."""
    return grid.open_volume * np.float32(grid.cell_volume)


def straight_shares(grid: Grid, rates: Mapping[str, float], back: Exchange) -> Mapping[str, Mapping[str, float]]:
    """Share of each outlet's water that goes straight into each intake [-].

    back    what each cell takes from the water on its way back

    A tracer in it fades ten times as fast as the loop renews the water, so that what reaches an intake is what came
    soon; what a well-mixed tank would let pass is taken off (formulas/mixing.py). In a tank that is half dead the other
    half passes its water sooner, and a few per cent of that count as straight. Found for all outlets at once, from the
    intakes back: how much of what is anywhere in the water will reach each.
    """
    flow, drawn = passing(rates), leaving(rates)
    fades = FADING * flow / grid.water_volume * volumes(grid)
    balances = Balances(back, grid.source(drawn) + fades)

    def arriving(intake: str) -> Mapping[str, float]:
        """Share of each outlet's water that reaches an intake before it has faded [-]."""
        made = grid.source({name: rate * (name == intake) for name, rate in drawn.items()}).astype(np.float32)
        coming = balances.steady(made)
        return {patch.name: over_opening(coming, patch) for patch in grid.patches if rates[patch.name] > 0}

    shares = {name: rate / flow for name, rate in drawn.items() if rate > 0}
    arrives = {intake: arriving(intake) for intake in shares}
    whole = sum(rates[outlet] / flow * part for parts in arrives.values() for outlet, part in parts.items())
    mixed = faded_when_mixed(FADING, straight_share(FADING, whole))
    outlets = [name for name, rate in rates.items() if rate > 0]
    by_outlet = {outlet: {intake: parts[outlet] for intake, parts in arrives.items()} for outlet in outlets}
    return {outlet: without_mixing(parts, shares, mixed) for outlet, parts in by_outlet.items()}


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
    return float((values * weights).sum(dtype=np.float64) / weights.sum(dtype=np.float64))


def over_cells(values: np.ndarray, cells: np.ndarray, grid: Grid) -> float:
    """Mean over the water of cells, given by their positions in the flattened grid; NaN without any."""
    return average(values.take(cells), grid.open_volume.take(cells)) if cells.size else nan


def over_opening(values: np.ndarray, patch: Patch) -> float:
    """Mean over the water that passes an opening."""
    return float(patch.share @ values[tuple(patch.cells.T)])
