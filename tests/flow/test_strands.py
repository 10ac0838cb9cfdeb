"""The parts that a long slot's jet is followed in."""

from dataclasses import replace
from math import inf

import numpy as np
import pytest

from flowviz.flow.restoring.strands import PART, strands
from flowviz.grid.grid import Patch

CELL = 0.04  # that the jet was marched on [m]
SLOT = Patch(
    name="slot",
    inflow=True,
    cells=np.zeros((1, 3), int),
    share=np.ones(1),
    centre=(0.0, 0.5, 0.3),
    direction=(1.0, 0.0, 0.0),
    normal=(1.0, 0.0, 0.0),
    area=0.4 * 0.01,
    extent=(0.4, 0.01),
    round=False,
)
AHEAD = np.array([[1.0, 0.0, 0.0]])


def test_long_slot_is_parted_evenly():
    """0.4 m in as many parts as PART cells go into it; exactly alike about its middle, which lies along y."""
    parts = strands(SLOT, CELL)
    each = 0.4 / round(0.4 / (PART * CELL))
    starts = np.array([strand.start for strand in parts])
    assert np.diff(starts, axis=0) == pytest.approx(np.tile([0.0, each, 0.0], (len(parts) - 1, 1)), abs=1e-12)
    assert starts.mean(axis=0) == pytest.approx(SLOT.centre, abs=1e-12)


@pytest.mark.parametrize("aslant", [0.0, 30.0, -60.0])
def test_parts_give_all_of_the_jet_together(aslant):
    """Their shares sum to 1 everywhere along the slot and past its ends, however the way leans; to rounding."""
    way = np.array([[np.cos(np.radians(aslant)), np.sin(np.radians(aslant)), 0.0]])
    places = np.linspace(0.2, 0.8, 61)  # along y
    total = np.zeros(61)
    for strand in strands(SLOT, CELL):
        rows, ((_, low, high),) = strand.across(way)
        off = (places - strand.start[1]) * rows[0, 1]
        total += np.maximum(1 - np.maximum(off * high, -off * low), 0)
    assert total == pytest.approx(1, abs=1e-9)


@pytest.mark.parametrize("outlet", [replace(SLOT, extent=(0.4, 0.4), round=True), replace(SLOT, extent=(0.05, 0.01))])
def test_bore_and_short_slot_are_followed_from_their_middle(outlet):
    (strand,) = strands(outlet, CELL)
    assert strand.start == pytest.approx(SLOT.centre, abs=0)
    assert (strand.low, strand.high) == (inf, inf)
    assert strand.across(AHEAD)[1].tolist() == [[0.0, 0.0, 0.0]]
