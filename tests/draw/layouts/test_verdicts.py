"""Shares before and after: how far their intervals are drawn."""

from types import SimpleNamespace

import numpy as np
import pytest
from matplotlib.collections import LineCollection

from flowviz.draw.layouts.verdicts import draw_row
from flowviz.draw.sheets.theme import blank


@pytest.mark.parametrize(
    ("share", "drawn"), [(0.01, (0.0, 4.0)), (0.5, (47.0, 53.0)), (0.99, (96.0, 100.0)), (1.0 + 1e-9, (97.0, 100.0))]
)
def test_an_interval_ends_at_none_and_at_all(share, drawn):
    """Three percent either way, cut to what a share can be [%]."""
    axes = blank(8, 4).add_axes((0, 0, 1, 1))
    each = SimpleNamespace(before=share, before_half_width=0.03, after=share, after_half_width=0.03)
    each.verdict, each.subject, each.label = "the same", "the water", "dead water"
    draw_row(axes, 0, each, first=True)
    (before, *_) = [found for found in axes.collections if isinstance(found, LineCollection)]
    assert np.array(before.get_segments()[0])[:, 0] == pytest.approx(drawn, abs=1e-6)  # rounding
