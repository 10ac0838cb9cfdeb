"""What is known of a turbulent velocity from its mean and its scatter, and of the motion that cells do not carry."""

from math import erf, exp, pi, sqrt

SUBGRID = 0.1  # viscosity over length and root of energy: J. W. Deardorff, Boundary-Layer Meteorol. 18 (1980) 495-527


def mean_magnitude(speed: float, rms: float) -> float:
    """Time-mean of |u|, of a velocity that scatters normally, and alike in all directions, about its mean [m/s].

        s √(2/π) exp(-U²/2s²) + (U + s²/U) erf(U/√2s),    s = rms/√3

    speed    U of the mean velocity [m/s]
    rms      √(u'² + v'² + w'²) [m/s]

    Exact (the mean of a noncentral chi distribution of three degrees of freedom). Large motions that come and go
    scatter otherwise, and bring up to a tenth more.
    """
    scatter = rms / sqrt(3)
    if speed <= 1e-3 * scatter:
        return 2 * scatter * sqrt(2 / pi)
    if scatter < 1e-3 * speed:
        return speed
    ratio = speed / scatter
    return scatter * (sqrt(2 / pi) * exp(-(ratio**2) / 2) + (ratio + 1 / ratio) * erf(ratio / sqrt(2)))


def subgrid_rms(viscosity: float, width: float) -> float:
    """Rms √(u'² + v'² + w'²) of the motion that cells do not carry [m/s].

        √(2 k),    ν_t = 0.1 Δ √k

    viscosity    ν_t of that motion [m²/s]
    width        Δ of a cell [m]

    J. W. Deardorff, Boundary-Layer Meteorol. 18 (1980) 495-527, without stratification.
    """
    return sqrt(2) * viscosity / (SUBGRID * width)
