"""Shapes of openings against a lattice of points in their own plane: what each tells of itself must agree."""

from math import prod

import numpy as np
import pytest

from flowviz.scene.apertures import Bore, Slot, widths

POINTS = 400  # along each side of the box round a shape: even, so that the middle lies between two
LATTICE = 1 / POINTS  # what counting is off by [-]: at most half a cell at each end of a row
SHAPES = pytest.mark.parametrize("shape", [Bore(0.05), Slot(0.12, 0.03), Slot(0.02, 0.2)], ids=str)


def lattice(shape) -> tuple[np.ndarray, np.ndarray]:
    """How far across and up (n,) the middles of all cells of the box round a shape lie [m]."""
    steps = (np.arange(POINTS) + 0.5) / POINTS - 0.5
    return tuple(part.ravel() for part in np.meshgrid(*(edge * steps for edge in shape.extent)))


@SHAPES
def test_the_area_is_that_of_the_places_it_holds(shape):
    share = shape.holds(*lattice(shape)).mean()
    assert shape.area == pytest.approx(share * prod(shape.extent), rel=LATTICE)


@SHAPES
@pytest.mark.parametrize("height", [-1.0, -0.7, -0.1, 0.0, 0.5, 1.0])
def test_the_share_below_a_height_is_that_of_the_places_below(shape, height):
    across, up = lattice(shape)
    held = up[shape.holds(across, up)]
    assert shape.share_below(height) == pytest.approx((held < height * shape.extent[1] / 2).mean(), abs=LATTICE)


@SHAPES
def test_the_nearest_place_in_it_is_that_of_all_it_holds(shape):
    """From its corners, beyond them, its middle and one side; counting is off by a cell of the lattice."""
    places = np.column_stack(lattice(shape))[shape.holds(*lattice(shape))]
    for across, up in (*(1.5 * shape.outline()), *shape.outline(), (0.0, 0.0), (shape.extent[0], 0.0)):
        found = shape.nearest(across, up)
        least = np.hypot(*(places - (across, up)).T).min()
        assert shape.holds(*(0.999 * np.array(found)))
        assert np.hypot(found[0] - across, found[1] - up) == pytest.approx(least, abs=2 * LATTICE * max(shape.extent))


@SHAPES
def test_the_outline_runs_along_the_edge_and_as_far_as_it_goes(shape):
    corners = shape.outline()
    across, up = corners.T
    assert shape.holds(*(0.999 * corners.T)).all()
    assert not shape.holds(*(1.001 * corners.T)).any()
    assert np.ptp(corners, axis=0) == pytest.approx(shape.extent)
    turns = across * np.roll(up, -1) - up * np.roll(across, -1)
    assert (turns > 0).all()  # each corner further round than the last, from across towards up


def test_a_round_opening_is_told_by_one_width():
    assert widths(Bore(0.05)) == (0.05,)
    assert widths(Slot(0.12, 0.03)) == (0.12, 0.03)
