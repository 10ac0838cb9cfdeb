"""How far a figure that was computed on three grids is from what ever finer ones would come to."""

from math import inf
from typing import NamedTuple

SAFETY = 1.25  # for three grids: P. J. Roache, J. Fluids Eng. 116 (1994) 405-413
ROUNDS = 40
LEAST = 1e-9  # of r^p - 1, below which figures do not close in on anything
HIGHEST = 20.0  # order beyond which nothing is left to extrapolate


class Convergence(NamedTuple):
    """What three grids tell."""

    order: float  # apparent order p [-]
    extrapolated: float  # to cells of no size, in the figure's own unit
    index: float  # grid convergence index: about how far the finest grid's figure may be off, over that figure [-]


def grid_convergence(
    fine: float, middle: float, coarse: float, refinement: float, coarse_refinement: float
) -> Convergence:
    """Apparent order, extrapolated figure and grid convergence index of a figure on three grids.

        p = [ln|ε32/ε21| + q(p)] / ln r21,    q(p) = ln[(r21^p - s)/(r32^p - s)],    s = sign(ε32/ε21)
        φ_ext = (r21^p φ1 - φ2)/(r21^p - 1),    GCI = 1.25 |(φ1 - φ2)/φ1| / (r21^p - 1)

    fine, middle, coarse           φ1, φ2, φ3; the first not 0
    refinement, coarse_refinement  h2/h1 and h3/h2 [-], better above 1.3

    A figure that moves the more the finer the cells are has order 0 and an infinite index, where the paper takes |p|.
    I. B. Celik, U. Ghia, P. J. Roache, C. J. Freitas, J. Fluids Eng. 130 (2008) 078001, doi:10.1115/1.2960953.
    """
    near, far = middle - fine, coarse - middle
    if near == 0:
        return Convergence(inf, fine, 0.0)
    order = _order(far / near, refinement, coarse_refinement) if far else 0.0
    gain = refinement**order - 1
    if gain < LEAST:
        return Convergence(0.0, fine, inf)
    return Convergence(order, fine - near / gain, SAFETY * abs(near / fine) / gain)


def _order(ratio: float, refinement: float, coarse_refinement: float) -> float:
    """The apparent order, by halving: |ε32/ε21| = r21^p (r32^p - s)/(r21^p - s) grows with p.

    Going round the equation as the paper does fails where r32 is above r21².
    """
    sign, low, high = (1.0 if ratio > 0 else -1.0), 0.0, HIGHEST
    for _ in range(ROUNDS):
        order = (low + high) / 2
        near, far = refinement**order, coarse_refinement**order
        low, high = (order, high) if near * (far - sign) / (near - sign) < abs(ratio) else (low, order)
    return (low + high) / 2
