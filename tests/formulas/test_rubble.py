"""Drag of stones on seeping water, worked by hand."""

import pytest

from flowviz.formulas.rubble import laminar_drag, lost_head, turbulent_drag


def test_drag_of_a_heap():
    """ε = 0.4, d = 10 mm: 150 × 0.36/(0.064 × 1e-4) = 8.4375e6 per m², 1.75 × 0.6/(0.064 × 0.01) = 1640.625 per m."""
    assert laminar_drag(0.4, 0.01) == pytest.approx(8.4375e6, rel=1e-12)
    assert turbulent_drag(0.4, 0.01) == pytest.approx(1640.625, rel=1e-12)


def test_loss_of_both_and_against_the_flow():
    """At 2 cm/s in water of 1e-6 m²/s: 0.16875 + 0.65625 m/s² (a sum done here)."""
    assert lost_head(0.02, 1e-6, 8.4375e6, 1640.625) == pytest.approx(0.825, rel=1e-12)
    assert lost_head(-0.02, 1e-6, 8.4375e6, 1640.625) == pytest.approx(-0.825, rel=1e-12)
