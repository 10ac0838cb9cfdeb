"""Valves that stand partly open."""

from bisect import bisect_right
from collections.abc import Sequence
from functools import cache
from math import exp, inf, log

from flowviz.errors import InputError
from flowviz.plumbing.catalogue import Fitting, rows

LINEAR = "linear"  # a valve whose flow coefficient goes with its opening, by definition of a linear trim


def closing_loss(valve: Fitting, opening: float, diameter: float, where: str) -> float:
    """What a valve at an opening, 0 to 1, costs beyond its loss when fully open: a loss coefficient [-] on the velocity
    in the pipe; infinite where it shuts.
    """
    if "valve" not in valve.roles:
        raise InputError(where, f'"{valve.name}" cannot be opened or shut', "Give openings for valves only")
    if not 0 <= opening <= 1:
        raise InputError(where, f'"{valve.name}" is open by {opening:g}', "Write a share from 0 (shut) to 1 (open)")
    if valve.throttle == LINEAR:
        return inf if opening == 0 else valve.loss(diameter) * (opening**-2 - 1)
    return _tabulated(opening, *_table(valve.throttle))


def _tabulated(opening: float, openings: Sequence[float], added: Sequence[float]) -> float:
    """Between the rows of a table by rising opening, the first of which is shut.

    Straight in ln K; straight in K beside the open end, where K is 0; as the inverse square of what is open beside the
    shut end.
    """
    if opening <= openings[0]:
        return inf
    right = min(bisect_right(openings, opening), len(openings) - 1)
    x0, x1, k0, k1 = openings[right - 1], openings[right], added[right - 1], added[right]
    if right == 1:
        return k1 * ((x1 - x0) / (opening - x0)) ** 2
    share = (opening - x0) / (x1 - x0)
    if k1 == 0:
        return k0 * (1 - share)
    return exp(log(k0) + share * log(k1 / k0))


@cache
def _table(kind: str) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Openings, rising, and losses beyond the open valve of a kind of valve."""
    points = sorted((float(row["opening"]), float(row["added"])) for row in rows("valves.csv") if row["kind"] == kind)
    return tuple(zip(*points, strict=True))
