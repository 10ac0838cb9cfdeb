"""What a comparison comes to, in one sentence."""

from collections import Counter
from collections.abc import Sequence

from flowviz.comparison.differences import OVER_THE_CYCLE, Difference
from flowviz.comparison.sentences import KINDS, MOST, Findings, capital, gain, joined, said, told_apart, weight
from flowviz.units import System

LONGEST = 170  # letters of a title that a picture has room for
UNDECIDED = "The water is too close to call; "  # where what no average decides is called
SAME = "The two layouts are the same; what differs is chance"


def title(found: Findings) -> str:
    """What it comes to, in one sentence."""
    if found.one_layout:
        return SAME if found.computed_alike else f"{SAME} and how they were computed"
    better, worse = found.called("better"), found.called("worse")
    if found.undecided and not (better or worse):
        return "Too close to call"
    called = [(word, side) for word, side in (("better", better), ("worse", worse)) if side]
    called.sort(key=lambda each: weight(each[1][0])[:2])  # corals and dead water before all else, whichever way
    start = UNDECIDED if found.undecided else ""
    sides = short_sides(called, LONGEST - len(start), found.system)
    return capital(f"{start}{sides}" or pockets_alone(found) or "Neither better nor worse, but different")


def pockets_alone(found: Findings) -> str:
    """Which pockets are gone and new, where no figure is better or worse; empty: none that could do harm."""
    told = []
    for word, fate in (("gone", "went"), ("new", "came")):
        kinds = Counter(KINDS[each.zone.kind] for each in found.of_fate(fate) if not each.zone.harmless)
        counts = [f"{'one' if many == 1 else many} {kind}{'s' if many > 1 else ''}" for kind, many in kinds.items()]
        told += [f"{word}: {joined(counts)}"] if counts else []
    return "; ".join(["No figure is surely better or worse", *told]) if told else ""


def short_sides(called: Sequence[tuple[str, Sequence[Difference]]], longest: int, system: System) -> str:
    """What is better and what is worse, in so many letters at the most where that can be.

    Each figure that is named has its numbers, or where that takes too much room the first of each side. The shortest
    leaves out what is of the whole cycle, as all is that is not said to be of a phase.
    """
    told = [both_sides(called, most, numbered, system) for most in range(MOST, 0, -1) for numbered in (most, 1)]
    shortest = told[-1].replace(f" {OVER_THE_CYCLE}", "")
    return next((words for words in told if len(words) <= longest), shortest)


def both_sides(called: Sequence[tuple[str, Sequence[Difference]]], most: int, numbered: int, system: System) -> str:
    """What is better and what is worse, in up to so many words each, of which so many have their numbers."""
    return "; ".join(f"{word}: {listed(side, most, numbered, system)}" for word, side in called)


def listed(side: Sequence[Difference], most: int, numbered: int, system: System) -> str:
    """Up to so many differences; of more the first ones, and how many others there are."""
    first = len(side) if len(side) <= most else max(most - 1, 1)
    bare = min(numbered, first)  # from where on they stand without their numbers
    named = [*said(side[:bare], lambda each: f"{gain(each)} ({from_to(each, system)})"), *said(side[bare:first], gain)]
    left = len(side) - first
    others = ["one other figure" if left == 1 else f"{left} other figures"] if left else []
    return joined([*named, *others])


def from_to(each: Difference, system: System) -> str:
    """A figure before and after: "19 % → 4.2 %"."""
    return " → ".join(told_apart(each, system))
