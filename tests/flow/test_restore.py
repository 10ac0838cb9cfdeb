"""Jets given back to a field that was marched on larger cells, in an empty box and behind a wall."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest

from flowviz.flow.field import Field, Quality
from flowviz.flow.narrow import TOLD
from flowviz.flow.restore import ALONE, EACH, SEEN, SMEAR, restore
from flowviz.flow.restoring.kernels import FADED, LOST, MOST, PAST, REACH
from flowviz.formulas.jets import INTENSITY, SPREAD, smeared_flat_speed, smeared_speed, turning
from flowviz.formulas.turbulence import mean_magnitude
from flowviz.grid.grid import Grid, Kind, Patch, Vector

SHAPE, EDGES = (64, 40, 40), (0.02, 0.024, 0.017)  # cells and their edges [m]
LARGE = (32, 20, 20), (0.04, 0.048, 0.034)  # of those it was marched on
EDGE, MIDDLE_Y, MIDDLE_Z = EDGES[0], 0.48, 0.34  # along the jet, and where its axis is [m]
BORE, RATE = 0.03, 1.5e-3  # [m], [m³/s]
OUTLET = Patch(
    name="jet",
    inflow=True,
    cells=np.array([[0, 19, 19], [0, 19, 20], [0, 20, 19], [0, 20, 20]]),
    share=np.full(4, 0.25),
    centre=(0.0, MIDDLE_Y, MIDDLE_Z),
    direction=(1.0, 0.0, 0.0),
    normal=(1.0, 0.0, 0.0),
    area=pi * BORE**2 / 4,
    extent=(BORE, BORE),
    round=True,
)
SPEED = RATE / OUTLET.area


def box(wall_at: int | None = None, shape=SHAPE, edges: Vector = EDGES, outlet: Patch = OUTLET) -> Grid:
    """An empty box with an outlet in the middle of its left end, and a wall across it."""
    kind = np.full(shape, Kind.WATER, np.uint8)
    if wall_at is not None:
        kind[wall_at] = Kind.ROCK
    water = (kind == Kind.WATER).astype(np.float32)
    faces = [np.zeros(np.add(shape, extra), np.float32) for extra in np.eye(3, dtype=int)]
    faces[0][1:-1] = water[1:] * water[:-1]
    faces[1][:, 1:-1] = water[:, 1:] * water[:, :-1]
    faces[2][:, :, 1:-1] = water[:, :, 1:] * water[:, :, :-1]
    return Grid(edges, kind, water, *faces, (outlet,), (), np.zeros(shape, bool))


MARCHED = box(None, *LARGE, replace(OUTLET, cells=np.array([[0, 10, 10]]), share=np.ones(1)))
CELL, LARGE_CELL = (np.prod(edges) ** (1 / 3) for edges in (EDGES, LARGE[1]))  # of cubes as large [m]
WIDE, THIN = SMEAR * LARGE_CELL, SEEN * CELL
NEXT = np.hypot(EDGES[1] / 2, EDGES[2] / 2)  # from the axis to the middles of the cells beside it [m]


def smeared(grid: Grid, image: float = np.inf) -> Field:
    """The field that marched cells make of the jet, by the law itself, without fluctuation.

    image    where across y its image behind a wall has its axis [m]
    """
    x, y, z = np.meshgrid(*grid.centres(), indexing="ij")
    law = speeds(x, y, z, grid.patches[0].centre, image, WIDE)
    u, v, w = (np.zeros_like(share) for share in grid.shares)
    u[1:-1] = (law[1:] + law[:-1]) / 2 * (grid.open_x[1:-1] > 0)
    speed = np.where(grid.water, (u[1:] + u[:-1]) / 2, 0).astype(np.float32)
    return Field(u, v, w, speed, np.zeros_like(speed), np.stack([speed] * 8), Quality(0.0, 1, 1.0, 1.0, steady=False))


def speeds(x, y, z, centre: Vector, image: float, smear: float) -> np.ndarray:
    """Of a jet along x and of its image, at places: the root of the sum of their squares [m/s]."""
    offs = (np.hypot(y - middle, z - centre[2]) for middle in (centre[1], image))
    return np.hypot(*(np.vectorize(smeared_speed)(x, off, BORE, SPEED, smear) for off in offs))


def restored(grid: Grid, subgrid: float = 0.0) -> Field:
    return restore(smeared(grid), grid, MARCHED, {"jet": RATE}, np.full(SHAPE, subgrid, np.float32))


def momentum(field: Field, plane: int) -> float:
    """∫ u² dA over a plane of faces, against what the outlet brings [-]."""
    return float((field.u[plane].astype(float) ** 2).sum()) * EDGES[1] * EDGES[2] / (RATE * SPEED)


@pytest.mark.parametrize("plane", [15, 20, 25])
def test_jet_is_as_narrow_as_the_law_says(plane):
    """The law, or half of the smeared jet where that is more; 2 % of the axis for means between cells and faces."""
    distance, (y, z) = plane * EDGE, np.meshgrid(*box().centres()[1:], indexing="ij")
    radius = np.hypot(y - MIDDLE_Y, z - MIDDLE_Z)
    sharp, blunt = (np.vectorize(smeared_speed)(distance, radius, BORE, SPEED, wide) for wide in (THIN, WIDE))
    reached = radius < 0.99 * REACH * np.hypot(SPREAD * distance, WIDE)
    expected = np.where(reached, np.maximum(sharp, (1 - MOST) * blunt), blunt)
    found = restored(box())
    assert found.u[plane][reached] == pytest.approx(expected[reached], abs=0.02 * sharp.max())
    assert momentum(found, plane) == pytest.approx((expected**2).sum() * EDGES[1] * EDGES[2] / (RATE * SPEED), rel=0.02)
    assert 0.98 < momentum(found, plane) < 1.08  # the edge of the smeared jet that is left adds some


@pytest.mark.parametrize("away", [0.005, 0.03, 0.06])
@pytest.mark.parametrize("high", [False, True])
def test_jet_beside_a_wall_is_sharpened_with_its_image(away, high):
    """In a corner: Reichardt's sum of the momenta of both, that behind the nearer wall; 2 % of the axis as above."""
    side = SHAPE[1] * EDGES[1] if high else 0.0
    centre = 0.0, abs(side - away), SHAPE[2] * EDGES[2] - 0.1
    image, grid = 2 * side - centre[1], box(outlet=replace(OUTLET, centre=centre))
    found = restore(smeared(grid, image), grid, MARCHED, {"jet": RATE}, np.zeros(SHAPE, np.float32)).u[20]
    y, z = np.meshgrid(*grid.centres()[1:], indexing="ij")
    sharp, blunt = (speeds(20 * EDGE, y, z, centre, image, wide) for wide in (THIN, WIDE))
    near = np.hypot(y - centre[1], z - centre[2]) < 0.99 * REACH * np.hypot(SPREAD * 20 * EDGE, WIDE)
    assert found[near] == pytest.approx(np.maximum(sharp, (1 - MOST) * blunt)[near], abs=0.02 * sharp.max())


