"""The way of jets through water that moves across them."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from flowviz.flow.course import Water, barriers, courses
from flowviz.formulas.jets import turning
from flowviz.grid.grid import Patch

SHAPE, EDGES = (60, 40, 50), (0.02, 0.025, 0.016)  # cells and their edges [m]: a box of 1.2 by 1 by 0.8 m
STEP = 0.02  # along a jet [m]
BORE, SPEED, ACROSS = 0.02, 2.0, 0.2  # [m], [m/s], [m/s]: ten times as fast as the stream
OUTLET = Patch(
    name="jet",
    inflow=True,
    cells=np.array([[30, 20, 0]]),
    share=np.ones(1),
    centre=(0.6, 0.5, 0.0),
    direction=(0.0, 0.0, 1.0),
    normal=(0.0, 0.0, 1.0),
    area=pi * BORE**2 / 4,
    extent=(BORE, BORE),
    round=True,
)


def water(stream: tuple[float, float, float], rock: tuple[slice, ...] = ()) -> Water:
    """A box of water that all goes one way, with rock in it."""
    clear = np.full(SHAPE, True)
    if rock:
        clear[rock] = False
    faces = [np.zeros(np.add(SHAPE, extra)) for extra in np.eye(3, dtype=int)]
    for axis, face in enumerate(faces):
        between, along = np.moveaxis(face, axis, 0), np.moveaxis(clear, axis, 0)
        between[1:-1] = along[1:] & along[:-1]
    return Water(barriers(clear, tuple(faces)), np.array(EDGES), np.where(clear[..., None], np.array(stream), 0.0))


def way(through: Water, outlet: Patch = OUTLET, step: float = STEP, steps: int = 36, ring: float = 0.06) -> np.ndarray:
    """Points (n, 3) of a jet's axis [m]."""
    start = np.array([outlet.centre]), np.array([outlet.direction])
    ((points, ways),) = courses(through, *start, np.array([turning(1.0, BORE, SPEED)]), step, np.full(steps, ring))
    assert np.linalg.norm(ways, axis=-1) == pytest.approx(1.0)
    return points


def test_jet_across_a_stream_goes_as_measured():
    """y/rd = 2.05 (x/rd)^0.28, B. D. Pratte, W. D. Baines, J. Hydraul. Div. ASCE 93 (1967) 53-64; both from memory.

    Between where the jet has yet to develop and where the stream has all but taken it along; 10 %, of the measurements.
    """
    points = way(water((ACROSS, 0.0, 0.0))) - OUTLET.centre
    along, up = points[:, 0] / (SPEED / ACROSS * BORE), points[:, 2] / (SPEED / ACROSS * BORE)
    for x in (0.3, 0.5, 0.7):
        assert np.interp(x, along, up) == pytest.approx(2.05 * x**0.28, rel=0.1)


def test_jet_in_still_water_goes_straight():
    assert way(water((0.0, 0.0, 0.0)))[:, :2] == pytest.approx(np.tile(OUTLET.centre[:2], (37, 1)))


def test_stream_along_a_jet_does_not_turn_it():
    assert way(water((0.0, 0.0, 0.3)))[:, :2] == pytest.approx(np.tile(OUTLET.centre[:2], (37, 1)))


def test_what_a_jet_draws_in_does_not_turn_it_even_beside_a_wall():
    """Water that comes to the axis from all sides but the wall's: exactly as if there were none; to rounding."""
    beside_wall = replace(OUTLET, centre=(0.6, 0.03, 0.0))
    through = water((0.0, 0.0, 0.0))
    x, y = ((np.arange(n) + 0.5) * h for n, h in zip(SHAPE[:2], EDGES[:2], strict=True))
    inward = np.stack(np.meshgrid(0.6 - x, 0.03 - y, indexing="ij"), axis=-1)
    through.velocity[..., :2] = (0.1 * inward / np.linalg.norm(inward, axis=-1, keepdims=True))[:, :, None]
    assert way(through, beside_wall)[:, 1] == pytest.approx(0.03, abs=1e-3)


def test_steps_of_half_the_length_come_out_at_the_same_place():
    """Second order in the step: to a tenth of it, of a way of 0.6 m."""
    once, twice = way(water((ACROSS, 0.0, 0.0))), way(water((ACROSS, 0.0, 0.0)), step=STEP / 2, steps=72)
    assert once[30] == pytest.approx(twice[60], abs=STEP / 10)


def test_jet_ends_where_rock_begins():
    """Rock from 0.4 m up: points a step apart from 0 to 0.38 m."""
    ended = way(water((0.0, 0.0, 0.0), (slice(None), slice(None), slice(25, 30))))
    assert ended[-1, 2] == pytest.approx(0.38)


