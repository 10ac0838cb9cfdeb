"""Drilled spray bars: pipes with a closed end and a row of equal holes."""

from math import pi, sqrt

from flowviz.formulas.pipes import friction, reynolds_number
from flowviz.formulas.pumps import GRAVITY


def bar_flows(
    end_head: float, holes: int, hole: float, diameter: float, spacing: float, coefficient: float, viscosity: float
) -> tuple[list[float], float]:
    """Flows of the holes of a bar with friction from the closed end to the inlet [m³/s], and total head there [m].

    end_head     total head at the last hole [m]
    holes        their number
    hole         diameter of one [m]
    diameter     of the bar inside [m]
    spacing      from hole to hole, and from the inlet to the first [m]
    coefficient  of discharge of a hole [-]
    viscosity    kinematic [m²/s]

    Each hole is driven by the static head beside it, q = C a √(2 g (H - V²/2g)), V before the hole; total head is
    lost to the smooth wall only, so that what the slowing water regains is regained whole.
    """
    area, pull = pi / 4 * diameter**2, coefficient * pi / 4 * hole**2
    weight = (pull / area) ** 2
    flows, passing, head = [], 0.0, end_head
    for _ in range(holes):
        # The hole before has left H at V²/2g or more, so the root is real and no flow below 0.
        root = sqrt((1 + weight) * 2 * GRAVITY * head * pull**2 - weight * passing**2)
        flows.append((root - weight * passing) / (1 + weight))
        passing += flows[-1]
        if passing > 0:
            factor, _ = friction(reynolds_number(passing, diameter, viscosity), 0.0)
            head += factor * spacing / diameter * (passing / area) ** 2 / (2 * GRAVITY)
    return flows, head
