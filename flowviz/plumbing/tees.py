"""The losses of a tee for any way the water may take through it, without a jump between one way and the next.

Legs are counted 0 and 1 along the run and 2 at the branch; flows are positive into the tee. Where a leg comes to rest
the published formulas of the two neighbouring cases do not quite meet, by some tenths of a velocity head. There,
within BLEND of the combined flow, each is drawn to the mean of both. With that leg at rest another one is level with
the combined leg and becomes the combined one of the neighbouring case, so its heads are counted from the same leg.
"""

from collections.abc import Sequence
from functools import lru_cache

from flowviz.formulas.fittings import sudden_contraction, sudden_expansion
from flowviz.formulas.pumps import GRAVITY
from flowviz.formulas.tees import combining_branch, combining_run, dividing_branch, dividing_run, meeting, splitting

BLEND = 0.1  # of the combined flow [-]
NUDGE = 1e-6  # of the combined flow: step for the slopes [-]
BRANCH = 2

Heads = list[float]  # of legs 0, 1 and 2
Slopes = tuple[float, float]


def leg_heads(flows: Sequence[float], areas: Sequence[float]) -> Heads:
    """Total heads in the three legs over that in the leg with the combined flow [m]; flows [m³/s], areas [m²]."""
    least, other, combined = sorted(range(3), key=[abs(flow) for flow in flows].__getitem__)
    if flows[combined] == 0:
        return [0.0, 0.0, 0.0]
    own = _case(flows, areas, combined)
    share = abs(flows[least] / flows[combined])
    if share >= BLEND:
        return own
    pull = (1 - share / BLEND) ** 2 * (1 + 2 * share / BLEND) / 2 * flows[combined] ** 2
    gaps = _gaps(tuple(areas), combined, other, flows[combined] > 0)
    return [head + pull * gap for head, gap in zip(own, gaps, strict=True)]


@lru_cache(maxsize=4096)
def _gaps(areas: tuple[float, ...], combined: int, other: int, dividing: bool) -> Heads:
    """By how much two neighbouring cases do not meet, for a flow of 1 m³/s from one leg to another, the third at rest:
    heads of the legs by the other case over those by this one [m].
    """
    still = [0.0, 0.0, 0.0]
    still[combined], still[other] = (1.0, -1.0) if dividing else (-1.0, 1.0)
    here, beyond = _case(still, areas, combined), _case(still, areas, other)
    return [beyond[leg] - beyond[combined] - here[leg] for leg in range(3)]


def drops(second: float, branch: float, areas: Sequence[float]) -> tuple[float, float]:
    """Total head in leg 0 over that in leg 1 and over that in leg 2 [m], from the flows of those two [m³/s]."""
    heads = leg_heads((-second - branch, second, branch), areas)
    return heads[0] - heads[1], heads[0] - heads[2]


def drop_slopes(second: float, branch: float, areas: Sequence[float], here: Slopes) -> tuple[Slopes, Slopes]:
    """How both drops change with the flow of leg 1, and with that of leg 2 [m/(m³/s)].

    here  the drops [m] at these flows

    With the smaller flow by a small step, with the larger one by Euler's theorem: the drops go with the square of the
    flows if all change in proportion, so that Q₁ ∂h/∂Q₁ + Q₂ ∂h/∂Q₂ = 2 h.
    """
    step = NUDGE * max(abs(second), abs(branch), abs(second + branch))
    if step == 0:
        return (0.0, 0.0), (0.0, 0.0)
    if abs(second) < abs(branch):
        by_second = _slope(here, drops(second + step, branch, areas), step)
        return by_second, _other_slope(here, by_second, second, branch)
    by_branch = _slope(here, drops(second, branch + step, areas), step)
    return _other_slope(here, by_branch, branch, second), by_branch


def _slope(here: Slopes, there: Slopes, step: float) -> Slopes:
    return (there[0] - here[0]) / step, (there[1] - here[1]) / step


def _other_slope(here: Slopes, known: Slopes, small: float, large: float) -> Slopes:
    return (2 * here[0] - small * known[0]) / large, (2 * here[1] - small * known[1]) / large


def _case(flows: Sequence[float], areas: Sequence[float], combined: int) -> Heads:
    """Heads by the published formula for the way the water takes [m]; dividing lowers heads, combining raises them."""
    dividing, total = flows[combined] > 0, abs(flows[combined])
    head = (total / areas[combined]) ** 2 / (2 * GRAVITY) * (-1.0 if dividing else 1.0)
    heads = [0.0, 0.0, 0.0]
    if combined == BRANCH:
        shares = [abs(flows[leg]) / total for leg in (0, 1)]
        ends = [min(areas[leg] / areas[BRANCH], 1.0) for leg in (0, 1)]
        for leg, far in ((0, 1), (1, 0)):
            loss = splitting(shares[leg], ends[leg]) if dividing else meeting(shares[leg], ends[leg], ends[far])
            heads[leg] = head * loss
        return heads
    share, area = abs(flows[BRANCH]) / total, min(areas[BRANCH] / areas[combined], 1.0)
    heads[BRANCH] = head * (dividing_branch(share, area) if dividing else combining_branch(share, area))
    along = head * (dividing_run(share, area) if dividing else combining_run(share))
    heads[1 - combined] = along
    if areas[0] != areas[1]:
        section = _change_of_section(flows[1 - combined], areas[combined], areas[1 - combined], dividing)
        heads[1 - combined] += -section if dividing else section
    return heads


def _change_of_section(flow: float, combined: float, other: float, dividing: bool) -> float:
    """Head lost along a run whose two legs differ in area, as at a sudden narrowing or widening [m]; the published
    formulas are for runs of one bore.
    """
    small, ratio = min(combined, other), min(combined, other) / max(combined, other)
    narrows = (combined > other) == dividing
    loss = sudden_contraction(ratio) if narrows else sudden_expansion(ratio)
    return loss * (flow / small) ** 2 / (2 * GRAVITY)
