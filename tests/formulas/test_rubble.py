"""Drag of stones on seeping water, worked by hand."""

import pytest

from flowviz.formulas.rubble import laminar_drag, turbulent_drag


def test_drag_of_a_heap():
    """ε = 0.4, d = 10 mm: 150 × 0.36/(0.064 × 1e-4) = 8.4375e6 per m², 1.75 × 0.6/(0.064 × 0.01) = 1640.625 per m."""
    assert laminar_drag(0.4, 0.01) == pytest.approx(8.4375e6, rel=1e-12)
    assert turbulent_drag(0.4, 0.01) == pytest.approx(1640.625, rel=1e-12)
