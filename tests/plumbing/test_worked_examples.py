"""Whole pipelines against the worked examples of a handbook: steel pipe, its fittings, and what drives the water.

Crane Co., Technical Paper 410 (2009), chapter 7; inputs and answers by a published set of solutions of them.
"""

from dataclasses import dataclass

import numpy as np
import pytest

from flowviz.formulas.fittings import (
    FLUSH_ENTRANCE,
    STEEL_ROUGHNESS,
    SUBMERGED_EXIT,
    fully_turbulent_friction_factor,
    sudden_contraction,
    sudden_expansion,
)
from flowviz.formulas.pumps import hydraulic_power
from flowviz.plumbing.catalogue import fitting
from flowviz.plumbing.graph import TANK, Link, Network
from flowviz.plumbing.laws import PipeLaw
from flowviz.plumbing.newton import balance

INCH, FOOT, GALLON_MINUTE, HORSEPOWER = 0.0254, 0.3048, 6.30901964e-5, 745.69987
POUND_FOOT3, CENTIPOISE = 0.45359237 / FOOT**3, 1e-3
TWO, TWO_AND_A_HALF, THREE = 2.067 * INCH, 2.469 * INCH, 3.068 * INCH  # inside, schedule 40


@dataclass(frozen=True)
class Reservoir:
    """Water that stands so high [m] over where it leaves the pipes."""

    head: float

    def loss(self, flow):
        return -self.head, 0.0


def steel(diameter, feet, viscosity, loss):
    return PipeLaw(diameter, feet * FOOT, STEEL_ROUGHNESS, viscosity, loss, loss)


def costs(diameter, **counts):
    """Sum of the loss coefficients of fittings of the catalogue."""
    return sum(count * fitting(name.replace("_", " "), "pipe").loss(diameter) for name, count in counts.items())


def lift_check_valve():
    """K of 2 1/2 in in a 3 in pipe, on the velocity in that: 600 fT (from memory) and both changes of section."""
    ratio = (TWO_AND_A_HALF / THREE) ** 2
    sections = (sudden_contraction(ratio) + sudden_expansion(ratio)) * ratio**0.5
    return (600 * fully_turbulent_friction_factor(TWO_AND_A_HALF) + sections) / ratio**2


def test_power_required_for_pumping():
    """Example 7-15: 100 gpm of 70 °F through 500 ft of 3 in pipe with four elbows, a gate valve and a lift check valve
    of 2 1/2 in, 400 ft up: 421 ft, and 15.2 hp at 70 %. Both are printed to three digits.
    """
    density, flow = 62.298 * POUND_FOOT3, 100 * GALLON_MINUTE
    fittings = costs(THREE, elbow_90=4, gate_valve=1) + lift_check_valve() + SUBMERGED_EXIT
    lost, _ = steel(THREE, 500, 0.95 * CENTIPOISE / density, fittings).loss(flow)
    head = 400 * FOOT + lost
    assert head == pytest.approx(421 * FOOT, abs=1.0 * FOOT)
    assert hydraulic_power(density, flow, head) / 0.70 == pytest.approx(15.2 * HORSEPOWER, abs=0.05 * HORSEPOWER)


def test_flow_from_a_reservoir():
    """Example 7-19: 11.5 ft over a sharp entrance, a mitre bend, a gate valve and 10 ft of 3 in pipe, then a sudden
    contraction and 20 ft of 2 in: 137 gpm. The book rounds the ratio of the diameters, 0.674, to 0.67, which takes 1 %
    off the flow, and its friction factors to two digits, which takes up to 1 % more (both from memory).
    """
    viscosity = 1.1 * CENTIPOISE / (62.364 * POUND_FOOT3)
    wide = steel(THREE, 10, viscosity, FLUSH_ENTRANCE + costs(THREE, mitre_90=1, gate_valve=1))
    narrow = steel(TWO, 20, viscosity, sudden_contraction((TWO / THREE) ** 2) + SUBMERGED_EXIT)
    links = (
        Link("reservoir", TANK, 1, Reservoir(11.5 * FOOT)),
        Link("wide", 1, 2, wide),
        Link("narrow", 2, TANK, narrow),
    )
    found = balance(Network(("below", "reservoir", "joint"), links), np.full(3, 5e-3))
    assert found.flows == pytest.approx(np.full(3, 137 * GALLON_MINUTE), rel=0.02)