def test_far_jet_that_the_march_has_lost_is_not_given_back():
    """From twice the distance at which the jet is as wide as the smear, 2 x 0.048/0.096 m: exactly nothing."""
    field = smeared(box())
    field.u[50:] = 0
    assert not restore(field, box(), MARCHED, {"jet": RATE}, np.zeros(SHAPE, np.float32)).u[51:].any()


def test_far_jet_that_the_march_has_is_sharpened():
    """The law's difference 1.1 m on, on the axis; 2 % of the axis as above."""
    place = 55
    sharp, blunt = (smeared_speed(place * EDGE, NEXT, BORE, SPEED, wide) for wide in (THIN, WIDE))
    share = FADED - place * EDGE * SPREAD / WIDE
    gain = restored(box()).u[place, 19, 19] - smeared(box()).u[place, 19, 19]
    assert gain == pytest.approx(share * (sharp - blunt), abs=0.02 * sharp)
    assert gain > 0.03 * sharp


@pytest.mark.parametrize("rate", [0.0, -RATE])
def test_an_outlet_that_blows_nothing_has_no_jet(rate):
    """A pump that is overpowered lets water run backwards: exactly as it was marched."""
    before = smeared(box())
    after = restore(before, box(), MARCHED, {"jet": rate}, np.zeros(SHAPE, np.float32))
    assert np.array_equal(after.u, before.u)


