"""A jet out of a bore of one to two cells, as outlets mostly are in a fine run, near where it leaves."""

import pytest

from flowviz.flow.narrow import TOLD
from flowviz.flow.restore import SEEN
from flowviz.formulas.jets import smeared_speed

CELL = 0.02  # [m]


@pytest.mark.slow
@pytest.mark.parametrize("bore", [1.2, 1.5])
def test_speed_in_the_core(bore, tank, marched, mean):
    """U0 at 3 bores, exactly, and seen in the middles of cells 0.90 and 0.93 of that; 10 % for us.

    Marched alone it came out at 0.73 and 0.82 U0. Reached: 0.90 and 0.96.
    """
    assert bore < TOLD
    wide = 4 * round(5 * bore)
    middle = wide / 2 + 0.5
    jet = mean(marched(tank(bore, (4 * round(6 * bore), wide, wide), (0, middle, middle)), 150, 400, 2))
    point = jet.tank.start + 3 * jet.tank.bore * jet.tank.direction
    seen = smeared_speed(3 * bore * CELL, 0.0, bore * CELL, 1.0, SEEN * CELL)
    assert jet.along(point[None], jet.tank.direction)[0] == pytest.approx(seen, rel=0.1)
