"""Fresh and salt water at the pressure of the air: density, viscosity, vapour pressure, heat capacity."""

from math import exp, log, sqrt

PRACTICAL = 35 / 35.16504  # practical salinity [-] of a gram of salt in a kilogram of seawater
T68 = 1.00024  # degrees of the temperature scale of 1968 in one of 1990
ICE = 273.15  # 0 °C [K]


def density(temperature: float, salinity: float) -> float:
    """Density ρ of fresh or salt water [kg/m³].

        ρ = ρ_w + A S + B S^1.5 + C S²

    temperature  [°C], 0 to 40
    salinity     [g/kg], 0 to 42

    Within 0.01 kg/m³ of TEOS-10.
    N. P. Fofonoff and R. C. Millard, UNESCO technical papers in marine science 44 (1983) 17-19, equations 13 and 14;
    S there is practical salinity, t on the scale of 1968.
    """
    t = T68 * temperature
    S = PRACTICAL * salinity
    fresh = 999.842594 + t * (
        6.793952e-2 + t * (-9.095290e-3 + t * (1.001685e-4 + t * (-1.120083e-6 + t * 6.536332e-9)))
    )
    A = 8.24493e-1 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9)))
    B = -5.72466e-3 + t * (1.0227e-4 - t * 1.6546e-6)
    C = 4.8314e-4
    return fresh + S * (A + B * sqrt(S) + C * S)


def viscosity(temperature: float, salinity: float) -> float:
    """Dynamic viscosity μ of fresh or salt water [Pa s].

        μ = μ_w (1 + A S + B S²)

    temperature  t [°C], 0 to 180
    salinity     [g/kg], 0 to 150; S in kg/kg

    Within 1.5 % of the measurements.
    M. H. Sharqawy, J. H. Lienhard and S. M. Zubair, Desalination and Water Treatment 16 (2010) 354-380,
    doi:10.5004/dwt.2010.1079, equations 22 and 23.
    """
    t = temperature
    S = salinity / 1000
    fresh = 4.2844e-5 + 1 / (0.157 * (t + 64.993) ** 2 - 91.296)
    A = 1.541 + 1.998e-2 * t - 9.52e-5 * t**2
    B = 7.974 - 7.561e-2 * t + 4.724e-4 * t**2
    return fresh * (1 + A * S + B * S**2)


def kinematic_viscosity(temperature: float, salinity: float) -> float:
    """Kinematic viscosity ν = μ/ρ of fresh or salt water [m²/s].

    temperature  [°C], 0 to 40
    salinity     [g/kg], 0 to 42

    Within 1.5 %: Sharqawy, Lienhard and Zubair (2010) for μ, UNESCO 44 (1983) for ρ.
    """
    return viscosity(temperature, salinity) / density(temperature, salinity)


def vapour_pressure(temperature: float, salinity: float) -> float:
    """Pressure p_v at which fresh or salt water boils [Pa], absolute.

        ln p_v,w = Σ a_n T^n + a ln T        p_v = p_v,w/[1 + 0.57357 S/(1000 - S)]

    temperature  [°C], 0 to 180; T in K
    salinity     S [g/kg], 0 to 160

    Within 0.1 %.
    R. W. Hyland and A. Wexler, ASHRAE Trans. 89 (1983) 500-519, for fresh water;
    Sharqawy, Lienhard and Zubair (2010), equations 29 and 30, for the salt.
    """
    T = temperature + ICE
    powers = 1.3914993 - 5.8002206e3 / T + T * (-4.8640239e-2 + T * (4.1764768e-5 - T * 1.4452093e-8))
    fresh = exp(powers + 6.5459673 * log(T))
    return fresh / (1 + 0.57357 * salinity / (1000 - salinity))


def heat_capacity(temperature: float, salinity: float) -> float:
    """Heat capacity c_p of fresh or salt water [J/(kg K)].

        c_p = -T ∂²g/∂T², g the Gibbs function of TEOS-10, with x = √(salinity/40.188617), y = temperature/40

    temperature  [°C], -6 to 40; T in K
    salinity     [g/kg], 0 to 42

    TEOS-10 itself: IOC, SCOR and IAPSO, The international thermodynamic equation of seawater 2010, appendices G and H;
    R. Feistel, Deep-Sea Research I 55 (2008) 1639-1671, doi:10.1016/j.dsr.2008.07.004.
    """
    x = sqrt(salinity / 40.188617142857142)
    y = temperature / 40
    fresh = -24715.571866078 + y * (
        4420.4472249096725
        + y * (-1778.231237203896 + y * (1160.5182516851419 + y * (-569.531539542516 + y * 128.13429152494615)))
    )
    x2 = 1760.062705994408 + y * (
        -1351.605895580406 + y * (1097.1125373015109 + y * (-433.20648175062206 + y * 63.905091254154904))
    )
    x3 = -86.1329351956084 + y * (-60.136422517125 + y * 10.50720794170734)
    x4 = -137.1145018408982 + y * (296.20061691375236 + y * (-205.67709290374563 + y * 49.9394019139016))
    return -(ICE + temperature) * (fresh + x**2 * (x2 + x * (x3 + x * x4))) / 40**2
