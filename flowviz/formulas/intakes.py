"""Air at intakes: what runs over an edge at the surface, and how deep a mouth has to lie."""

from math import sqrt

from flowviz.formulas.pumps import GRAVITY

FRANCIS = 1.838  # 3.33 √ft/s in √m/s


def weir_flow(length: float, head: float) -> float:
    """Flow that falls freely over a sharp level edge from still water, narrowing at both ends [m³/s].

        Q = 1.838 (L - 0.2 h) h^(3/2)

    length  L of the edge [m], three heads at least
    head    h of the water over the edge, well before it [m]

    Within 3 % from h = 0.1 m on; a thin sheet runs up to 5 % faster (both from memory).
    J. B. Francis, Lowell Hydraulic Experiments (1855).
    """
    return FRANCIS * max(length - 0.2 * head, 0.0) * head**1.5


def least_submergence(diameter: float, speed: float) -> float:
    """Water over the middle of a mouth that keeps strong whirls from drawing air into it [m].

        S = D (1 + 2.3 V/√(g D))

    diameter  D of the mouth [m]
    speed     V in it [m/s]

    A rule for pump sumps, ANSI/HI 9.8 (1998); that it counts to the middle of a mouth in a wall is from memory.
    """
    return diameter * (1 + 2.3 * speed / sqrt(GRAVITY * diameter))