@pytest.mark.parametrize("cells", [1, 2, 4])
def test_bore_of_more_than_a_cell_is_given_back_as_so_many_brought_it(cells):
    """The law's gain on the axis, from what ALONE and EACH say of so many with equal shares; 2 % of it as above."""
    bore = 1.4 * LARGE_CELL
    outlet = replace(OUTLET, extent=(bore, bore), area=pi * bore**2 / 4)
    marched = replace(MARCHED, patches=(replace(outlet, share=np.full(cells, 1 / cells)),))
    wide = np.sqrt(ALONE * LARGE_CELL**2 + EACH * (cells * LARGE_CELL**2 - outlet.area))
    grid, speed = box(outlet=outlet), RATE / outlet.area
    before = smeared(grid)
    gain = (restore(before, grid, marched, {"jet": RATE}, np.zeros(SHAPE, np.float32)).u - before.u)[12, 19, 19]
    sharp, blunt = (smeared_speed(12 * EDGE, NEXT, bore, speed, smear) for smear in (THIN, wide))
    there = before.u[12, 19, 19]
    assert gain == pytest.approx(sharp - blunt + LOST * max(blunt - there, 0), abs=0.02 * sharp)


def test_bore_of_more_than_a_cell_that_few_bring_is_left_as_it_is():
    """Half covered by sand its water comes through one cell, and no wider than it is: exactly as it was marched."""
    bore = 1.7 * LARGE_CELL
    outlet = replace(OUTLET, extent=(bore, bore), area=pi * bore**2 / 4)
    before, grid = smeared(box(outlet=outlet)), box(outlet=outlet)
    marched = replace(MARCHED, patches=(replace(outlet, share=np.ones(1)),))
    after = restore(before, grid, marched, {"jet": RATE}, np.zeros(SHAPE, np.float32))
    assert np.array_equal(after.u, before.u)


@pytest.mark.parametrize(
    "shape",
    [{"extent": (0.1, 0.05), "round": False}, {"extent": (1.01 * TOLD * LARGE_CELL,) * 2}],
    ids=["a slot higher than a marched cell", "a bore whose edge they tell"],
)
def test_wide_jets_are_left_to_the_march(shape):
    """Exactly."""
    wide = box(outlet=replace(OUTLET, **shape))
    before = smeared(wide)
    after = restore(before, wide, MARCHED, {"jet": RATE}, np.zeros(SHAPE, np.float32))
    assert np.array_equal(after.u, before.u)
    assert after.speed == pytest.approx(before.speed, rel=1e-6)  # rounding


def flat(axis: int, length: float = 0.2) -> tuple[Grid, Field]:
    """A slot 10 mm wide, along y or z, with still water before it."""
    extent = (length, 0.01) if axis == 1 else (0.01, length)
    grid = box(outlet=replace(OUTLET, extent=extent, area=0.01 * length, round=False))
    field = smeared(grid)
    return grid, replace(field, u=0 * field.u, speed=0 * field.speed)


@pytest.mark.parametrize("axis", [1, 2])
def test_slot_thinner_than_a_cell_is_given_back_as_a_flat_jet(axis):
    """LOST and the law's difference, along and across it; 2 % of the axis as above."""
    grid, still = flat(axis)
    gained = restore(still, grid, MARCHED, {"jet": 2e-3}, np.zeros(SHAPE, np.float32)).u[12]
    y, z = np.meshgrid(grid.centres()[1] - MIDDLE_Y, grid.centres()[2] - MIDDLE_Z, indexing="ij")
    off = (y, z) if axis == 1 else (z, y)
    sharp, blunt = (np.vectorize(smeared_flat_speed)(12 * EDGE, *off, 0.2, 0.01, 1.0, w) for w in (THIN, WIDE))
    expected = sharp - (1 - LOST) * blunt
    inside = (abs(off[0]) < 0.12) & (abs(off[1]) < 0.06)
    assert gained[inside] == pytest.approx(np.maximum(expected, 0)[inside], abs=0.02 * sharp.max())
    assert sharp.max() > 1.3 * blunt.max()  # else any jet would do


