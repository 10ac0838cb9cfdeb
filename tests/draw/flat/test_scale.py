"""Scale bar and names of the ends: side by side below a wide section, and clear of each other below a narrow one."""

from itertools import combinations

import pytest

from flowviz.draw.flat.scale import draw_ends, draw_scale_bar
from flowviz.draw.sheets.sheet import PAGE, TALLEST, WIDEST, add_picture
from flowviz.draw.sheets.theme import blank


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("axis", [0, 1])
@pytest.mark.parametrize("size", [(0.3, 1.9), (0.4, 1.2), (0.5, 1.0), (0.5, 0.6), (1.2, 0.6), (8.0, 2.5)])  # [m]
def test_neither_name_touches_the_scale_bar(size, axis, system):
    scale = min(WIDEST / size[0], TALLEST / size[1])
    axes = add_picture(blank(PAGE, PAGE), 2.0, 2.0, size, scale)
    bar = draw_scale_bar(axes, size[0], system)
    draw_ends(axes, size[0], axis)
    names = [text.get_window_extent() for text in axes.texts[1:]]
    assert len(names) == 2
    for one, other in combinations((bar, *names), 2):
        assert not one.overlaps(other)
