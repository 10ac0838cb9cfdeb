"""Losses of right-angled tees, which follow the split.

Everywhere K [-] is on the velocity of the combined flow, the leg that carries all of it, and counts total head: a
negative K means that the other stream gives head to this one. Arguments:

    share  flow of the leg in question over the combined flow [-], 0 to 1
    area   area of that leg, or of the branch, over the area of the combined leg [-], above 0 to 1

Sharp-edged tees in turbulent flow. Authors differ by some 0.2 in K, and by 30 % for the dividing branch.
"""


def dividing_branch(share: float, area: float) -> float:
    """K from the run into the branch [-] when a flow divides; share and area of the branch.

        K = 1 + m (q/β²)²,  m = 1 where β ≤ 2/3, else 0.3

    Crane Co., Technical Paper 410 (2009), p. 2-14 (from memory) and, at equal legs, I. E. Idelchik, Handbook of
    Hydraulic Resistance, standard tee (from memory); not confirmed in print.
    """
    return 1 + (1.0 if area <= (2 / 3) ** 2 else 0.3) * (share / area) ** 2


def dividing_run(share: float, area: float) -> float:
    """K straight on along the run [-] when a flow divides; share and area of the branch.

        K = M q²,  M = 0.4 where β² ≤ 0.4, else 2 (2q - 1) up to q = 0.5 and 0.3 (2q - 1) above

    Crane Co., Technical Paper 410 (2009), p. 2-15; the same in I. E. Idelchik, Handbook of Hydraulic Resistance
    (2006) 7.
    """
    if area <= 0.4:
        return 0.4 * share**2
    return (2.0 if share <= 0.5 else 0.3) * (2 * share - 1) * share**2


def combining_branch(share: float, area: float) -> float:
    """K from the branch into the run [-] when flows combine; share and area of the branch.

        K = C [1 + (q/β²)² - 2 (1 - q)²],  C = 1 where β² ≤ 0.35, else the greater of 0.9 (1 - q) and 0.55

    Crane Co., Technical Paper 410 (2009), p. 2-14, whose C jumps from 0.54 to 0.55 at q = 0.4 where this one does
    not; the same in I. E. Idelchik, Handbook of Hydraulic Resistance (2006) 7.
    """
    return _combining_constant(share, area) * (1 + (share / area) ** 2 - 2 * (1 - share) ** 2)


def combining_run(share: float) -> float:
    """K straight on along the run [-] when flows combine; share of the branch.

        K = 1.55 q - q²

    Crane Co., Technical Paper 410 (2009), p. 2-15; Idelchik's differs by 0.05 at most.
    """
    return (1.55 - share) * share


def splitting(share: float, area: float) -> float:
    """K from the branch into one end of the run [-] when a flow splits to both; share and area of that end.

        K = 1 + 0.3 (w/w_c)²,  w/w_c = q/a

    I. E. Idelchik, Handbook of Hydraulic Resistance (2006), diagram 7-29; the factor is 1.5 for threaded iron tees and
    smaller for better made ones, 0.3 for welded ones (from memory).
    """
    return 1 + 0.3 * (share / area) ** 2


def meeting(share: float, area: float, other_area: float) -> float:
    """K from one end of the run into the branch [-] when flows meet; share and area of that end, area of the other.

        K = C (1 + w² + v² - w v),  w = q/a and v = (1 - q)/b the speeds in both ends over that in the branch,
        C as for a combining branch

    With ends of one area this is I. E. Idelchik, Handbook of Hydraulic Resistance (2006), diagram 7-29,
    K = C [1 + a⁻² + 3 a⁻² (q² - q)]. Of unequal ends nothing is published there; so written, a narrow end at rest feels
    what the stream from the other end brings, and no more.
    """
    own, other = share / area, (1 - share) / other_area
    return _combining_constant(share, area) * (1 + own**2 + other**2 - own * other)


def _combining_constant(share: float, area: float) -> float:
    return 1.0 if area <= 0.35 else max(0.9 * (1 - share), 0.55)