def test_long_slot_is_given_back_as_far_as_it_reaches():
    """As above, at its ends, which are farther from the middle than any round jet is followed."""
    grid, still = flat(1, 0.76)
    gained = restore(still, grid, MARCHED, {"jet": 7.6e-3}, np.zeros(SHAPE, np.float32)).u[12, :, 19]
    y = grid.centres()[1] - MIDDLE_Y
    off = y, np.full_like(y, EDGES[2] / 2)
    sharp, blunt = (np.vectorize(smeared_flat_speed)(12 * EDGE, *off, 0.76, 0.01, 1.0, w) for w in (THIN, WIDE))
    ends = (abs(y) > 0.34) & (abs(y) < 0.38)
    assert gained[ends] == pytest.approx((sharp - (1 - LOST) * blunt)[ends], abs=0.02 * sharp.max())
    assert gained[ends].min() > 0.1 * sharp.max()


def test_jet_that_went_another_way_is_not_turned_round():
    """Of a march at rest nothing is taken, and of the smeared jet's edge half at most; exactly, and for any share."""
    field = smeared(box())
    still = replace(field, u=np.zeros_like(field.u), speed=np.zeros_like(field.speed))
    found = restore(still, box(), MARCHED, {"jet": RATE}, np.zeros(SHAPE, np.float32))
    assert found.u.min() >= 0
    edge = restored(box()).u[1:-1] - (1 - MOST) * field.u[1:-1]
    assert edge.min() > -1e-3


def test_half_lost_jet_is_given_back_a_share_of_what_it_lacks():
    """On the axis the law's gain, and LOST of the half that the march lacks; 2 % of the axis as above."""
    field = smeared(box())
    halved = replace(field, u=field.u / 2, speed=field.speed / 2)
    found = restore(halved, box(), MARCHED, {"jet": RATE}, np.zeros(SHAPE, np.float32))
    sharp, blunt = (smeared_speed(20 * EDGE, NEXT, BORE, SPEED, wide) for wide in (THIN, WIDE))
    expected = blunt / 2 + sharp - (1 - LOST / 2) * blunt
    assert found.u[20, 19, 19] == pytest.approx(expected, abs=0.02 * sharp)


def test_jet_is_sharpened_where_the_water_has_turned_it():
    """In a stream of 0.1 m/s alone it is swept aside by turn x²/2: its middle 0.5 m on; half a cell, small angles."""
    still = smeared(box())
    stream = replace(still, u=np.zeros_like(still.u), v=np.where(box().open_y > 0, np.float32(0.1), np.float32(0)))
    gained = np.maximum(restore(stream, box(), MARCHED, {"jet": RATE}, np.zeros(SHAPE, np.float32)).u[25], 0)
    middle = (gained.sum(axis=1) * box().centres()[1]).sum() / gained.sum()
    assert middle - MIDDLE_Y == pytest.approx(turning(0.1, BORE, SPEED) * 0.5**2 / 2, abs=EDGES[1] / 2)


@pytest.mark.parametrize("place", [30, 31])
def test_jet_ends_at_a_wall(place):
    """What lies behind the wall is not seen from the outlet: exactly as before; in front of it the jet is sharpened.

    One cell thick, half of a step of the jet's course, wherever that falls.
    """
    grid = box(wall_at=place)
    before, after = smeared(grid), restored(grid)
    assert np.array_equal(after.u[place + 1 :], before.u[place + 1 :])
    assert after.u[20, 19, 19] > before.u[20, 19, 19] * 1.2
    assert not after.u[place : place + 2].any()


@pytest.mark.parametrize("place", [30, 31])
def test_jet_ends_at_a_wall_thinner_than_a_cell(place):
    """Which the grid knows by shut faces alone; as above."""
    grid = box()
    grid.open_x[place] = 0
    before, after = smeared(grid), restored(grid)
    assert np.array_equal(after.u[place:], before.u[place:])
    assert after.u[20, 19, 19] > before.u[20, 19, 19] * 1.2


def test_no_jet_is_seen_through_a_thin_wall_beside_it():
    """One and a half cells above the axis, along all of it; exactly."""
    grid = box()
    grid.open_z[:, :, 22] = 0
    before, after = smeared(grid), restored(grid)
    assert np.array_equal(after.u[:, :, 22:], before.u[:, :, 22:])
    assert after.u[20, 19, 19] > before.u[20, 19, 19] * 1.2


