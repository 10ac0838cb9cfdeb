"""How far suction reaches, against the exact point sink."""

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest

from flowviz.assess.reach import suction_reach, suction_reaches
from flowviz.scene.model import Animal, Strainer

SHAPE, EDGE = (30, 41, 41), 0.02
DRAWN = 2e-3  # [m³/s]


@pytest.fixture
def sink(grid_of, field_of):
    """A grid with an intake in the middle of its left end, and the exact point sink in half a space round it."""
    grid = grid_of(SHAPE, EDGE)
    patch = replace(grid.patches[1], cells=np.array([[0, 20, 20]]), centre=(0.0, 0.41, 0.41))
    grid = replace(grid, patches=(grid.patches[0], patch))
    edges = [(np.arange(n + 1) * EDGE, (np.arange(n) + 0.5) * EDGE) for n in SHAPE]
    faces = []
    for axis in range(3):
        rows = [edges[a][0 if a == axis else 1] - patch.centre[a] for a in range(3)]
        x, y, z = np.meshgrid(*rows, indexing="ij")
        r = np.maximum(np.sqrt(x**2 + y**2 + z**2), EDGE)
        faces.append((-DRAWN / (2 * pi * r**3) * (x, y, z)[axis]).astype(np.float32))
    return grid, replace(field_of(np.ones((1, *SHAPE)), grid), u=faces[0], v=faces[1], w=faces[2])


@pytest.mark.parametrize("speed", [0.01, 0.02, 0.05])
def test_reach_of_a_point_sink(sink, speed):
    """|u| = Q/(2π r²) falls to the speed at r = √(Q/(2π speed)); told by whole cells, so to one of them."""
    grid, field = sink
    assert suction_reach(grid.patches[1], None, speed, grid, field) == pytest.approx(
        sqrt(DRAWN / (2 * pi * speed)), abs=EDGE
    )


@pytest.mark.parametrize("axis", [1, 2])
@pytest.mark.parametrize("side", [-1, 1])
def test_water_that_comes_from_the_side_is_drawn_too(sink, axis, side):
    """A current of 0.1 m/s towards the opening along y or z, in a column through it from nine cells away on one side.

    The middle of the ninth cell is 9 x 0.02 m from that of the opening, 0.01 m off the wall; the mouth of 100 cm² has
    a radius of 56 mm, and it is told from its rim. On the other side nothing moves.
    """
    grid, field = sink
    u, v, w = (np.zeros_like(along) for along in (field.u, field.v, field.w))
    along, column = (u, v, w)[axis], [0, 20, 20]
    for step in range(11):
        column[axis] = 20 + side * step + (side < 0)
        along[tuple(column)] = -side * 0.1
    mouth = replace(grid.patches[1], area=0.01)
    found = suction_reach(mouth, None, 0.05, grid, replace(field, u=u, v=v, w=w))
    assert found == pytest.approx(np.hypot(9 * EDGE - sqrt(0.01 / pi), EDGE / 2), abs=EDGE)


def test_it_is_told_from_the_strainers_surface(sink):
    """Its radius comes off beside it, and its length straight before it; what lies within it has no reach."""
    grid, field = sink
    basket = Strainer("basket", 0.1, 0.08, 0.4, 0.003)
    far = sqrt(DRAWN / (2 * pi * 0.01))
    assert suction_reach(grid.patches[1], basket, 0.01, grid, field) == pytest.approx(far - 0.05, abs=EDGE)  # beside it
    assert suction_reach(grid.patches[1], replace(basket, diameter=1.0, length=0.08), 0.01, grid, field) == (
        pytest.approx(far - 0.08, abs=EDGE)
    )
    assert suction_reach(grid.patches[1], replace(basket, diameter=1.0, length=0.5), 0.01, grid, field) == 0.0


def test_a_current_elsewhere_is_no_suction(sink):
    """Water that runs at the intake from the far end, beyond still water."""
    grid, field = sink
    field = replace(field, u=np.where(np.arange(31)[:, None, None] > 25, np.float32(-0.5), field.u))
    far = sqrt(DRAWN / (2 * pi * 0.05))
    assert suction_reach(grid.patches[1], None, 0.05, grid, field) == pytest.approx(far, abs=EDGE)


def test_suction_ends_at_a_plate_thinner_than_the_cells(sink):
    """All water moves at 0.5 m/s straight at the wall: drawn faster than 0.49 is that before the opening alone, up to
    the end of the tank, whose last cells have their middles 0.59 m away, or to the plate after ten cells.
    """
    grid, field = sink
    field = replace(field, u=np.full_like(field.u, -0.5), v=np.zeros_like(field.v), w=np.zeros_like(field.w))
    assert suction_reach(grid.patches[1], None, 0.49, grid, field) == pytest.approx(29.5 * EDGE, abs=EDGE)
    grid.open_x[10] = 0
    assert suction_reach(grid.patches[1], None, 0.49, grid, field) == pytest.approx(9.5 * EDGE, abs=EDGE)


def test_fast_swimmers_are_out_of_reach_everywhere(sink):
    grid, field = sink
    assert suction_reach(grid.patches[1], None, 5.0, grid, field) == 0.0


def test_reaches_by_intake_and_animal(sink, scene_of, make):
    grid, field = sink
    animals = (Animal("goby", 0.03, 0.01, 0.02), Animal("tang", 0.2, 0.05, 0.4))
    drain = make.intake("out", (0.0, 0.41, 0.41), (1.0, 0.0, 0.0), "left")
    found = suction_reaches(scene_of((0.6, 0.82, 0.82), animals=animals, intakes=(drain,)), grid, field)
    assert set(found) == {"out"}
    assert found["out"]["goby"] > found["out"]["tang"]
