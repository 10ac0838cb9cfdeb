"""Loss coefficients of changes of section."""

from itertools import pairwise
from math import log10

STEEL_ROUGHNESS = 45.7e-6  # 0.00015 ft [m]
FLUSH_ENTRANCE = 0.5  # sharp edge flush with the panel [-]: EPANET 2 Users Manual (2000) Table 3.3, within 10 %
INWARD_ENTRANCE = 0.78  # pipe end standing in the water [-]: Crane Co. TP-410 (2009) A-30; authors give 0.7 to 1.0
ROUNDINGS = (0.0, 0.02, 0.04, 0.06, 0.10, 0.15)  # radius over diameter of an entrance that is flush with the panel [-]
ROUNDED_ENTRANCES = (0.5, 0.28, 0.24, 0.15, 0.09, 0.04)  # and what it costs [-]
SUBMERGED_EXIT = 1.0  # into the tank, all velocity head is lost [-]: EPANET 2 Users Manual (2000) Table 3.3


def rounded_entrance(ratio: float) -> float:
    """Loss coefficient K [-] of a pipe that draws from a tank by a rounded edge, on the velocity in the pipe.

    ratio  radius of the rounding over the pipe's diameter [-]

    Straight between the printed points. Crane Co., Technical Paper 410 (2009) A-30; other authors have 1.4 to 3.7 times
    as much.
    """
    for (low, high), (above, below) in zip(pairwise(ROUNDINGS), pairwise(ROUNDED_ENTRANCES), strict=True):
        if ratio <= high:
            return above + (below - above) * (ratio - low) / (high - low)
    return ROUNDED_ENTRANCES[-1]


def sudden_expansion(area_ratio: float) -> float:
    """Loss coefficient K [-] on the velocity in the small pipe, where a pipe widens at once.

        K = (1 - A₁/A₂)²

    area_ratio  small area over large area [-], 0 to 1

    Within 5 % in turbulent flow: J.-C. de Borda (1766) and L. N. M. Carnot (1803), by momentum.
    """
    return (1 - area_ratio) ** 2


def sudden_contraction(area_ratio: float) -> float:
    """Loss coefficient K [-] on the velocity in the small pipe, where a pipe narrows at once.

        K = 0.5 (1 - A₂/A₁)

    area_ratio  small area over large area [-], 0 to 1

    Authors differ by 10 to 30 %. Crane Co., Technical Paper 410 (2009), appendix A.
    """
    return 0.5 * (1 - area_ratio)


def fully_turbulent_friction_factor(diameter: float) -> float:
    """fT [-], the friction factor of steel pipe in full turbulence, which loss coefficients are scaled by.

        fT = 0.25 / log₁₀(ε/D / 3.7)²,  ε = 0.046 mm

    diameter  inside [m]

    Crane Co., Technical Paper 410 (2009), p. A-27 (from memory); the printed values are rounded to 0.001.
    """
    return 0.25 / log10(STEEL_ROUGHNESS / diameter / 3.7) ** 2
