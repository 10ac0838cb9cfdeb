"""How each kind of link loses or gives head: loss and slope at any flow, forwards and backwards."""

from dataclasses import dataclass
from functools import cached_property
from math import pi, sqrt
from typing import Protocol

from flowviz.formulas.pipes import LAMINAR_END, friction, reynolds_number
from flowviz.formulas.pumps import GRAVITY, curve_slopes, head_on_curve

SHUT = 1e15  # resistance of what is shut [m/(m³/s)]: under 10 m of head 1e-14 m³/s, which no sum notices


class Law(Protocol):
    """The head that a link takes from the water."""

    def loss(self, flow: float) -> tuple[float, float]:
        """Head lost from start to end [m] and its slope [m/(m³/s)] at a flow from start to end [m³/s]."""


def velocity_head(flow: float, area: float) -> float:
    """V²/2g [m] of a flow [m³/s] through an area [m²]."""
    return (flow / area) ** 2 / (2 * GRAVITY)


@dataclass(frozen=True, slots=True)
class Quadratic:
    """A loss that goes with the square of the flow: an opening, a nozzle."""

    forward: float  # head lost over flow squared [m/(m³/s)²]
    backward: float

    def loss(self, flow: float) -> tuple[float, float]:
        """Head lost [m] and its slope [m/(m³/s)]."""
        resistance = self.forward if flow >= 0 else self.backward
        return resistance * flow * abs(flow), 2 * resistance * abs(flow)


@dataclass(frozen=True)
class PipeLaw:
    """A straight pipe with its fittings."""

    diameter: float  # inside [m]
    length: float  # [m]
    roughness: float  # [m]
    viscosity: float  # kinematic [m²/s]
    forward: float  # sum of the fittings' loss coefficients [-]
    backward: float

    @cached_property
    def area(self) -> float:
        """[m²]"""
        return pi / 4 * self.diameter**2

    @cached_property
    def dynamic(self) -> float:
        """Velocity head over flow squared [m/(m³/s)²]."""
        return velocity_head(1.0, self.area)

    @cached_property
    def slope_at_rest(self) -> float:
        """Of the loss to the wall [m/(m³/s)]: Hagen-Poiseuille."""
        return 128 * self.viscosity * self.length / (pi * GRAVITY * self.diameter**4)

    def friction(self, flow: float) -> tuple[float, float]:
        """Head lost to the wall of the straight pipe [m] and its slope [m/(m³/s)]: Darcy-Weisbach."""
        reynolds = reynolds_number(flow, self.diameter, self.viscosity)
        if reynolds <= LAMINAR_END:
            return self.slope_at_rest * flow, self.slope_at_rest
        factor, exponent = friction(reynolds, self.roughness / self.diameter)
        per_flow = factor * self.length / self.diameter * self.dynamic * abs(flow)
        return per_flow * flow, per_flow * (2 + exponent)

    def loss(self, flow: float) -> tuple[float, float]:
        """Head lost [m] and its slope [m/(m³/s)]."""
        head, slope = self.friction(flow)
        per_flow = (self.forward if flow >= 0 else self.backward) * self.dynamic * abs(flow)
        return head + per_flow * flow, slope + 2 * per_flow


@dataclass(frozen=True, slots=True)
class Shut:
    """A link that lets nothing through."""

    def loss(self, flow: float) -> tuple[float, float]:
        """Head lost [m] and its slope [m/(m³/s)]."""
        return SHUT * flow, SHUT


@dataclass(frozen=True, slots=True)
class OneWay:
    """A link with a check valve: its law forwards, shut backwards."""

    law: Law

    def loss(self, flow: float) -> tuple[float, float]:
        """Head lost [m] and its slope [m/(m³/s)]."""
        return self.law.loss(flow) if flow >= 0 else Shut().loss(flow)


