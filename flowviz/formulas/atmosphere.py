"""The air over the water: its pressure, and that of the vapour."""

from math import exp, log


def air_pressure(altitude: float) -> float:
    """Pressure of the air [Pa] at a height above the sea [m], up to 11000 m.

        p = 101325 (1 - 2.25577e-5 z)^5.25588

    Within 0.02 % of the U.S. Standard Atmosphere (COESA 1976) up to 3000 m; weather adds 3 % either way.
    """
    return 101325 * (1 - 2.25577e-5 * altitude) ** 5.25588


def vapour_pressure(temperature: float, salinity: float) -> float:
    """Vapour pressure of water [Pa] at a temperature [°C], 0 to 200, and a salinity [g/kg], 0 to 160.

    Pure water: R. W. Hyland, A. Wexler, ASHRAE Trans. 89 (1983) 500-519. Salt, by Raoult's law within 0.1 %:
    M. H. Sharqawy, J. H. Lienhard, S. M. Zubair, Desalin. Water Treat. 16 (2010) 354-380, doi:10.5004/dwt.2010.1079.
    Coefficients from memory; they give the 3106 Pa of R. F. Weiss, B. A. Price, Mar. Chem. 8 (1980) 347-359, at 25 °C
    and salinity 35 within 0.1 %.
    """
    T = temperature + 273.15
    terms = -5800.2206 / T + 1.3914993 - 0.048640239 * T + 4.1764768e-5 * T**2 - 1.4452093e-8 * T**3
    pure = exp(terms + 6.5459673 * log(T))
    return pure / (1 + 0.57357 * salinity / (1000 - salinity))
