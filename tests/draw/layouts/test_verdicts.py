"""Shares before and after: how far their intervals are drawn."""

from types import SimpleNamespace

import numpy as np
import pytest
from matplotlib.collections import LineCollection

from flowviz.comparison.compare import compare
from flowviz.comparison.differences import WRONG
from flowviz.draw.layouts.verdicts import draw_row, verdicts_view
from flowviz.draw.sheets.theme import blank
from flowviz.draw.sheets.wording import BARS
from flowviz.flow.intervals import Doubt, half_width_of_difference
from flowviz.scene.model import Coral
from flowviz.tables.comparison import difference_table


@pytest.mark.parametrize(
    ("share", "drawn"), [(0.01, (0.0, 4.0)), (0.5, (47.0, 53.0)), (0.99, (96.0, 100.0)), (1.0 + 1e-9, (97.0, 100.0))]
)
def test_an_interval_ends_at_none_and_at_all(share, drawn):
    """Three percent either way, cut to what a share can be [%]."""
    axes = blank(8, 4).add_axes((0, 0, 1, 1))
    each = SimpleNamespace(before=share, before_half_width=0.03, after=share, after_half_width=0.03)
    each.verdict = each.outcome = "the same"
    each.subject, each.label = "the water", "dead water"
    draw_row(axes, 0, each, first=True)
    (before, *_) = [found for found in axes.collections if isinstance(found, LineCollection)]
    assert np.array(before.get_segments()[0])[:, 0] == pytest.approx(drawn, abs=1e-6)  # rounding


@pytest.mark.parametrize(
    "name", ["Großpolypige Steinkorallen, gelbgrün schillernd", "MONTIPORA UND ACROPORA AM RIFF", "a"]
)
def test_no_name_leaves_the_page_and_none_reaches_the_verdicts(make, name):
    coral = Coral(name, (0.6, 0.3, 0.35), (0.2, 0.2, 0.05), (0.05, 0.3))
    studies = [make.study(make.scene(corals=(coral,)), lambda x, y, z, c=c: c + 0 * x) for c in (0.02, 0.1)]
    figure = verdicts_view(compare(*studies)).figure
    figure.canvas.draw()
    wide, _ = figure.get_size_inches() * figure.dpi
    names = [text for text in figure.axes[0].texts if text.get_ha() == "right"]
    assert len(names) > 3
    assert all(text.get_window_extent().x0 >= 0 for text in names)
    assert figure.axes[0].get_window_extent().width > 0.2 * wide


def test_of_corals_in_one_of_the_layouts_it_is_told_in_which(make):
    coral = Coral("garden", (0.6, 0.3, 0.35), (0.2, 0.2, 0.05), (0.05, 0.3))
    with_it, without = (make.study(make.scene(corals=corals), make.alive) for corals in ((coral,), ()))
    for pair, word in (((with_it, without), "only before"), ((without, with_it), "only after")):
        told = compare(*pair)
        assert [text.get_text() for text in verdicts_view(told).figure.axes[0].texts].count(word) == 3
        rows = [row for row in difference_table(told).rows if row[0] == "garden"]
        assert {row[-1] for row in rows} == {word}


def test_bars_that_clear_each_other_may_be_too_close_to_call_and_the_picture_says_so(make):
    """Of twelve marches each, two bars end to end: of twenty figures judged at once none is called for so little."""
    doubt = Doubt(0.03, 12, 12.0)
    assert half_width_of_difference(doubt, doubt, WRONG / 20) > 0.03 + 0.03
    figure = verdicts_view(compare(make.study(make.scene(), make.dead), make.study(make.scene(), make.alive))).figure
    assert BARS in " ".join(text.get_text() for text in figure.texts)
