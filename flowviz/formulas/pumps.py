"""What a pump gives: head curves through printed points, speed, power, suction."""

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise

GRAVITY = 9.80665  # standard acceleration of free fall [m/s²]


def curve_slopes(flows: Sequence[float], heads: Sequence[float]) -> tuple[float, ...]:
    """Slopes dH/dQ [m/(m³/s)] at the printed points of a falling curve, such that the cubic between them falls too.

    flows  rising [m³/s], two at least
    heads  falling [m]

    Inside, the weighted harmonic mean of the neighbouring chords; at the ends a three-point formula, limited.
    F. N. Fritsch, J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300-304, doi:10.1137/0905021;
    F. N. Fritsch, R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246, doi:10.1137/0717021.
    """
    steps = [right - left for left, right in pairwise(flows)]
    chords = [(b - a) / step for (a, b), step in zip(pairwise(heads), steps, strict=True)]
    if len(chords) == 1:
        return (chords[0], chords[0])
    inner = [_inner_slope(*h, *d) for h, d in zip(pairwise(steps), pairwise(chords), strict=True)]
    first = _end_slope(steps[0], steps[1], chords[0], chords[1])
    last = _end_slope(steps[-1], steps[-2], chords[-1], chords[-2])
    return (first, *inner, last)


def _inner_slope(h0: float, h1: float, d0: float, d1: float) -> float:
    """Weighted harmonic mean of two falling chords."""
    w0, w1 = 2 * h1 + h0, h1 + 2 * h0
    return (w0 + w1) / (w0 / d0 + w1 / d1)


def _end_slope(h0: float, h1: float, d0: float, d1: float) -> float:
    """Three-point slope at the end beside chord d0, limited so that the curve keeps falling.

    It is less than twice as steep as that chord, so that the limit of three times never acts on a falling curve.
    """
    return min(((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1), 0.0)


def head_on_curve(
    flow: float, flows: Sequence[float], heads: Sequence[float], slopes: Sequence[float]
) -> tuple[float, float]:
    """Head [m] and slope dH/dQ [m/(m³/s)] at a flow [m³/s] between the first and the last printed point.

    Cubic Hermite polynomial of values and slopes (from curve_slopes) on each interval.
    """
    i = min(max(bisect_right(flows, flow) - 1, 0), len(flows) - 2)
    h = flows[i + 1] - flows[i]
    t = (flow - flows[i]) / h
    rise = heads[i + 1] - heads[i]
    m0, m1 = slopes[i] * h, slopes[i + 1] * h
    a, b = m0 + m1 - 2 * rise, 3 * rise - 2 * m0 - m1
    return heads[i] + t * (m0 + t * (b + t * a)), (m0 + t * (2 * b + t * 3 * a)) / h


def at_speed(flow: float, head: float, power: float, speed: float) -> tuple[float, float, float]:
    """Flow [m³/s], head [m] and power [W] of a point of a pump's curve when it turns at a share of its full speed [-].

        Q ∝ n, H ∝ n², P ∝ n³ (affinity laws; same impeller, same efficiency)

    Good near full speed; below about half speed real pumps lose efficiency that the laws do not show.
    DOE-HDBK-1012/3-92, Fluid Flow, HT-03, p. 50.
    """
    return flow * speed, head * speed**2, power * speed**3


def hydraulic_power(density: float, flow: float, head: float) -> float:
    """Power that the water takes up, ρ g Q H [W]; density [kg/m³], flow [m³/s], head [m]. Definition."""
    return density * GRAVITY * flow * head


def npsh_available(air: float, vapour: float, density: float, level: float, loss: float) -> float:
    """Net positive suction head at a pump [m].

        NPSH = (p_air - p_vapour)/(ρ g) + z - h

    air      pressure of the air on the water [Pa]
    vapour   vapour pressure of the water [Pa]
    density  [kg/m³]
    level    water surface above the pump, z [m]
    loss     head lost on the way to the pump, h [m]

    Crane Co., Technical Paper 410 (2009), example 7-32.
    """
    return (air - vapour) / (density * GRAVITY) + level - loss
