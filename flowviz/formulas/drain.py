"""Water that leaves through a hole, and the time a tank takes to drain by it."""

from math import sqrt

from flowviz.formulas.pumps import GRAVITY

# Discharge coefficients [-]: W. C. Unwin, Hydraulics, Encyclopaedia Britannica 14 (1911), with 0.62 and, in § 49, 0.82.
SHARP_EDGE = 0.61  # of a sharp-edged hole; later books have 0.60 to 0.61
SHORT_TUBE = 0.82  # of a pipe of two or three bores that runs full


def hole_flow(coefficient: float, area: float, head: float) -> float:
    """Flow through a hole under a head of water [m³/s], Q = C a √(2 g h).

    coefficient C [-], area a [m²], head h over the hole's middle [m], 5 diameters at least; E. Torricelli (1644).
    """
    return coefficient * area * sqrt(2 * GRAVITY * head)


def drain_time(tank_area: float, coefficient: float, hole_area: float, high: float, low: float) -> float:
    """Time in which a tank with upright walls drains from one head over a hole to a lower one [s].

        t = 2 A (√h₁ - √h₂)/(C a √(2 g))

    tank_area A [m²], coefficient C [-], hole_area a [m²], high h₁ and low h₂ [m]

    From Torricelli's law and A dh = -Q dt.
    """
    return 2 * tank_area * (sqrt(high) - sqrt(low)) / (coefficient * hole_area * sqrt(2 * GRAVITY))
