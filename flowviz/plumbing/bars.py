"""A drilled spray bar as an outlet of the network."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import copysign

from flowviz.formulas.bars import bar_flows

DRILLED = 0.605  # coefficient of discharge of a hole in a pipe wall [-]: N.J.A.C. 7:9A-9.7, 0.599 to 0.611
ROUNDS = 50
CLOSE = 1e-13  # of the flow
NUDGE = 1e-6  # of the flow: step of the numerical slope


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
        """Flows of the holes from the closed end and head at the inlet, by raising the head at the end to fit the
        flow.
        """
        spacing, end_head = self.length / self.holes, 1.0
        for _ in range(ROUNDS):
            flows, head = bar_flows(
                end_head, self.holes, self.hole, self.diameter, spacing, self.coefficient, self.viscosity
            )
            short = flow / sum(flows)
            if abs(short - 1) < CLOSE:
                break
            end_head *= short**2
        return flows, head
