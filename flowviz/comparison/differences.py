"""What differs between two studies, and whether that is more than noise."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from math import isnan, nan
from typing import Literal

from flowviz.comparison.apart import apart
from flowviz.comparison.figures import (
    ALWAYS_DEAD,
    CUTS,
    EXACT,
    WORST_BREAK,
    Figure,
    Good,
    figures,
    in_phases,
    with_always_dead,
)
from flowviz.comparison.noise import doubt, doubt_in
from flowviz.flow.intervals import Doubt, half_width_of_difference
from flowviz.scene.model import Scene
from flowviz.study import Study

WRONG = 0.03  # share of comparisons in which noise may pass for a difference anywhere among the figures
OVER_THE_CYCLE = "over the cycle"
TIMELESS = (ALWAYS_DEAD, WORST_BREAK, "holes", CUTS, "glass_removed")  # figures that tell their time themselves
KNOWN = 0.01  # of a figure that no average decides: pipes and pumps are not known any better
LIMITED = {  # the figures that each limit of a scene decides
    "dead": ("dead_fraction", ALWAYS_DEAD),
    "over": ("over_fraction",),
    "settle": ("bed/settling_fraction",),
    "stir": ("bed/moving_fraction",),
}
WORTH = 0.005  # change of a share below which it makes no difference to anyone (a choice of words)

Pairs = Mapping[str, tuple[Figure, Figure]]  # before and after, by name
Doubts = Mapping[str, tuple[Doubt, Doubt]]
Verdict = Literal["better", "worse", "changed", "the same", "too close to call"]


@dataclass(frozen=True, slots=True)
class Difference:
    """One figure of two studies, in SI units; NaN where it is unknown or a layout does not have it."""

    name: str
    subject: str  # what it is about: the water, a group of corals, the bed, the loop, the glass
    label: str  # in plain words
    when: str  # of the cycle it is of, in plain words; empty where neither layout has phases
    quantity: str | None  # its kind for units.shown; None: a count or a plain number
    wanted: Good | None  # which of two is the better; None: neither is
    before: float
    before_half_width: float  # of its own 95 % interval; 0: no average decides it; NaN: unknown
    after: float
    after_half_width: float
    change: float
    change_half_width: float  # such that 97 comparisons in 100 hold all their changes; 0 and NaN as above
    verdict: Verdict
    by_each_march: bool = False  # whether each march tells it by itself: then its sign is sure, whatever its interval

    @property
    def told(self) -> str:
        """Its label with when it is of."""
        return f"{self.label}, {self.when}" if self.when else self.label

    @property
    def called(self) -> bool:
        """Whether there is a difference beyond the noise."""
        return self.verdict in ("better", "worse", "changed")

    @property
    def outcome(self) -> str:
        """The verdict in words; of what is known of one layout only, of which; of a sure but small change, that."""
        if self.verdict == "the same" and abs(self.change) > self.change_half_width:
            return "too small to matter"
        if isnan(self.before) == isnan(self.after):
            return self.verdict
        return "only before" if isnan(self.after) else "only after"

    @property
    def noisy(self) -> bool:
        """Whether it is an average of a current that wanders."""
        return self.before_half_width != EXACT or self.after_half_width != EXACT


def differences(before: Study, after: Study) -> tuple[Difference, ...]:
    """Every figure of two studies side by side, of one with phases its mean over time; weirs only if there are any."""
    cycled = bool(before.cycle or after.cycle)
    one, other = (with_always_dead(study) if cycled else figures(study) for study in (before, after))
    pairs = {
        name: (one.get(name) or unknown(other[name]), other.get(name) or unknown(one[name]))
        for name in {**one, **other}
    }
    doubts = {
        name: (doubt(then.half_width, before), doubt(now.half_width, after)) for name, (then, now) in pairs.items()
    }
    wrong = WRONG / (2 if common_phases(before, after) else 1) / max(chances(pairs.values()), 1)
    fair = by_one_measure(pairs, before.scene, after.scene)
    found = judged(fair, doubts, wrong, OVER_THE_CYCLE if cycled else "")
    told = (each for each in found if each.name != CUTS or each.before or each.after)
    return tuple(replace(each, when="") if each.name in TIMELESS else each for each in told)


def phase_differences(before: Study, after: Study) -> Mapping[str, tuple[Difference, ...]]:
    """The same of each phase that both have, by its name; half of the wrong verdicts may be among these."""
    one, other = in_phases(before), in_phases(after)
    phases = {
        phase: {name: (one[phase][name], other[phase][name]) for name in one[phase] if name in other[phase]}
        for phase in common_phases(before, after)
    }
    wrong = WRONG / 2 / max(sum(chances(pairs.values()) for pairs in phases.values()), 1)
    return {
        phase: tuple(
            judged(
                by_one_measure(pairs, before.scene, after.scene),
                phase_doubts(phase, pairs, before, after),
                wrong,
                f"in the phase {phase}",
            )
        )
        for phase, pairs in phases.items()
    }


def by_one_measure(pairs: Pairs, before: Scene, after: Scene) -> Pairs:
    """The pairs, of which none is the better where each layout judges by a limit or a band of its own."""
    limits = [name for name in LIMITED if getattr(before.limits, name) != getattr(after.limits, name)]
    bands = [{coral.name: coral.speed for coral in scene.corals} for scene in (before, after)]
    groups = tuple(f"{name}/" for name in bands[0] if bands[1].get(name, bands[0][name]) != bands[0][name])
    apart = {name for limit in limits for name in LIMITED[limit]} | {name for name in pairs if name.startswith(groups)}
    return {
        name: (replace(then, good=None), replace(now, good=None)) if name in apart else (then, now)
        for name, (then, now) in pairs.items()
    }


def common_phases(before: Study, after: Study) -> list[str]:
    """Names of the phases that both have, in the order of before."""
    names = {moment.phase.name for moment in after.moments}
    return [moment.phase.name for moment in before.moments if moment.phase.name in names]


def phase_doubts(phase: str, pairs: Pairs, before: Study, after: Study) -> Doubts:
    """How well the figures of one phase are known."""
    then, now = (
        next(moment.field for moment in study.moments if moment.phase.name == phase) for study in (before, after)
    )
    return {
        name: (doubt_in(one.half_width, before.grid, then), doubt_in(other.half_width, after.grid, now))
        for name, (one, other) in pairs.items()
    }


def judged(pairs: Pairs, doubts: Doubts, wrong: float, when: str) -> Iterator[Difference]:
    """Each figure with its verdict; wrong is the share of cases in which noise may pass for a change of one."""
    for name, (then, now) in pairs.items():
        width = half_width_of_difference(*doubts[name], wrong)
        yield difference(name, then, now, width, apart(then, now, wrong), when)


def chances(along: Iterable[tuple[Figure, ...]]) -> int:
    """In how many figures, each of several studies, noise may pass for a difference; what one leaves to another is one.

    Of a group that is never too strong the share that is too still and the share in its band are one figure.
    """
    widths = {tuple(each.half_width for each in one) for one in along if not all(each.settled for each in one)}
    return len(widths)


def unknown(figure: Figure) -> Figure:
    """What a layout that lacks a figure has instead."""
    return replace(figure, value=nan, half_width=EXACT)


def difference(name: str, before: Figure, after: Figure, width: float, by_each_march: bool, when: str) -> Difference:
    """One figure of two studies, whose change is known to within a half-width, or which each march tells apart."""
    return Difference(
        name=name,
        subject=before.subject,
        label=before.label,
        when=when,
        quantity=before.quantity,
        wanted=before.good,
        before=before.value,
        before_half_width=before.half_width,
        after=after.value,
        after_half_width=after.half_width,
        change=after.value - before.value,
        change_half_width=width,
        verdict=verdict(before, after, width, by_each_march),
        by_each_march=by_each_march,
    )


def verdict(before: Figure, after: Figure, width: float, by_each_march: bool = False) -> Verdict:
    """What a change comes to, in words."""
    change = after.value - before.value
    if isnan(change):
        return "the same" if isnan(before.value) and isnan(after.value) else "changed"
    if is_same(before, after, width):
        return "the same"
    if not (abs(change) > width or (by_each_march and abs(change) > WORTH)):
        return "too close to call"
    if before.good is None:
        return "changed"
    return "better" if (change < 0) == (before.good == "less") else "worse"


def is_same(before: Figure, after: Figure, width: float) -> bool:
    """Whether a change is surely too small to matter, or no window of either study showed any."""
    change = abs(after.value - before.value)
    if before.half_width == after.half_width == EXACT:
        return change <= max(KNOWN * abs(before.value), before.matters, after.matters)
    if before.settled and after.settled and change == 0:
        return True
    return before.quantity == "share" and max(change, width) < WORTH
