"""The driven cavity: a square box whose lid slides, published to be computed anew.

It holds advection, laminar stress and walls of no slip against a known answer, in all three planes of the grid.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest

from flowviz.flow.march import March
from flowviz.flow.momentum import LAMINAR
from flowviz.flow.velocity import still
from flowviz.flow.walls import SLIP, STILL, Side, Walls

CELLS = 64
PLANES = {"xz": (0, 2), "yx": (1, 0), "zy": (2, 1)}  # the axis along the lid, and the one across


@dataclass(frozen=True)
class Cavity:
    """Steady velocities on the two middle lines, over that of the lid, from wall to wall."""

    places: np.ndarray  # over the side
    u: np.ndarray  # along the lid, on the line across
    v: np.ndarray  # across, on the line along the lid


@pytest.fixture(scope="module")
def cavity(box):
    """Solves the cavity in one of the planes."""

    @cache
    def solve(reynolds: float, plane: str) -> Cavity:
        along, across = PLANES[plane]
        shape, sides = [CELLS, CELLS, CELLS], [(STILL, STILL)] * 3
        thin = 3 - along - across
        shape[thin], sides[thin] = 1, (SLIP, SLIP)
        sides[across] = STILL, Side("still", tuple(1.0 * (axis == along) for axis in range(3)))
        grid = box(tuple(shape), (1 / CELLS,) * 3)
        march = March(grid, {}, 1 / reynolds, Walls(*sides), LAMINAR, still(grid), 0)
        while march.time < 20 + reynolds / 25:  # half as long again changes 0.0014 at most
            march.step()
        u, v = (middle_line(march.velocity[axis], axis, other) for axis, other in ((along, across), (across, along)))
        places = np.concatenate(([0], (np.arange(CELLS) + 0.5) / CELLS, [1]))
        return Cavity(places, np.concatenate(([0], u, [1])), np.concatenate(([0], v, [0])))

    return solve


def middle_line(along: np.ndarray, axis: int, other: int) -> np.ndarray:
    """Values on the middle plane across an axis, along another axis."""
    middle = np.take(along, CELLS // 2, axis)
    return middle.reshape(CELLS)


@pytest.mark.parametrize(("reynolds", "plane"), [(100, "xz"), (400, "yx"), (1000, "zy")])
def test_driven_cavity(reynolds, plane, cavity, published):
    """Within 0.015 of the lid's speed: ours on 64 cells, and up to 0.010 the print's own."""
    ours = cavity(reynolds, plane)
    for letter, place, speeds in (("u", "y", ours.u), ("v", "x", ours.v)):
        rows = [row for row in published(f"ghia_1982_{letter}.csv") if row[f"{letter}_re_{reynolds}"]]
        places, printed = (np.array([float(row[key]) for row in rows]) for key in (place, f"{letter}_re_{reynolds}"))
        assert np.interp(places, ours.places, speeds) == pytest.approx(printed, abs=0.015)


def test_extremes_of_the_driven_cavity(cavity):
    """O. Botella, R. Peyret, Computers & Fluids 27 (1998) 421-433, Re 100, from memory; 1 % is ours on 64 cells."""
    ours = cavity(100, "xz")
    assert ours.u.min() == pytest.approx(-0.2140, rel=0.01)
    assert ours.v.max() == pytest.approx(0.1796, rel=0.01)
    assert ours.v.min() == pytest.approx(-0.2538, rel=0.01)
