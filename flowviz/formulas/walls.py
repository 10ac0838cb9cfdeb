"""Stress of a turbulent stream on the wall it runs along, and how it mixes there."""

from math import log

VON_KARMAN = 0.41


def smooth_wall(viscosity: float, distance: float) -> float:
    """Wall stress over density and |U|^(7/4), of a smooth wall [(m/s)^(1/4)].

        u*² = (|U| / 8.3)^(7/4) (ν/y)^(1/4), which is u+ = 8.3 y+^(1/7)

    viscosity   ν [m²/s]
    distance    y from the wall at which U is known [m]; y+ from 12 to 1000

    H. Werner, H. Wengle, 8th Symposium on Turbulent Shear Flows, Munich (1991), paper 19-4.
    """
    return 8.3**-1.75 * (viscosity / distance) ** 0.25


def rough_wall(roughness: float, distance: float) -> float:
    """Wall stress over density and |U|², of a fully rough wall [-].

        u* = 0.41 |U| / ln(30 y/ks)

    roughness   ks, equivalent sand grain [m]
    distance    y from the wall at which U is known [m]; taken as at least 0.1 ks, where the law ends

    J. Nikuradse, VDI-Forschungsheft 361 (1933).
    """
    return (VON_KARMAN / log(max(30 * distance / roughness, 3.0))) ** 2


def eddy_viscosity(friction: float, distance: float) -> float:
    """Eddy viscosity beside a wall [m²/s].

        ν_t = 0.41 u* y, with which u*² = ν_t dU/dy is the logarithmic law

    friction    u*, root of the wall's stress over density [m/s]
    distance    y from the wall [m]

    L. Prandtl, Z. Angew. Math. Mech. 5 (1925) 136-139: a mixing length in proportion to the distance; from memory.
    """
    return VON_KARMAN * friction * distance
