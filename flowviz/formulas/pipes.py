"""Friction in straight round pipes that run full."""

from math import exp, log, log10, pi, sqrt

LAMINAR_END = 2000.0  # Reynolds number below which the flow is taken as laminar [-]
TURBULENT_START = 4000.0  # and above which it is taken as turbulent [-]


def reynolds_number(flow: float, diameter: float, viscosity: float) -> float:
    """Re = 4 Q / (π D ν) [-] of a flow [m³/s] in a pipe of a diameter [m], kinematic viscosity [m²/s]."""
    return 4 * abs(flow) / (pi * diameter * viscosity)


def laminar_friction_factor(reynolds: float) -> float:
    """Darcy friction factor f = 64/Re of laminar flow [-], Re up to 2000.

    Exact for a round pipe: G. Hagen (1839), J. L. M. Poiseuille (1840).
    """
    return 64 / reynolds


def turbulent_friction_factor(reynolds: float, relative_roughness: float) -> float:
    """Darcy friction factor f of turbulent flow [-].

        1/√f = -2 log₁₀[ε/D / 3.7 + 2.51/(Re √f)]

    reynolds            Re [-], 4e3 to 1e8
    relative_roughness  ε/D [-], 0 to 0.05

    Solved to 1e-12 by Newton's method on 1/√f, whose defect is so nearly linear that three steps suffice.
    C. F. Colebrook, J. Inst. Civ. Eng. 11 (1939) 133-156, doi:10.1680/ijoti.1939.13150;
    start: S. E. Haaland, J. Fluids Eng. 105 (1983) 89-90, doi:10.1115/1.3240948.
    """
    rough = relative_roughness / 3.7
    smooth = 2.51 / reynolds
    x = -1.8 * log10(rough**1.11 + 6.9 / reynolds)
    for _ in range(3):
        inside = rough + smooth * x
        x -= (x + 2 * log10(inside)) / (1 + 2 / log(10) * smooth / inside)
    return 1 / (x * x)


def turbulent_friction_slope(reynolds: float, relative_roughness: float, factor: float) -> float:
    """d ln f / d ln Re [-] of the Colebrook friction factor, by differentiating its equation."""
    smooth = 2.51 / reynolds
    share = 2 / log(10) * smooth / (relative_roughness / 3.7 + smooth / sqrt(factor))
    return -2 * share / (1 + share)


def friction(reynolds: float, relative_roughness: float) -> tuple[float, float]:
    """Darcy friction factor f and d ln f / d ln Re [-] at any Re above 0.

    Laminar below Re = 2000, Colebrook above 4000. Between them no law holds, the flow being now one and now the other;
    ln f there is the cubic in ln Re that meets both with value and slope, so that f has no kink or jump anywhere.
    """
    if reynolds <= LAMINAR_END:
        return laminar_friction_factor(reynolds), -1.0
    if reynolds >= TURBULENT_START:
        factor = turbulent_friction_factor(reynolds, relative_roughness)
        return factor, turbulent_friction_slope(reynolds, relative_roughness, factor)
    return _bridge(reynolds, relative_roughness)


def _bridge(reynolds: float, relative_roughness: float) -> tuple[float, float]:
    """f and d ln f / d ln Re between laminar and turbulent flow, by a cubic Hermite polynomial."""
    factor = turbulent_friction_factor(TURBULENT_START, relative_roughness)
    width = log(TURBULENT_START / LAMINAR_END)
    y0, y1 = log(laminar_friction_factor(LAMINAR_END)), log(factor)
    m0, m1 = -width, width * turbulent_friction_slope(TURBULENT_START, relative_roughness, factor)
    t = log(reynolds / LAMINAR_END) / width
    a, b = 2 * (y0 - y1) + m0 + m1, 3 * (y1 - y0) - 2 * m0 - m1
    return exp(((a * t + b) * t + m0) * t + y0), ((3 * a * t + 2 * b) * t + m0) / width
