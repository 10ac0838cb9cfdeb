"""Screens and strainers: what they cost in head, how fast water goes through them and how far they reach."""

from math import pi, sqrt

KIRSCHMER = 2.42  # β of sharp-edged rectangular bars [-]


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


def bar_screen(open_share: float) -> float:
    """Loss coefficient K [-] of a clean screen of sharp-edged bars square to the flow, on the velocity before it.

        K = β (s/b)^(4/3),  s/b = (1 - f)/f

    open_share  gap over gap and bar f [-]; bars s, gaps b; s/b from 0.3 to 1

    O. Kirschmer, Mitt. Hydraul. Inst. TH München 1 (1926) 21-41 (formula and β by later citations). Developed for trash
    racks; for slots of millimetres it is unproven.
    """
    return KIRSCHMER * ((1 - open_share) / open_share) ** (4 / 3)


def slot_speed(flow: float, skin: float, open_share: float, fouled: float) -> float:
    """Mean velocity through the slots of a screen [m/s], V = Q/[A f (1 - F)].

    flow [m³/s], skin A [m²], open share f and share F of the slots that is clogged [-]; Wis. Admin. Code NR 111.03.
    """
    return flow / (skin * open_share * (1 - fouled))


def sink_reach(flow: float, speed: float, walls: float) -> float:
    """Distance from a point that draws a flow at which the water comes at a speed [m].

        r = √(Q w/(4π V))

    flow   [m³/s]
    speed  [m/s]
    walls  by how much walls shut in the water around, w [-]: 1 in the open, 2 on a wall, 4 in an edge, 8 in a corner

    Potential flow, exact for a point; in a tank with currents of its own only the share that the intake adds.
    """
    return sqrt(flow * walls / (4 * pi * speed))


def disc_reach(flow: float, speed: float, radius: float) -> float:
    """Distance before the middle of a round screen flush with a wall at which the water comes at a speed [m].

        V/V₀ = 1 - z/√(z² + a²),  V₀ = Q/(π a²)

    flow [m³/s], speed [m/s], radius a [m]; 0 where the water is slower than that everywhere

    Potential flow into a disc that draws evenly, exact on its axis.
    """
    share = 1 - speed * pi * radius**2 / flow
    return radius * share / sqrt(1 - share**2) if share > 0 else 0.0
