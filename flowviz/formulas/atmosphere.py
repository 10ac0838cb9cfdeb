"""The air over the water."""


def air_pressure(altitude: float) -> float:
    """Pressure of the air [Pa] at a height above the sea [m], up to 11000 m.

        p = 101325 (1 - 2.25577e-5 z)^5.25588

    Within 0.02 % of the U.S. Standard Atmosphere (COESA 1976) up to 3000 m; weather adds 3 % either way.
    """
    return 101325 * (1 - 2.25577e-5 * altitude) ** 5.25588
