"""What walls take from the water along them, and what it hands on beside them."""

from math import log

import numpy as np
import pytest

from flowviz.flow.velocity import still
from flowviz.flow.walls import GLASS, SLIP, Friction, Walls
from flowviz.formulas.walls import smooth_wall

SHAPE, CELL, VISCOSITY, FRICTION = (6, 6, 6), 0.02, 1e-6, 0.01  # cells, [m], [m²/s], u* [m/s]
SIDES = [(axis, upper) for axis in range(3) for upper in (False, True)]


@pytest.fixture
def beside(box):
    """What layers of water along an axis change by [m/s²], from the first one along the glass at one side of a box."""

    def at(axis: int, across: int, upper: bool, layers: np.ndarray) -> np.ndarray:
        grid, sides = box(SHAPE, (CELL,) * 3), [[SLIP, SLIP] for _ in range(3)]
        sides[across][upper] = GLASS
        velocity, moved = still(grid), still(grid)
        velocity[axis][...] = np.moveaxis((layers[::-1] if upper else layers)[:, None, None], 0, across)
        Friction(grid, VISCOSITY, Walls(*map(tuple, sides))).act(0, SHAPE[0], velocity, 1.0, moved)
        middle = [3, 3, 3]
        middle[across] = slice(None, None, -1 if upper else 1)
        assert all(not np.any(moved[other]) for other in range(3) if other != axis)
        return moved[axis][tuple(middle)]

    return at


WAYS = [(axis, across, upper) for axis in range(3) for across, upper in SIDES if across != axis]


@pytest.mark.parametrize(("axis", "across", "upper"), WAYS)
def test_a_stream_with_one_speed_is_only_held(axis, across, upper, beside):
    """By the stress of the wall's law on the first layer, exact but for single precision; there is nothing to mix."""
    change = beside(axis, across, upper, np.full(6, 0.3))
    assert change[0] == pytest.approx(-smooth_wall(VISCOSITY, CELL / 2) * 0.3**1.75 / CELL, rel=1e-5)
    assert not change[1:].any()


@pytest.mark.parametrize(("axis", "across", "upper"), WAYS)
def test_the_logarithmic_law_is_kept(axis, across, upper, beside):
    """What mixing hands to the first layer is what the wall takes from it, ln 3 times: exact but for single precision.

    U = u*/0.41 ln y + c, whose stress is u*² at every distance; from the middle of one layer to the next, three times
    as far, U grows by u*/0.41 ln 3.
    """
    places = (np.arange(6) + 0.5) * CELL
    first = (FRICTION**2 / smooth_wall(VISCOSITY, CELL / 2)) ** (4 / 7)
    change = beside(axis, across, upper, first + FRICTION / 0.41 * np.log(places / places[0]))
    assert -change[1] * CELL == pytest.approx(log(3) * FRICTION**2, rel=1e-4)
    assert (change[0] + change[1]) * CELL == pytest.approx(-(FRICTION**2), rel=1e-4)
    assert not change[2:].any()