@dataclass(frozen=True)
class PumpLaw:
    """A pump at a share of its full speed: the falling curve through its printed points; at rest a passage."""

    curve: tuple[tuple[float, float], ...]  # flow [m³/s], head [m] at full speed
    speed: float  # share of full speed [-]; 0: at rest

    @cached_property
    def flows(self) -> tuple[float, ...]:
        """Of the printed points at full speed [m³/s]."""
        return tuple(flow for flow, _ in self.curve)

    @cached_property
    def heads(self) -> tuple[float, ...]:
        """Of the printed points at full speed [m]."""
        return tuple(head for _, head in self.curve)

    @cached_property
    def slopes(self) -> tuple[float, ...]:
        """At the printed points at full speed [m/(m³/s)]."""
        return curve_slopes(self.flows, self.heads)

    def head(self, flow: float) -> tuple[float, float]:
        """Head given [m] and its slope [m/(m³/s)], by the affinity laws H(Q) = n² H₁(Q/n).

        Outside the printed points the curve goes on as steeply as it leaves them and at least as steeply as the chord
        of the whole curve, so that it falls everywhere: straight before the first, and behind the last bending down as
        the parabola through the last three does. Backwards and beyond the open flow, where other pumps force water
        through, its passages take head besides; at rest that is all there is.
        """
        full, full_slope = self._at_full_speed(flow / self.speed) if self.speed else (0.0, 0.0)
        forced = min(flow, 0.0) + max(flow - self.open_flow, 0.0)
        passed, passed_slope = Quadratic(self.passage, self.passage).loss(forced)
        return full * self.speed**2 - passed, full_slope * self.speed - passed_slope

    @cached_property
    def slopes_outside(self) -> tuple[float, float]:
        """With which the curve goes on before the first and behind the last printed point [m/(m³/s)]."""
        chord = (self.heads[-1] - self.heads[0]) / (self.flows[-1] - self.flows[0])
        return min(self.slopes[0], chord), min(self.slopes[-1], chord)

    @cached_property
    def bend_behind(self) -> float:
        """Second derivative of the curve behind the last printed point, 0 where the last three do not bend down
        [m/(m³/s)²].
        """
        if len(self.flows) < 3:
            return 0.0
        (q0, q1, q2), (h0, h1, h2) = self.flows[-3:], self.heads[-3:]
        return min(2 * ((h2 - h1) / (q2 - q1) - (h1 - h0) / (q1 - q0)) / (q2 - q0), 0.0)

    @property
    def open_flow(self) -> float:
        """Flow against no head [m³/s]; where the printed points stop before, by the curve's continuation."""
        return self.speed * self._full_open_flow

    @cached_property
    def passage(self) -> float:
        """Resistance of the pump at rest [m/(m³/s)²]: that which the affinity laws give to H = H₀ - r Q² at n = 0,
        a parabola through the head against a shut valve and the open flow. A guess for want of data.
        """
        return self._at_full_speed(0.0)[0] / self._full_open_flow**2

    @cached_property
    def _full_open_flow(self) -> float:
        """At full speed [m³/s]."""
        slope, head = self.slopes_outside[1], self.heads[-1]
        return self.flows[-1] + 2 * head / (sqrt(slope**2 - 2 * self.bend_behind * head) - slope)

    def _at_full_speed(self, flow: float) -> tuple[float, float]:
        before, behind = self.slopes_outside
        if flow < self.flows[0]:
            return self.heads[0] + before * (flow - self.flows[0]), before
        if flow > self.flows[-1]:
            beyond, bend = flow - self.flows[-1], self.bend_behind
            return self.heads[-1] + beyond * (behind + bend / 2 * beyond), behind + bend * beyond
        return head_on_curve(flow, self.flows, self.heads, self.slopes)

    def loss(self, flow: float) -> tuple[float, float]:
        """Head lost [m], negative as the pump gives it, and its slope [m/(m³/s)]."""
        head, slope = self.head(flow)
        return -head, -slope
