"""How eddies mix what the water carries."""

from math import sqrt

from flowviz.formulas.walls import VON_KARMAN

SCHMIDT = 0.7  # eddy viscosity over eddy diffusivity [-]
STILL = 2.3e-9  # self-diffusion of water at 25 °C [m²/s]


def mixing_length(distance: float, depth: float) -> float:
    """Size of the eddies that mix [m].

        ℓ = min(0.41 y, 0.09 L)

    distance    y to the nearest wall [m]
    depth       L of the layer of water that moves along the wall [m]

    M. P. Escudier (1966), as B. E. Launder and D. B. Spalding have it, Mathematical Models of Turbulence (1972); from
    memory.
    """
    return min(VON_KARMAN * distance, 0.09 * depth)


def eddy_diffusivity(fluctuation: float, length: float) -> float:
    """By which eddies spread what the water carries [m²/s].

        D = 0.55 √k ℓ/0.7 + 2.3e-9,    k = u'²/2

    fluctuation     u', rms of all three components together [m/s]
    length          ℓ, mixing length [m]

    Good to a factor of two.
    S. B. Pope, Turbulent Flows (2000), equation 10.43; turbulent Schmidt number 0.7 (both from memory).
    """
    return 0.55 * sqrt(fluctuation**2 / 2) * length / SCHMIDT + STILL


def faded_when_mixed(fading: float, straight: float) -> float:
    """Share of a fading tracer that leaves the well-mixed part of a tank [-].

        E = m/(m + k),    m = 1 - s

    fading      k, decay rate of the tracer times V/Q [-]
    straight    s, share of the inflow that goes straight to the exit without mixing [-]

    A. Cholette and L. Cloutier, Can. J. Chem. Eng. 37 (1959) 105-112 (from memory).
    """
    mixed = 1 - straight
    return mixed / (mixed + fading)


def straight_share(fading: float, left: float) -> float:
    """Share of the inflow that goes straight to the exit of a tank whose rest is well mixed [-].

        left = s + m²/(m + k), which is m = k (1 - left)/(k - 1 + left),    m = 1 - s

    fading      k, decay rate of a tracer times V/Q [-]
    left        share of the tracer that leaves unfaded [-]; if less than a mixed tank would leave, s is 0

    A. Cholette and L. Cloutier, Can. J. Chem. Eng. 37 (1959) 105-112 (from memory).
    """
    lost = 1 - left
    return max(1 - fading * lost / (fading - lost), 0.0)
