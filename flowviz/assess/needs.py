"""What groups of corals lack, why, and which step is worth trying first."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from flowviz.assess.causes import WEAK, Cause, cause_of_dead, cause_of_strong, cause_of_uneven
from flowviz.assess.corals import CoralFigures, cells_of
from flowviz.assess.places import Surroundings, few
from flowviz.assess.words import named, tells_nothing
from flowviz.assess.zones import LOOKED_AT, Zone, middles_of
from flowviz.flow.field import Field
from flowviz.grid.grid import Grid
from flowviz.scene.model import Coral

CONTENT = ("good", "unknown")  # verdicts on a group that leave nothing to be mended
SHARES = ("under_fraction", "in_band_fraction", "over_fraction")


@dataclass(frozen=True, slots=True)
class Step:
    """Something that is worth trying."""

    about: str  # what is wrong, in the middle of a sentence: "the water behind the arch, low is dead"
    cause: str
    remedy: str
    moving_may_help: bool  # whether that can be done by moving one opening


def needs(
    found: Mapping[str, CoralFigures], zones: Sequence[Zone], around: Surroundings, grid: Grid, field: Field
) -> Mapping[str, Cause]:
    """Why groups of corals have not the current they want, and what may help, by name; the worst off first."""
    wrong = [coral for coral in around.scene.corals if found[coral.name].verdict not in CONTENT]
    wrong.sort(key=lambda coral: found[coral.name].in_band_fraction)
    return {coral.name: need(coral, found[coral.name], zones, around, grid, field) for coral in wrong}


def need(
    coral: Coral, found: CoralFigures, zones: Sequence[Zone], around: Surroundings, grid: Grid, field: Field
) -> Cause:
    """Why one group has not the current it wants, on the side where it lacks more."""
    cells = cells_of(coral, grid)
    speeds = field.speed.take(cells)
    fastest = middles_of(cells[[speeds.argmax()]], grid)[0]
    struck = cause_of_uneven(fastest, around, grid) if found.verdict == "uneven" else None
    if struck is not None:
        return struck
    if not is_still(found):
        return cause_of_strong(fastest, around, grid)
    if any(zone.cause == WEAK.words and coral.name in zone.corals for zone in zones):
        return WEAK
    return cause_of_dead(few(middles_of(cells[speeds < coral.speed[0]], grid), LOOKED_AT), around, grid)


def is_still(found: CoralFigures) -> bool:
    """Whether more of a group lies below its band than above it."""
    return found.under_fraction >= found.over_fraction


def first_steps(
    found: Mapping[str, CoralFigures], lacks: Mapping[str, Cause], zones: Sequence[Zone]
) -> tuple[Step, ...]:
    """What is worth trying for the corals that are worst off, then against the pocket that matters most.

    Groups whose shares may be anything are passed over; the cores of jets in which nothing lives, wherever anything
    else is wrong.
    """
    wrong = (*coral_steps(found, lacks), *zone_steps([zone for zone in zones if not zone.harmless]))
    steps = wrong or tuple(zone_steps(zones))
    return tuple({step.remedy: step for step in reversed(steps)}.values())[::-1]


def coral_steps(found: Mapping[str, CoralFigures], lacks: Mapping[str, Cause]) -> Iterator[Step]:
    """One for the group that is worst off."""
    known = [name for name in lacks if not unknowable(found[name])]
    for name in known[:1]:
        cause, still = lacks[name], is_still(found[name])
        about = f"{group(name)} are in too {'weak' if still else 'strong'} a current"
        yield Step(about, cause.words, cause.remedy, cause.moving_may_help)


def group(name: str) -> str:
    """A group of corals in the middle of a sentence; one that is called so already, as it is called."""
    return named(name) if name.lower().endswith("corals") else f"the corals of {name}"


def zone_steps(zones: Sequence[Zone]) -> Iterator[Step]:
    """One against the pocket that matters most."""
    for zone in zones[:1]:
        word = "dead" if zone.kind == "dead" else "too strong"
        yield Step(f"the water {zone.place} is {word}", zone.cause, zone.remedy, zone.moving_may_help)


def unknowable(found: CoralFigures) -> bool:
    """Whether some share of a group may be anything from none to all."""
    return any(tells_nothing(getattr(found, share), found.uncertainty[share]) for share in SHARES)


def coral_verdict(found: CoralFigures) -> str:
    """What is said of a group of corals beside its name."""
    if found.cells == 0:
        return "in no water"
    if unknowable(found):
        return "too unsure to say"
    return found.verdict if found.sure else f"{found.verdict} (not sure)"