@pytest.mark.parametrize("layer", range(1, 50, 3))
def test_no_jet_steps_over_a_wall_thinner_than_a_cell(layer):
    """Below a layer of the flattest cells, in steps as long as a dozen of them: it ends in front."""
    through = water((0.0, 0.0, 0.0))
    through.barred[:, :, layer] |= 1 << 2  # shut below
    assert way(through, step=0.2, steps=3)[-1, 2] <= layer * EDGES[2]


@pytest.mark.parametrize("angle", [20, 30, 40, 50, 55])
def test_jet_that_meets_a_wall_aslant_goes_on_along_it(angle):
    """At the surface at 0.8 m it is level, in the last cell below it; exactly."""
    slant = replace(
        OUTLET, centre=(0.0, 0.5, 0.7), direction=(np.cos(np.radians(angle)), 0.0, np.sin(np.radians(angle)))
    )
    points = way(water((0.0, 0.0, 0.0)), slant)
    assert len(points) == 37
    assert np.ptp(points[-10:, 2]) == pytest.approx(0, abs=1e-9)
    assert 0.77 < points[-1, 2] < 0.8 + 1e-9


@pytest.mark.parametrize("angle", [5, 20, 50])
def test_jet_in_a_corner_goes_as_in_the_opposite_one(angle):
    """From either end of the box, 2 mm above the floor that it is aimed at; to rounding."""
    along, down = np.cos(np.radians(angle)), -np.sin(np.radians(angle))
    left = replace(OUTLET, centre=(0.0, 0.002, 0.002), direction=(along, 0.0, down))
    right = replace(OUTLET, centre=(1.2, 0.998, 0.002), direction=(-along, 0.0, down))
    one, other = (way(water((0.0, 0.0, 0.0)), outlet) for outlet in (left, right))
    assert len(one) == 37
    assert one == pytest.approx(other * (-1, -1, 1) + (1.2, 1.0, 0.0), abs=1e-9)


def test_jet_that_meets_a_wall_steeply_ends_there():
    """At 70 degrees, within a step and a half of the surface."""
    steep = replace(OUTLET, centre=(0.0, 0.5, 0.4), direction=(np.cos(np.radians(70)), 0.0, np.sin(np.radians(70))))
    assert 0.77 < way(water((0.0, 0.0, 0.0)), steep)[-1, 2] < 0.8


def test_jets_do_not_change_each_other():
    """Two at once go as each alone, the shorter too."""
    through = water((ACROSS, 0.0, 0.0), (slice(40, 44),))
    other = replace(OUTLET, centre=(0.2, 0.5, 0.0))
    turns = np.full(2, turning(1.0, BORE, SPEED))
    starts, ways = (np.array([getattr(outlet, of) for outlet in (OUTLET, other)]) for of in ("centre", "direction"))
    both = courses(through, starts, ways, turns, STEP, np.full(36, 0.06))
    for (points, _), outlet in zip(both, (OUTLET, other), strict=True):
        assert np.array_equal(points, way(through, outlet))


def test_no_jets_have_no_courses():
    assert courses(water((0.0, 0.0, 0.0)), *np.zeros((2, 0, 3)), np.zeros(0), STEP, np.ones(3)) == []


UPRIGHT, ALONG, SLANTING = np.eye(3)[[2]], np.eye(3)[[0]], np.array([[0.6, 0.0, 0.8]])
PLACE, BORED = (0.51, 0.29, 0.7), np.zeros(3)  # 0.1 m below the surface of 1.2 by 1 by 0.8 m; of a bore
SURFACE, FRONT, ALL = (0, 0, 1, 0.1), (0, -1, 0, 0.29), slice(None)


@pytest.mark.parametrize(
    ("place", "jet", "row", "rock", "wall"),
    [
        (PLACE, ALONG, BORED, (), SURFACE),
        (PLACE, UPRIGHT, BORED, (), FRONT),
        (PLACE, SLANTING, BORED, (), FRONT),
        (PLACE, ALONG, np.array([0.0, 0.0, 1.0]), (), FRONT),
        ((1.1, 0.29, 0.7), UPRIGHT, BORED, (), (1, 0, 0, 0.1)),
        ((0.51, 0.29, 0.81), ALONG, BORED, (), (0, 0, 1, 0)),
        (PLACE, ALONG, BORED, (ALL, ALL, slice(40, 43)), SURFACE),
        (PLACE, ALONG, BORED, (slice(25, 26), slice(11, 12), slice(49, 50)), FRONT),
        ((0.51, 0.8, 0.1), ALONG, BORED, (ALL, ALL, slice(1)), (0, 1, 0, 0.2)),
    ],
    ids=[
        "surface",
        "not where it goes to",
        "nor slants to",
        "not at its slot's end",
        "far end",
        "above the surface",
        "not rock",
        "no side behind rock",
        "nor below sand",
    ],
)
def test_smooth_wall_beside_a_jet(place, jet, row, rock, wall):
    """Its normal and how far it is: exactly."""
    found = water((0.0, 0.0, 0.0), rock).smooth_walls(np.array([place]), jet, row)[0]
    assert found == pytest.approx(wall, abs=1e-9)