def test_what_passes_a_stone_is_followed_on_for_a_while():
    """A plate to above the axis, the march lost behind it: less and less over the edge, nothing after PAST steps."""
    grid = box()
    grid.kind[24, :, :21] = Kind.ROCK
    field = smeared(box())
    field.u[25:] = 0
    gain = restore(field, grid, MARCHED, {"jet": RATE}, np.zeros(SHAPE, np.float32)).u[26:, 19, 22]
    assert gain[0] > gain[1] > gain[2] > 0
    assert not gain[round(PAST * LARGE_CELL / EDGE) :].any()


def test_speed_grows_with_what_is_added():
    """Far from the jet by the subgrid motion alone: Maxwell's mean. On its axis by the law's scatter too."""
    field = restored(box(), subgrid=0.06)
    assert field.fluctuation[60, 2, 2] == pytest.approx(0.06, rel=1e-3)
    inside = field.fluctuation[20, 19, 19]
    assert inside > np.sqrt(3) * INTENSITY * 0.5 * field.u[20, 19, 19]
    assert field.batches.mean(axis=0) == pytest.approx(field.speed, rel=1e-5)
    still = mean_magnitude(0.0, 0.06)
    assert still == pytest.approx(0.06 * np.sqrt(8 / 3 / pi))


def test_stone_before_the_middle_of_a_slot_leaves_its_free_halves():
    """Beside it all as without it, and nothing behind it: both exactly, but for a part of the slot's length between.

    A slot of 0.76 m, whose parts are up to 0.1 m long, and a stone from 0.16 to 0.24 m before its middle.
    """
    grid, still = flat(1, 0.76)
    rates, nothing = {"jet": 7.6e-3}, np.zeros(SHAPE, np.float32)
    free = restore(still, grid, MARCHED, rates, nothing).u[20]
    grid.kind[8:12, 15:25, 15:25] = Kind.ROCK
    found = restore(still, grid, MARCHED, rates, nothing).u[20]
    off = np.abs(grid.centres()[1] - MIDDLE_Y)
    assert np.array_equal(found[off > 0.22], free[off > 0.22])
    assert free[off > 0.22].max() == pytest.approx(free.max(), rel=0.01)
    assert not found[off < 0.04, 19:21].any()


def test_long_slot_that_blows_aslant_is_as_strong_all_along():
    """At 30 degrees towards its own end, from whose every place the jet has gone as far; 2 % of the axis as above."""
    grid, still = flat(1, 0.4)
    way = np.cos(np.radians(30)), np.sin(np.radians(30)), 0.0
    aslant = replace(grid, patches=(replace(grid.patches[0], direction=way, centre=(0.0, 0.3, MIDDLE_Z)),))
    gained = restore(still, aslant, MARCHED, {"jet": 4e-3}, np.zeros(SHAPE, np.float32)).u[12]
    y, z = np.meshgrid(*grid.centres()[1:], indexing="ij")
    distance, aside = 12 * EDGE / way[0], (y - 0.3 - 12 * EDGE * way[1] / way[0]) * way[0]
    law = np.vectorize(smeared_flat_speed)
    sharp, blunt = (law(distance, aside, z - MIDDLE_Z, 0.4, 0.01, 1.0, wide) for wide in (THIN, WIDE))
    inside = (abs(aside) < 0.12) & (abs(z - MIDDLE_Z) < 0.06)
    expected = np.maximum(sharp - (1 - LOST) * blunt, 0) * way[0]
    assert gained[inside] == pytest.approx(expected[inside], abs=0.02 * sharp.max())


@pytest.mark.parametrize("angle", [20, 40, 55])
def test_jet_that_turns_along_a_side_is_the_same_at_the_opposite_one(angle):
    """From the floor and from the surface: mirrored, but for rounding of the places of cells."""

    def gained(height: float, up: float) -> np.ndarray:
        way = np.cos(np.radians(angle)), 0.0, up * np.sin(np.radians(angle))
        grid = box(outlet=replace(OUTLET, direction=way, centre=(0.0, MIDDLE_Y, height)))
        field = smeared(grid)
        still = replace(field, u=0 * field.u, speed=0 * field.speed)
        return restore(still, grid, MARCHED, {"jet": RATE}, np.zeros(SHAPE, np.float32)).u

    below, above = gained(0.13, -1.0), gained(2 * MIDDLE_Z - 0.13, 1.0)
    assert below[40].max() > 0.01
    assert below == pytest.approx(above[:, :, ::-1], abs=1e-5)
