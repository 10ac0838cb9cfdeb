"""Submerged jets, round and flat: length of the core, decay, spread, and how water that crosses one turns it.

A jet leaves with one speed over all its bore and keeps its momentum. In the core its edge is part of the same Gaussian
that it becomes beyond, so that the laws join without a step.
"""

from math import erf, exp, log, pi, sqrt

SPREAD = 0.096  # half-width over distance: N. R. Panchapakesan & J. L. Lumley, J. Fluid Mech. 246 (1993) 197-223
DECAY = sqrt(log(2) / 2) / SPREAD  # that keeps the momentum of a Gaussian jet: 6.13; published 5.8 to 6.3
INTENSITY = 0.25  # rms of each velocity component over the speed on the axis; from memory, published 0.24 to 0.29


def core_length(bore: float) -> float:
    """How far a jet keeps its full speed on the axis [m].

        6.1 d

    bore    inside diameter of the outlet [m]

    Published 4 to 7 d; 6.2 d in M. L. Albertson, Y. B. Dai, R. A. Jensen & H. Rouse, Trans. ASCE 115 (1950) 639-664
    (from memory).
    """
    return DECAY * bore


def axis_speed(distance: float, bore: float, speed: float) -> float:
    """Mean speed on the axis of a jet in still water [m/s].

        U₀ in the core, B d U₀/x beyond it, with B = 6.13

    distance    from the outlet [m], to about 100 bores
    speed       at the outlet [m/s], Reynolds number above 1e4

    B: 6.06, N. R. Panchapakesan & J. L. Lumley, J. Fluid Mech. 246 (1993) 197-223; 5.8, H. J. Hussein, S. P. Capp &
    W. K. George, J. Fluid Mech. 258 (1994) 31-75; 6.2, Albertson et al. (1950), from memory.
    """
    return speed * min(1.0, core_length(bore) / max(distance, bore))


def half_width(distance: float) -> float:
    """Distance from the axis at which a developed jet has half the speed of the axis [m].

        S x, with S = 0.096

    distance    from the outlet [m], beyond the core

    Panchapakesan & Lumley (1993); 0.094 and 0.102 by two ways of measuring in Hussein, Capp & George (1994).
    """
    return SPREAD * distance


def mean_speed(distance: float, radius: float, bore: float, speed: float) -> float:
    """Mean speed along a jet in still water [m/s].

        U₀ within r₁, and U exp(-ln2 (r - r₁)²/b²) beyond; r₁ shrinks evenly from d/2 to 0 along the core

    The half-width b of the edge in the core is the one that keeps the momentum U₀² π d²/4.

    distance    from the outlet along the axis [m]
    radius      distance from the axis [m]
    """
    core = core_radius(distance, bore)
    width = edge_width(distance, bore)
    top = axis_speed(distance, bore, speed)
    return top if radius <= core else top * exp(-log(2) * ((radius - core) / width) ** 2)


def core_radius(distance: float, bore: float) -> float:
    """Radius within which the jet still has its full speed [m], 0 beyond the core."""
    return bore / 2 * max(0.0, 1 - distance / core_length(bore))


def edge_width(distance: float, bore: float) -> float:
    """From the core's edge, or from the axis beyond the core, to half of the speed [m].

    In the core from the momentum, with a the radius of the core:  a² + a b √(π/2 ln2) + b²/(2 ln2) = d²/4.
    """
    core = core_radius(distance, bore)
    if core == 0.0:
        return half_width(distance)
    across = core * sqrt(pi / (2 * log(2)))
    rest = (core**2 - bore**2 / 4) * 2 / log(2)
    return log(2) * (sqrt(across**2 - rest) - across)


def smeared_speed(distance: float, radius: float, bore: float, speed: float, smear: float) -> float:
    """Mean speed along a jet that is seen, or was marched, through cells which widen it [m/s].

        U₀ (c/b) exp(-ln2 r²/b²),    b² = max(S x, c)² + smear²,    c = S B d

    A Gaussian with the momentum of the jet at any distance; without smear the jet itself beyond its core.

    distance    from the outlet along the axis [m]
    radius      distance from the axis [m]
    smear       half-width that the cells give to a jet of none [m]
    """
    narrowest = SPREAD * DECAY * bore
    square = max(SPREAD * distance, narrowest) ** 2 + smear**2
    return speed * narrowest / sqrt(square) * exp(-log(2) * radius**2 / square)


def smeared_flat_speed(
    distance: float, along: float, across: float, length: float, height: float, speed: float, smear: float
) -> float:
    """The same of a jet out of a slot [m/s].

        U² = U₀² (c/b) exp(-2 ln2 z²/b²) [erf((y + l/2)/σ) - erf((y - l/2)/σ)]/2
        b² = max(S x, c)² + smear²,    c = √(2 ln2/π) h,    σ² = ((S x)² + smear²)/(2 ln2)

    Its momentum spreads as heat does (H. Reichardt, VDI-Forschungsheft 414, 1942, from memory), and is kept. While it
    is much thinner than long it is 2.6 √(h/x) U₀ on the axis, where 2.3 to 2.5 is published (Albertson et al., 1950;
    N. Rajaratnam, Turbulent Jets, 1976; from memory), and far away the round jet of the same area.

    distance          from the outlet along the axis [m]
    along, across     y and z, from the axis along the slot and across it [m]
    length, height    l and h of the slot [m]
    smear             half-width that the cells give to a jet of none [m]
    """
    narrowest = sqrt(2 * log(2) / pi) * height
    square = max(SPREAD * distance, narrowest) ** 2 + smear**2
    blur = sqrt(((SPREAD * distance) ** 2 + smear**2) / (2 * log(2)))
    within = (erf((along + length / 2) / blur) - erf((along - length / 2) / blur)) / 2
    return speed * sqrt(narrowest / sqrt(square) * within) * exp(-log(2) * across**2 / square)


def turning(across: float, bore: float, speed: float) -> float:
    """By how much a developed jet is turned by water that moves across it, over the length that it goes [1/m].

        (2/B) V/(d U₀)

    Its own momentum stays; what it takes in adds its own across the jet: the near field of E. F. Hasselbrink,
    M. G. Mungal, J. Fluid Mech. 443 (2001) 1-25 (from memory). The pressure of what streams against it is left out.

    across    speed of the water round the jet, square to its axis [m/s]; small against the jet's own
    bore      inside diameter of the outlet [m]
    speed     at the outlet [m/s]
    """
    return 2 / DECAY * across / (bore * speed)
