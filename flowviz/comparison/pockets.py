"""What becomes of each pocket of dead or too-strong water from one layout to the next."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import isnan, nan
from typing import Literal

import numpy as np

from flowviz.assess.zones import Zone
from flowviz.comparison.noise import Known, doubt, mean_over
from flowviz.comparison.places import in_the_places_of, one_ground
from flowviz.comparison.ways import what_ends_it
from flowviz.cycle import Moment
from flowviz.flow.intervals import half_width_at, half_width_of_difference
from flowviz.study import Study, in_use, phase_alone

SAME = 0.25  # of the smaller of two pockets: so much of it in both makes them one (a choice of words)
WRONG = 0.03  # share of comparisons in which noise may pass for a pocket that went or came
FILLED = "rock, sand or glass now stands in its place"

Fate = Literal["went", "came", "stayed", "perhaps went", "perhaps came", "of the first", "of the second"]


@dataclass(frozen=True, slots=True, eq=False)
class PocketChange:
    """A pocket and what becomes of it."""

    fate: Fate  # perhaps: its water does not differ by more than the noise; of the first: of a tank of unlike plan
    before: Zone | None
    after: Zone | None
    speed_before: float  # mean over its water [m/s], as far as both layouts have that; NaN: this one has none of it
    speed_after: float
    change_half_width: float  # such that 97 comparisons in 100 hold all their pockets [m/s]
    reason: str  # in words: what ends it, or what makes it
    phase: str = ""  # that it is in; empty: there are none

    @property
    def zone(self) -> Zone:
        """It as it is, or as it was if it went."""
        return self.after or self.before


def shown_pockets(before: Study, after: Study) -> tuple[PocketChange, ...]:
    """What becomes of the pockets that pictures show: of a study with phases those of its main one."""
    mains = dict.fromkeys(study.main_phase.name for study in (before, after) if study.main_phase)
    pair = (replace(study, scene=in_use(study.scene, study.loop.rates)) for study in (before, after))
    found = pocket_changes(*pair, share_of_wrong(before, after))
    return tuple(replace(each, phase=" and ".join(mains)) for each in found)


def every_pocket(before: Study, after: Study, shown: tuple[PocketChange, ...]) -> tuple[PocketChange, ...]:
    """The same of each phase in which water moves in both; without such phases the ones that are shown."""
    found, mains = [], {study.main_phase.name for study in (before, after) if study.main_phase}
    for name, pair in moving_phases(before, after).items():
        if mains == {name}:
            found += shown
            continue
        alone = (phase_alone(study, moment) for study, moment in zip((before, after), pair, strict=True))
        changes = pocket_changes(*alone, share_of_wrong(before, after))
        found += [replace(each, phase=name) for each in changes]
    return tuple(found) or shown


def moving_phases(before: Study, after: Study) -> Mapping[str, tuple[Moment, Moment]]:
    """The phases of both in which water moves in both, by name."""
    one, other = (
        {moment.phase.name: moment for moment in study.moments if moment.way != "at rest"} for study in (before, after)
    )
    return {name: (one[name], other[name]) for name in one if name in other}


def share_of_wrong(before: Study, after: Study) -> float:
    """Share of cases in which noise may pass for a pocket of one phase that went or came."""
    return WRONG / max(len(moving_phases(before, after)), 1)


def pocket_changes(before: Study, after: Study, wrong: float = WRONG) -> tuple[PocketChange, ...]:
    """All pockets of two studies: those of before, then the new ones. Of tanks of unlike plan none becomes another.

    wrong   share of cases in which noise may pass for one that went or came
    """
    if not one_ground((before.scene, after.scene)):
        return (*unheld(before, "of the first"), *unheld(after, "of the second"))
    pairs = dict(matches(before, after))
    old, new = before.measures.zones, after.measures.zones
    gone = [n for n in range(len(old)) if n not in pairs]
    fresh = [m for m in range(len(new)) if m not in pairs.values()]
    wrong /= max(len(gone) + len(fresh), 1)
    return (
        *(went(number, before, after, wrong) for number in gone),
        *(stayed(n, m, before, after, wrong) for n, m in pairs.items()),
        *(came(number, before, after, wrong) for number in fresh),
    )


def unheld(study: Study, fate: Fate) -> Iterator[PocketChange]:
    """The pockets of one tank, held against nothing."""
    for number, zone in enumerate(study.measures.zones, start=1):
        speed = mean_over(study.field.batches[:, study.measures.labels == number].mean(axis=1), study).value
        if fate == "of the first":
            yield PocketChange(fate, zone, None, speed, nan, nan, zone.cause)
        else:
            yield PocketChange(fate, None, zone, nan, speed, nan, zone.cause)


def went(number: int, before: Study, after: Study, wrong: float) -> PocketChange:
    """A pocket that no pocket of after is in the place of."""
    zone, cells = before.measures.zones[number], before.measures.labels == number + 1
    then, now = in_its_water(cells, before, after)
    chosen = wrong / places_for(cells, before)
    told = figures(then, now, chosen)
    if not turned(zone.kind, then, now, after, wrong, chosen):
        return PocketChange("perhaps went", zone, None, *told, "")
    reason = FILLED if isnan(now.value) else what_ends_it(zone, cells, before, after)
    return PocketChange("went", zone, None, *told, reason)


def came(number: int, before: Study, after: Study, wrong: float) -> PocketChange:
    """A pocket that no pocket of before was in the place of."""
    zone = after.measures.zones[number]
    cells = after.measures.labels == number + 1
    now, then = in_its_water(cells, after, before)
    chosen = wrong / places_for(cells, after)
    fate = "came" if turned(zone.kind, now, then, before, wrong, chosen) else "perhaps came"
    return PocketChange(fate, None, zone, *figures(then, now, chosen), zone.cause)


def stayed(n: int, m: int, before: Study, after: Study, wrong: float) -> PocketChange:
    """A pocket of both."""
    old, new = before.measures.zones[n], after.measures.zones[m]
    told = figures(*in_its_water(before.measures.labels == n + 1, before, after), wrong)
    return PocketChange("stayed", old, new, *told, new.cause)


def figures(then: Known, now: Known, wrong: float) -> tuple[float, float, float]:
    """Speed before and after, and the half-width of the interval of the change [m/s]."""
    return then.value, now.value, half_width_of_difference(then.doubt, now.doubt, wrong)


def places_for(cells: np.ndarray, study: Study) -> float:
    """How often a pocket's water fits into the tank: of so many places it is the one found slow or fast [-].

    Chance had as many trials, so of each it is allowed that part only. Of 91 pairs of sketches of one tank, each of
    twelve marches, 9 had a pocket that was called gone or new where this was left out, and none where it was not.
    """
    return np.count_nonzero(study.grid.clear) / np.count_nonzero(cells)


def turned(kind: str, inside: Known, elsewhere: Known, other: Study, wrong: float, chosen: float) -> bool:
    """Whether a pocket's water surely moves otherwise in the other study, and surely within the limit there.

    Both are asked, for a pocket is found where its water is slow or fast by chance too: in another study of the same
    tank that water lies nearer to the limit. Water that the other study does not have at all is no chance.

    wrong    share of cases in which noise may pass for water within the limit
    chosen   and for a change of water that was chosen for its speed
    """
    if isnan(elsewhere.value):
        return True
    sign = 1 if kind == "dead" else -1
    easing, within = elsewhere.value - inside.value, elsewhere.value - getattr(other.scene.limits, kind)
    changed = sign * easing > half_width_of_difference(inside.doubt, elsewhere.doubt, chosen)
    return changed and sign * within > half_width_at(elsewhere.doubt, wrong)


def in_its_water(cells: np.ndarray, study: Study, other: Study) -> tuple[Known, Known]:
    """Mean speed of a pocket's water in its own study, and in the same places of another one [m/s], NaN if it has none.

    The water in a heap is none that can be dead or too strong.
    """
    wet = cells & in_the_places_of(study.grid, other.grid.clear, other.grid)
    if not wet.any():
        return mean_over(study.field.batches[:, cells].mean(axis=1), study), Known(nan, doubt(nan, other))
    windows = [in_the_places_of(study.grid, window, other.grid)[wet].mean() for window in other.field.batches]
    return mean_over(study.field.batches[:, wet].mean(axis=1), study), mean_over(np.array(windows), other)


def matches(before: Study, after: Study) -> Iterator[tuple[int, int]]:
    """Numbers of the pockets of before and of those of after that are the same, by the water that both have."""
    there = in_the_places_of(before.grid, after.measures.labels, after.grid)
    for n, zone in enumerate(before.measures.zones):
        inside = np.bincount(there[before.measures.labels == n + 1], minlength=len(after.measures.zones) + 1)[1:]
        alike = [other.kind == zone.kind for other in after.measures.zones]
        common = np.where(alike, inside, 0)
        m = int(common.argmax()) if common.size else 0
        if common.any() and common[m] >= SAME * min(zone.cells, after.measures.zones[m].cells):
            yield n, m
