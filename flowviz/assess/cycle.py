"""Measures over a cycle of phases: worst, mean and best, how long a spot is dead, and the strongest moment.

Each phase is taken as if it went on for ever: what the water still does of the phase before is left out. That holds
where a phase is much longer than the currents need to carry the tank's water round once (assess/turnover.py). In the
shipped peninsula, whose currents need 30 s for that, the flow was within its noise 20 s after the outlets of one half
had been shut and those of the other opened.

A phase in which no water moves is a rest that was planned, and no fault of the layout: nothing of it is counted.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot, inf, isfinite, nan

import numpy as np

from flowviz.assess.bed import bed_figures
from flowviz.assess.corals import CoralFigures, coral_figures
from flowviz.assess.measures import doubts, figures
from flowviz.assess.places import surroundings
from flowviz.assess.speeds import mean
from flowviz.assess.turnover import circulation
from flowviz.assess.zones import place_of_strong
from flowviz.flow.field import Field
from flowviz.flow.intervals import half_widths
from flowviz.flow.memory import likeness
from flowviz.grid.grid import Grid, Vector
from flowviz.scene.model import Caution, Phase, Scene
from flowviz.units import shown

LONG = 3.0  # times round that a phase must last to be taken as steady (common practice, no source; see above)
DIGITS = 2  # of a time in a sentence
WATER, BED = ("dead_fraction", "over_fraction"), ("settling_fraction", "moving_fraction", "blown_fraction")
LOW_IS_GOOD = ("dead_fraction", "over_fraction", "settling_fraction", "blown_fraction")  # and told over the cycle


@dataclass(frozen=True, slots=True)
class PhaseFigures:
    """The water in one phase, but for that among the stones of rubble, as in Measures."""

    time: float  # that it lasts [s]
    round_time: float  # in which the currents carry the tank's water past one place; infinite at rest [s]
    mean_speed: float  # over the water [m/s]
    mean_doubt: float  # half-width of its 95 % interval; NaN: unknown [m/s]
    max_speed: float  # [m/s]
    shares: Mapping[str, float]  # of water and bed, as in Measures and BedFigures
    uncertainty: Mapping[str, float]  # half-widths of the 95 % intervals of the shares; NaN: unknown
    corals: Mapping[str, CoralFigures]


@dataclass(frozen=True, slots=True)
class Spread:
    """A share over the cycle."""

    worst: float
    worst_phase: str
    mean: float  # over time
    best: float
    best_phase: str
    uncertainty: float  # half-width of the mean's 95 % interval, as if all phases erred the same way; NaN: unknown


@dataclass(frozen=True, slots=True)
class StrongestMoment:
    """When and where the water is fastest."""

    phase: str
    speed: float  # time mean in that phase [m/s]
    at: Vector  # [m]
    place: str  # in words


@dataclass(frozen=True, slots=True, eq=False)
class Cycle:
    """What the phases come to together; all but time and phases is of those in which water moves."""

    time: float  # of all phases [s]
    moving_time: float  # of those in which water moves [s]
    phases: Mapping[str, PhaseFigures]
    resting: tuple[str, ...]  # names of those in which none moves
    spreads: Mapping[str, Spread]  # of the shares of water and bed that are the better the smaller, by name
    corals: Mapping[str, Spread]  # of the share of each group that is in its band
    always_dead_fraction: float  # share of the water that is dead in every phase
    ever_dead_fraction: float  # share of it that is dead in one phase at least
    uncertainty: Mapping[str, float]  # half-widths of the 95 % intervals of these two; NaN: unknown
    strongest: StrongestMoment
    dead_time: np.ndarray  # (nx, ny, nz) float32, share of the time that a cell is dead; 0 but in clear water
    cautions: tuple[Caution, ...]


def measure_cycle(scene: Scene, grid: Grid, fields: Sequence[Field], rates: Sequence[Mapping[str, float]]) -> Cycle:
    """What the phases of a scene come to together, from the flow in each; rates tell what each outlet gives in it."""
    found = {
        phase.name: phase_figures(phase, scene, grid, field) for phase, field in zip(scene.phases, fields, strict=True)
    }
    flows = {phase.name: field for phase, field in zip(scene.phases, fields, strict=True) if field.speed.any()}
    moving = {name: found[name] for name in flows}
    whole = sum(each.time for each in moving.values())
    lasting = {name: each.time / whole for name, each in moving.items()}
    told = LOW_IS_GOOD if scene.sand else LOW_IS_GOOD[:-1]
    together, unsure = dead_through(list(flows.values()), scene.limits.dead, grid)
    return Cycle(
        time=sum(phase.time for phase in scene.phases),
        moving_time=whole,
        phases=found,
        resting=tuple(name for name in found if name not in moving),
        spreads={name: share_spread(name, moving, lasting) for name in told},
        corals={coral.name: group_spread(coral.name, moving, lasting) for coral in scene.corals},
        **together,
        uncertainty=unsure,
        strongest=strongest_moment(scene, grid, fields, rates),
        dead_time=dead_time(list(flows.values()), list(lasting.values()), scene.limits.dead, grid),
        cautions=tuple(short_phases(scene, found)),
    )


def phase_figures(phase: Phase, scene: Scene, grid: Grid, field: Field) -> PhaseFigures:
    """The water in one phase."""
    cells = np.flatnonzero(grid.clear)
    water = figures(field.speed.take(cells).astype(np.float64), grid.open_volume.take(cells), scene.limits)
    widths = doubts(scene.limits, grid, field)
    bed = bed_figures(scene, grid, field)
    goes_round = circulation(grid, field)
    return PhaseFigures(
        time=phase.time,
        round_time=3600 / goes_round if goes_round else inf,
        mean_speed=water["mean"],
        mean_doubt=widths["mean"],
        max_speed=water["max"],
        shares={name: water[name] for name in WATER} | {name: getattr(bed, name) for name in BED},
        uncertainty={name: widths[name] for name in WATER} | {name: bed.uncertainty[name] for name in BED},
        corals={coral.name: coral_figures(coral, grid, field) for coral in scene.corals},
    )


def rest_told(cycle: Cycle) -> str:
    """That all pumps rest in some of the phases, "all pumps rest in the phase feeding"; empty: in none."""
    if not cycle.resting:
        return ""
    names = " and ".join(cycle.resting)
    return f"all pumps rest in the phase{'s' if len(cycle.resting) > 1 else ''} {names}"


def share_spread(name: str, found: Mapping[str, PhaseFigures], lasting: Mapping[str, float]) -> Spread:
    """A share that is the better the smaller; lasting is the share of the time by phase."""
    shares = {phase: each.shares[name] for phase, each in found.items()}
    worst, best = max(shares, key=shares.__getitem__), min(shares, key=shares.__getitem__)
    width = over_time({phase: each.uncertainty[name] for phase, each in found.items()}, lasting)
    return Spread(shares[worst], worst, over_time(shares, lasting), shares[best], best, width)


def group_spread(name: str, found: Mapping[str, PhaseFigures], lasting: Mapping[str, float]) -> Spread:
    """The share of a group of corals that has what it wants."""
    groups = {phase: each.corals[name] for phase, each in found.items()}
    shares = {phase: each.in_band_fraction for phase, each in groups.items()}
    worst, best = min(shares, key=shares.__getitem__), max(shares, key=shares.__getitem__)
    width = over_time({phase: each.uncertainty["in_band_fraction"] for phase, each in groups.items()}, lasting)
    return Spread(shares[worst], worst, over_time(shares, lasting), shares[best], best, width)


def surely_worse(spread: Spread, unsure: float, share: float, half_width: float) -> bool:
    """Whether the worst phase, known to within unsure, is worse than another one by more than both intervals."""
    return abs(spread.worst - share) > hypot(unsure, half_width)


def over_time(values: Mapping[str, float], lasting: Mapping[str, float]) -> float:
    """The mean of what each phase has."""
    return sum(value * lasting[phase] for phase, value in values.items())


def dead_time(fields: Sequence[Field], lasting: Sequence[float], limit: float, grid: Grid) -> np.ndarray:
    """Share of the time in which each cell is dead (nx, ny, nz) float32; 0 outside the water and in rubble."""
    parts = [
        np.float32(part) * (grid.clear & (field.speed < limit)) for field, part in zip(fields, lasting, strict=True)
    ]
    return np.sum(parts, axis=0)


def dead_through(fields: Sequence[Field], limit: float, grid: Grid) -> tuple[dict[str, float], Mapping[str, float]]:
    """Shares of the water that are dead in all and in any of the phases, and the half-widths of their intervals.

    These are unknown where the phases were averaged over different numbers of windows, which cannot be paired.
    """
    phases, cells = len(fields), np.tile(grid.clear.reshape(-1), len(fields))
    volumes = grid.open_volume[grid.clear]

    def shares(speeds: np.ndarray) -> dict[str, float]:
        dead = speeds.reshape(phases, -1) < limit
        always, ever = (mean(of(dead, axis=0), volumes) for of in (np.all, np.any))
        return {"always_dead_fraction": always, "ever_dead_fraction": ever}

    speeds = np.stack([field.speed for field in fields])
    found = shares(speeds.reshape(-1)[cells])
    if len({len(field.batches) for field in fields}) > 1:
        return found, dict.fromkeys(found, nan)
    alike = max(likeness(grid, field) for field in fields)
    return found, half_widths(shares, speeds, SideBySide(fields), cells, alike)


class SideBySide(Sequence[np.ndarray]):
    """The windows of several fields, equal in number, laid beside each other one at a time: all would be large."""

    def __init__(self, fields: Sequence[Field]) -> None:
        self._fields = fields

    def __len__(self) -> int:
        return len(self._fields[0].batches)

    def __getitem__(self, number: int) -> np.ndarray:
        """The n-th window of each (fields, nx, ny, nz)."""
        return np.stack([field.batches[number] for field in self._fields])


def strongest_moment(
    scene: Scene, grid: Grid, fields: Sequence[Field], rates: Sequence[Mapping[str, float]]
) -> StrongestMoment:
    """When and where the water is fastest, but for that in rubble; by the jet of an outlet that blows then."""
    clear = [np.where(grid.clear, field.speed, 0) for field in fields]
    peaks = [float(speed.max()) for speed in clear]
    number = int(np.argmax(peaks))
    cell = np.unravel_index(int(clear[number].argmax()), grid.shape)
    at = (np.array(cell) + 0.5) * grid.spacing
    blowing = tuple(outlet for outlet in scene.outlets if rates[number][outlet.name] > 0)
    place = place_of_strong(at[None], at, at, surroundings(replace(scene, outlets=blowing)))
    return StrongestMoment(scene.phases[number].name, peaks[number], tuple(at.tolist()), place)


def short_phases(scene: Scene, found: Mapping[str, PhaseFigures]) -> Iterator[Caution]:
    """Phases that are too short for the currents of the one before, if that is another, to be forgotten."""
    names = list(found)
    for before, name in zip((names[-1], *names[:-1]), names, strict=True):
        needed = LONG * slower_round(found[before], found[name])
        own = found[name].time
        if name != before and own < needed:
            lasts, needs = (shown(time, "time", scene.show, DIGITS, beside=own) for time in (own, needed))
            what = f"it lasts {lasts}, and the currents of the phase before are forgotten after some {needs}"
            yield Caution(f"phase {name}", what, "Its figures are those of a longer phase; the truth is less extreme")


def slower_round(first: PhaseFigures, second: PhaseFigures) -> float:
    """The longer of the times in which the water goes round in two phases [s]; water at rest does not count."""
    return max((each.round_time for each in (first, second) if isfinite(each.round_time)), default=0.0)
