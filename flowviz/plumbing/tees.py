"""The losses of a tee for any way the water may take through it, without a jump between one way and the next.

Legs are counted 0 and 1 along the run and 2 at the branch; flows are positive into the tee. Where a leg comes to rest
the published formulas of the two neighbouring cases do not quite meet, by some tenths of a velocity head. There,
within BLEND of the combined flow, each is drawn to the mean of both.
"""

from collections.abc import Sequence

from flowviz.formulas.pumps import GRAVITY
from flowviz.formulas.tees import combining_branch, combining_run, dividing_branch, dividing_run, meeting, splitting

BLEND = 0.1  # of the combined flow [-]
NUDGE = 1e-6  # of the combined flow: step of the numerical slopes [-]
BRANCH = 2

Heads = tuple[float, float, float]


def leg_heads(flows: Sequence[float], areas: Sequence[float]) -> Heads:
    """Total heads in the three legs over that in the leg with the combined flow [m]; flows [m³/s], areas [m²]."""
    least, combined = _least_and_combined(flows)
    if flows[combined] == 0:
        return (0.0, 0.0, 0.0)
    own = _case(flows, areas, combined)
    share = abs(flows[least] / flows[combined])
    if share >= BLEND:
        return own
    here, beyond = _at_rest(flows, areas, least, combined)
    pull = (1 - share / BLEND) ** 2 * (1 + 2 * share / BLEND) / 2
    return tuple(head + pull * (b - a) for head, a, b in zip(own, here, beyond, strict=True))


def drops(second: float, branch: float, areas: Sequence[float]) -> tuple[float, float]:
    """Total head in leg 0 over that in leg 1 and over that in leg 2 [m], from the flows of those two [m³/s]."""
    heads = leg_heads((-second - branch, second, branch), areas)
    return heads[0] - heads[1], heads[0] - heads[2]


def drop_slopes(second: float, branch: float, areas: Sequence[float]) -> tuple[Sequence[float], Sequence[float]]:
    """How both drops change with the flow of leg 1, and with that of leg 2 [m/(m³/s)], by central differences."""
    step = NUDGE * max(abs(second), abs(branch), abs(second + branch))
    if step == 0:
        return (0.0, 0.0), (0.0, 0.0)
    by_second = _slope(drops(second + step, branch, areas), drops(second - step, branch, areas), step)
    by_branch = _slope(drops(second, branch + step, areas), drops(second, branch - step, areas), step)
    return by_second, by_branch


def _slope(above: Sequence[float], below: Sequence[float], step: float) -> Sequence[float]:
    return tuple((a - b) / (2 * step) for a, b in zip(above, below, strict=True))


def _least_and_combined(flows: Sequence[float]) -> tuple[int, int]:
    order = sorted(range(3), key=lambda leg: abs(flows[leg]))
    return order[0], order[2]


def _case(flows: Sequence[float], areas: Sequence[float], combined: int) -> Heads:
    """Heads by the published formula for the way the water takes [m]."""
    sign = -1.0 if flows[combined] > 0 else 1.0  # dividing lowers the other legs' heads, combining raises them
    head = sign * (flows[combined] / areas[combined]) ** 2 / (2 * GRAVITY)
    return tuple(0.0 if leg == combined else head * _coefficient(flows, areas, combined, leg) for leg in range(3))


def _coefficient(flows: Sequence[float], areas: Sequence[float], combined: int, leg: int) -> float:
    """Loss coefficient between a leg and the combined one [-]."""
    dividing = flows[combined] > 0
    if combined == BRANCH:
        share, area = -flows[leg] / flows[combined], min(areas[leg] / areas[combined], 1.0)
        return splitting(share, area) if dividing else meeting(share, area)
    share, area = -flows[BRANCH] / flows[combined], min(areas[BRANCH] / areas[combined], 1.0)
    if leg == BRANCH:
        return dividing_branch(share, area) if dividing else combining_branch(share, area)
    return dividing_run(share, area) if dividing else combining_run(share)


def _at_rest(flows: Sequence[float], areas: Sequence[float], least: int, combined: int) -> tuple[Heads, Heads]:
    """Heads with the weakest leg at rest: by this case, and by the one in which that leg flows the other way.

    With that leg at rest another leg is level with the combined one and becomes the combined one of the other case,
    so its heads are counted from the same leg as this case's.
    """
    other = 3 - least - combined
    still = [0.0, 0.0, 0.0]
    still[combined], still[other] = flows[combined], -flows[combined]
    beyond = _case(still, areas, other)
    return _case(still, areas, combined), tuple(head - beyond[combined] for head in beyond)
