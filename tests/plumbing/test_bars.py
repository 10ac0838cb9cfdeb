"""Nozzles and spray bars as outlets of a network."""

from math import pi, sqrt

import numpy as np
import pytest

from flowviz.plumbing.bars import SprayBar
from flowviz.plumbing.graph import TANK, Link, Network
from flowviz.plumbing.laws import PipeLaw, PumpLaw
from flowviz.plumbing.mouths import nozzle
from flowviz.plumbing.newton import balance

BAR = SprayBar(0.0261, 1.0, 20, 0.0041, 1e-6)


def test_nozzle_by_its_definition():
    """Q = C a √(2 g H), a sum done here."""
    flow = 0.97 * pi / 4 * 0.02**2 * sqrt(2 * 9.80665 * 1.5)
    assert nozzle(0.02, 0.97).loss(flow)[0] == pytest.approx(1.5)


def test_holes_share_the_flow():
    assert sum(BAR.flows(5e-4)) == pytest.approx(5e-4, rel=1e-12)
    assert 0.9 < BAR.evenness(5e-4) < 1.0


@pytest.mark.parametrize("flow", [1e-5, 1e-4, 5e-4, -5e-4])
def test_slope_is_the_derivative(flow):
    """Against a central difference ten times as wide."""
    step = 1e-5 * flow
    difference = (BAR.loss(flow + step)[0] - BAR.loss(flow - step)[0]) / (2 * step)
    assert BAR.loss(flow)[1] == pytest.approx(difference, rel=1e-4)


def test_bar_and_nozzle_on_one_pump():
    """A pump feeds a bar and a nozzle: heads at their inlets agree with their laws, the flows add up."""
    pipe = PipeLaw(0.03, 2.0, 1.5e-6, 1e-6, 2.0, 2.0)
    pump = PumpLaw(((0.0, 5.0), (1e-3, 3.0), (2e-3, 0.0)), 1.0)
    jet = nozzle(0.01, 0.97)
    links = (
        Link("pump", TANK, 1, pump),
        Link("to bar", 1, 2, pipe),
        Link("bar", 2, TANK, BAR),
        Link("nozzle", 1, TANK, jet),
    )
    state = balance(Network(("tank", "behind", "bar"), links), np.full(4, 5e-4))
    assert state.flows[0] == pytest.approx(state.flows[2] + state.flows[3], rel=1e-12)
    assert state.heads[2] == pytest.approx(BAR.loss(state.flows[2])[0], rel=1e-9)
    assert state.heads[1] == pytest.approx(jet.loss(state.flows[3])[0], rel=1e-9)
