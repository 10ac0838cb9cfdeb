"""A drilled spray bar as an outlet of the network."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import copysign, exp, log, pi

from scipy.optimize import brentq

from flowviz.errors import ConvergenceError
from flowviz.formulas.bars import bar_flows

DRILLED = 0.605  # coefficient of discharge of a hole in a pipe wall [-]: N.J.A.C. 7:9A-9.7, 0.599 to 0.611
LOWEST = 1e-200  # head at the closed end that is looked for [m]
CLOSE = 1e-14  # of that head
NUDGE = 1e-6  # of the flow: step of the numerical slope
SLOW = 0.2  # in the bar, below which the law of its holes tells nothing of what creeps out of them [m/s]


@dataclass(frozen=True, slots=True)
class SprayBar:
    """A pipe with a closed end and a row of equal holes, from its inlet into the tank."""

    diameter: float  # inside [m]
    length: float  # [m]
    holes: int
    hole: float  # diameter of one [m]
    viscosity: float  # kinematic [m²/s]
    coefficient: float = DRILLED

    def loss(self, flow: float) -> tuple[float, float]:
        """Head lost from the inlet to the tank [m] and its slope [m/(m³/s)]; backwards as forwards."""
        if flow == 0:
            return 0.0, 0.0
        head, beyond = self._solved(abs(flow))[1], self._solved(abs(flow) * (1 + NUDGE))[1]
        return copysign(head, flow), (beyond - head) / (abs(flow) * NUDGE)

    def law(self) -> "SprayBar":
        """The bar as a link whose forward way is into the tank."""
        return self

    def losses(self, rate: float) -> Mapping[str, float]:
        """Head lost [m] by part at a flow into the tank [m³/s]."""
        return {"spray bar": abs(self.loss(rate)[0])}

    def flows(self, flow: float) -> tuple[float, ...]:
        """Of the holes from the inlet to the closed end [m³/s], together a flow into the tank [m³/s]."""
        return tuple(reversed(self._solved(flow)[0]))

    def _solved(self, flow: float) -> tuple[list[float], float]:
        """Flows of the holes from the closed end and head at the inlet.

        Slow water is taken to leave as it does where the bar runs at SLOW, under a head as the square of the flow.
        """
        least = SLOW * pi / 4 * self.diameter**2
        if flow >= least:
            return self._found(flow)
        flows, head = self._found(least)
        return [flow / least * each for each in flows], (flow / least) ** 2 * head

    def _found(self, flow: float) -> tuple[list[float], float]:
        """The same of a flow that does not creep, from the head at the closed end that fits it."""
        highest = 1.0
        while sum(self._under(highest)[0]) < flow:
            highest *= 10
        if sum(self._under(LOWEST)[0]) > flow:
            fault = "has so many holes that next to no water comes to the far ones, and their flows are not found"
            raise ConvergenceError("spray bar", fault, "Describe a wider bar, or fewer or smaller holes")
        end = brentq(lambda height: log(sum(self._under(exp(height))[0]) / flow), log(LOWEST), log(highest), xtol=CLOSE)
        return self._under(exp(end))

    def _under(self, end_head: float) -> tuple[list[float], float]:
        """The same under a head at the closed end [m]: the more of it, the more leaves every hole."""
        spacing = self.length / self.holes
        return bar_flows(end_head, self.holes, self.hole, self.diameter, spacing, self.coefficient, self.viscosity)
