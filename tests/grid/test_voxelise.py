"""The tank as cells: volumes, kinds, symmetry, pockets, and what cannot be made into a grid."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest
import trimesh

from flowviz.errors import InputError
from flowviz.grid.bodies import pockets
from flowviz.grid.grid import Grid, Kind
from flowviz.grid.voxelise import GRAIN, LEAST_ASLANT, LEAST_FACE, LEAST_VOLUME, voxelise
from flowviz.scene.apertures import Bore, Slot
from flowviz.scene.model import Intake, Outlet, Rock, Sand
from flowviz.shapes.plans import Disc, Polygon, rectangle
from flowviz.shapes.solids import Box, Capsule, Cylinder, Ellipsoid, turned
from flowviz.shapes.surface import Surface

OUTLET = Outlet("jet", (0.0, 0.2, 0.3), (1.0, 0.0, 0.0), (1.0, 0.0, 0.0), Bore(0.03), "left", None, None)
WIDTH = 0.64  # of the bare tank [m]
INTAKE = Intake("drain", (1.2, 0.4, 0.1), (-1.0, 0.0, 0.0), Bore(0.05), "right", None, None, None)


def rock(*solids):
    """Rocks named by number."""
    return tuple(Rock(f"rock {number}", solid) for number, solid in enumerate(solids))


def assert_sound(grid: Grid, least: float = LEAST_ASLANT) -> None:
    """What grid/grid.py promises of every grid; least open share of a cell that is water."""
    assert (grid.open_volume[~grid.water] == 0).all()
    assert grid.open_volume[grid.water].min() >= least - GRAIN
    for axis, share in enumerate(grid.shares):
        share, water = np.moveaxis(share, axis, 0), np.moveaxis(grid.water, axis, 0)
        assert (share[0] == 0).all()
        assert (share[-1] == 0).all()
        assert (share[1:-1][~(water[1:] & water[:-1])] == 0).all()
        assert ((share == 0) | (share >= LEAST_FACE)).all()
        assert share.max() <= 1
    for patch in grid.patches:
        assert grid.water[tuple(patch.cells.T)].all()
        assert patch.share.sum() == pytest.approx(1, abs=1e-12)


def test_an_empty_tank_is_all_water(tank):
    grid = voxelise(tank(), 0.02)
    assert grid.shape == (60, 32, 24)
    assert grid.spacing == pytest.approx((0.02, 0.02, 0.02), abs=1e-12)
    assert grid.water_volume == pytest.approx(1.2 * 0.64 * 0.48, rel=1e-12)
    assert repr(grid) == f"<Grid of 60 × 32 × 24 cells of 20 × 20 × 20 mm, {len(grid.patches)} openings>"
    assert (grid.open_x[1:-1] == 1).all()
    assert (grid.open_z[:, :, 1:-1] == 1).all()
    assert_sound(grid, 1.0)


def test_level_sand_and_square_rock_take_exactly_their_volume(tank):
    """A bed of 43 mm and a block that stands in it askew to no axis; sums done here."""
    scene = tank(rocks=rock(Box((0.6, 0.3, 0.1), (0.317, 0.213, 0.2))), sand=Sand(0.043, 0.001))
    grid = voxelise(scene, 0.02)
    exact = 1.2 * 0.64 * (0.48 - 0.043) - 0.317 * 0.213 * (0.2 - 0.043)
    assert grid.water_volume == pytest.approx(exact, abs=2e-4)  # edges of the block in cut cells
    below = int(0.043 / grid.spacing[2])
    assert (grid.kind[:5, :5, :below] == Kind.SAND).all()
    assert grid.kind[tuple((np.array((0.6, 0.3, 0.1)) / grid.spacing).astype(int))] == Kind.ROCK
    assert_sound(grid, LEAST_VOLUME)


@pytest.mark.parametrize("offset", [(0.0, 0.0, 0.0), (0.003, 0.007, 0.001)])
def test_a_ball_of_twenty_cells_takes_its_volume(tank, offset):
    """π d³/6 within 2 %, as an ellipsoid and as a mesh, and the two within 2 % of each other."""
    centre = tuple(np.add((0.6, 0.3, 0.25), offset))
    ball = trimesh.creation.icosphere(subdivisions=4, radius=0.2)
    mesh = Surface(np.array(ball.vertices) + centre, np.array(ball.faces, dtype=np.int64))
    taken = [
        1.2 * 0.64 * 0.48 - voxelise(tank(rocks=rock(s)), 0.02).water_volume
        for s in (Ellipsoid(centre, (0.4,) * 3), mesh)
    ]
    assert taken[0] == pytest.approx(pi / 6 * 0.4**3, rel=0.02)
    assert taken[1] == pytest.approx(taken[0], rel=0.02)


@pytest.mark.parametrize("cells", [4.6, 10.7])
def test_a_box_read_as_a_mesh_takes_what_the_box_takes(tank, cells):
    """In every cell, to the rounding of single precision: its edges are no thin walls."""
    centre, edge = (0.607, 0.313, 0.251), cells * 0.02
    body = trimesh.creation.box((edge,) * 3)
    mesh = Surface(np.array(body.vertices) + centre, np.array(body.faces, dtype=np.int64))
    grids = [voxelise(tank(rocks=rock(solid)), 0.02) for solid in (Box(centre, (edge,) * 3), mesh)]
    assert grids[1].open_volume == pytest.approx(grids[0].open_volume, abs=1e-5)


def test_round_and_slanting_glass_leave_the_plans_volume(tank):
    """Area times depth, less 3 % of a cell along the edge: cells with less than LEAST_VOLUME, and chords for arcs."""
    corner = Polygon(((0, 0), (1.2, 0), (1.2, 0.3), (0.8, 0.6), (0, 0.6)), ("front", "right", "slant", "back", "left"))
    for plan, edge in ((Disc(0.8), pi * 0.8), (corner, 0.5)):
        grid = voxelise(tank(plan=plan), 0.02)
        assert grid.water_volume == pytest.approx(plan.area * 0.48, abs=0.03 * 0.02 * edge * 0.48)
        assert grid.kind[-1, -1, 0] == Kind.OUTSIDE
        assert_sound(grid)


def test_sand_and_rock_beyond_the_glass_are_outside(tank):
    """The sand, and a block and a plate thinner than a cell that stick out through the glass on both sides."""
    stones = rock(Box((0.4, 0.4, 0.2), (1, 0.2, 0.2)), Box((0.4, 0.11, 0.3), (1, 0.006, 0.1)))
    grid = voxelise(tank(plan=Disc(0.8), sand=Sand(0.1, 0.001), rocks=stones), 0.02)
    middle = [int(0.4 / h) for h in grid.spacing]
    assert (grid.kind[0, 0] == Kind.OUTSIDE).all()
    assert (grid.kind[:5, 5] == Kind.OUTSIDE).all()
    assert grid.kind[10, 5, 15] == Kind.ROCK
    assert grid.kind[middle[0], 2, 0] == Kind.SAND


def lump() -> tuple[np.ndarray, np.ndarray]:
    """Corners and triangles of a lumpy rock."""
    ball = trimesh.creation.icosphere(subdivisions=3, radius=0.12)
    corners = np.array(ball.vertices) * (1 + 0.2 * np.sin(30 * ball.vertices[:, [1, 2, 0]]))
    return np.add(corners, (0.75, 0.45, 0.2)), np.array(ball.faces, dtype=np.int64)


CORNERS, FACES = lump()
ROCKS = (
    Surface(CORNERS, FACES),
    Ellipsoid((0.41, 0.21, 0.1), (0.3, 0.2, 0.35)),
    Box((0.9, 0.45, 0.11), (0.15, 0.1, 0.22)),
    turned(Box((0.7, 0.2, 0.3), (0.2, 0.004, 0.3)), 0.5, (0.7, 0.2, 0.0)),
    Capsule((0.2, 0.4, 0.05), (0.5, 0.5, 0.3), 0.06),
    Cylinder((1.0, 0.2, 0.2), 0.11, 0.33),
)
MIRRORED = (
    Surface(CORNERS * (1, -1, 1) + (0, WIDTH, 0), FACES[:, ::-1].copy()),
    Ellipsoid((0.41, WIDTH - 0.21, 0.1), (0.3, 0.2, 0.35)),
    Box((0.9, WIDTH - 0.45, 0.11), (0.15, 0.1, 0.22)),
    turned(Box((0.7, WIDTH - 0.2, 0.3), (0.2, 0.004, 0.3)), -0.5, (0.7, WIDTH - 0.2, 0.0)),
    Capsule((0.2, WIDTH - 0.4, 0.05), (0.5, WIDTH - 0.5, 0.3), 0.06),
    Cylinder((1.0, WIDTH - 0.2, 0.2), 0.11, 0.33),
)


def mirrored(opening):
    """The opening front to back."""
    x, y, z = opening.centre
    flipped = {"centre": (x, WIDTH - y, z), "normal": tuple(np.multiply(opening.normal, (1, -1, 1)).tolist())}
    if isinstance(opening, Outlet):
        flipped["direction"] = tuple(np.multiply(opening.direction, (1, -1, 1)).tolist())
    return replace(opening, **flipped)


def test_a_scene_mirrored_front_to_back_gives_mirrored_cells_exactly(tank):
    back = Outlet("back", (0.6, WIDTH, 0.4), (0.0, -1.0, 0.0), (0.0, -1.0, 0.0), Slot(0.11, 0.013), "back", None, None)
    free = replace(OUTLET, name="free", centre=(0.8, 0.31, 0.4), normal=(0.6, 0.64, 0.48), aperture=Bore(0.021))
    scene = tank(rocks=rock(*ROCKS), outlets=(OUTLET, back, free), intakes=(INTAKE,), sand=Sand(0.03, 0.001))
    other = replace(
        scene, rocks=rock(*MIRRORED), outlets=tuple(map(mirrored, scene.outlets)), intakes=(mirrored(INTAKE),)
    )
    here, there = voxelise(scene, 0.02), voxelise(other, 0.02)
    for name in ("kind", "open_volume", "open_x", "open_y", "open_z", "aslant"):
        assert np.array_equal(getattr(here, name), getattr(there, name)[:, ::-1]), name
    for one, two in zip(here.patches, there.patches, strict=True):
        cells = {(i, here.shape[1] - 1 - j, k): share for (i, j, k), share in zip(two.cells, two.share, strict=True)}
        assert cells.keys() == set(map(tuple, one.cells.tolist()))
        assert [cells[tuple(cell)] for cell in one.cells.tolist()] == pytest.approx(one.share, abs=1e-12)
    assert_sound(here)


def test_a_scene_in_inches_gives_the_same_cells(tank):
    """The same lengths through inches and back differ in the last bits only."""

    def through(values):
        return tuple(float(value) / 0.0254 * 0.0254 for value in values)

    metric = tank(rocks=rock(Ellipsoid((0.41, 0.21, 0.1), (0.3, 0.2, 0.34))), outlets=(OUTLET,), intakes=(INTAKE,))
    inches = tank(
        plan=rectangle(*through((1.2, WIDTH))),
        depth=through((0.48,))[0],
        rocks=rock(Ellipsoid(through((0.41, 0.21, 0.1)), through((0.3, 0.2, 0.34)))),
        outlets=(replace(OUTLET, centre=through(OUTLET.centre), aperture=Bore(*through((0.03,)))),),
        intakes=(replace(INTAKE, centre=through(INTAKE.centre), aperture=Bore(*through((0.05,)))),),
    )
    one, other = voxelise(metric, None), voxelise(inches, None)
    assert one.spacing == pytest.approx(other.spacing, rel=1e-12)
    for name in ("kind", "open_volume", "open_x", "open_y", "open_z", "aslant"):
        assert np.array_equal(getattr(one, name), getattr(other, name)), name
    for here, there in zip(one.patches, other.patches, strict=True):
        assert np.array_equal(here.cells, there.cells)
        assert here.share == pytest.approx(there.share, abs=1e-12)


def test_enclosed_water_is_told_as_a_pocket_and_left_out(tank):
    """A cave of 160 x 200 x 100 mm in a block: 3.2 litres round its middle."""
    x, y, z = (0.52, 0.68), (0.2, 0.4), (0.1, 0.2)
    walls = []
    for axis, (low, high) in enumerate((x, y, z)):
        for middle in (low - 0.02, high + 0.02):
            centre, size = [0.6, 0.3, 0.15], [0.24, 0.28, 0.18]
            centre[axis], size[axis] = middle, 0.04
            walls.append(Box(tuple(centre), tuple(size)))
    grid = voxelise(tank(rocks=rock(*walls), outlets=(OUTLET,), intakes=(INTAKE,)), 0.02)
    (pocket,) = grid.pockets
    assert pocket.centre == pytest.approx((0.6, 0.3, 0.15), abs=1e-9)
    assert pocket.volume == pytest.approx(0.0032, rel=1e-9)
    assert (grid.kind == Kind.CUT_OFF).sum() * grid.cell_volume == pytest.approx(0.0032, rel=1e-9)
    assert_sound(grid)


def test_the_first_water_there_is_may_be_a_pocket(tank):
    """Cells are counted from the left: there 80 mm lie behind a wall, and both openings on its other side."""
    across = replace(OUTLET, centre=(1.2, 0.2, 0.3), normal=(-1.0, 0.0, 0.0), direction=(-1.0, 0.0, 0.0), panel="right")
    scene = tank(rocks=rock(Box((0.1, 0.32, 0.24), (0.04, 1, 1))), outlets=(across,), intakes=(INTAKE,))
    grid = voxelise(scene, 0.02)
    assert (grid.kind[:4] == Kind.CUT_OFF).all()
    assert (grid.kind[6:] == Kind.WATER).all()
    assert [pocket.volume for pocket in grid.pockets] == pytest.approx([0.08 * 0.64 * 0.48])
    assert_sound(grid)


def test_pockets_have_their_middle_and_volume_in_oblong_cells():
    """Bodies 1 to 3, of which 1 is the main one: 2 x 3 x 4 half-full cells of 5 x 2 x 1 cm, and one whole cell."""
    label, volume = np.zeros((9, 9, 9), np.int32), np.ones((9, 9, 9), np.float32)
    label[0], label[8, 8, 8] = 1, 3
    label[2:4, 3:6, 4:8], volume[2:4, 3:6, 4:8] = 2, 0.5
    large, small = pockets(label, 1, volume, (0.05, 0.02, 0.01))
    assert large.centre == pytest.approx((0.15, 0.09, 0.06), rel=1e-12)
    assert large.volume == pytest.approx(12 * 1e-5, rel=1e-12)
    assert (small.centre, small.volume) == (pytest.approx((0.425, 0.17, 0.085)), pytest.approx(1e-5, rel=1e-12))


def test_rock_between_outlets_and_intakes_is_refused(tank):
    scene = tank(rocks=rock(Box((0.7, 0.3, 0.25), (0.05, 0.7, 0.6))), outlets=(OUTLET,), intakes=(INTAKE,))
    with pytest.raises(InputError, match=r"^(intake drain|outlet jet): what stands in the tank cuts it off from"):
        voxelise(scene, 0.02)


def test_all_that_is_cut_off_is_named(tank):
    more = (OUTLET, replace(OUTLET, name="low", centre=(0.0, 0.4, 0.1)))
    scene = tank(rocks=rock(Box((0.3, 0.3, 0.25), (0.05, 0.7, 0.6))), outlets=more, intakes=(INTAKE,))
    with pytest.raises(InputError, match=r"^outlet jet: .* cuts it and outlet 'low' off from intake 'drain'"):
        voxelise(scene, 0.02)


def test_a_tank_full_of_rock_is_refused(tank):
    with pytest.raises(InputError, match="no water is left"):
        voxelise(tank(rocks=rock(Box((0.6, 0.3, 0.25), (2, 2, 2)))), 0.02)


def test_ten_thousand_rocks(tank):
    """Rubble of invented stones: each counts, whatever their number."""
    dice = np.random.default_rng(7)
    centres, sizes = dice.uniform((0, 0, 0), (1.2, 0.6, 0.1), (10_000, 3)), dice.uniform(0.01, 0.05, (10_000, 3))
    stones = (Ellipsoid(tuple(c), tuple(s)) for c, s in zip(centres, sizes, strict=True))
    grid = voxelise(tank(rocks=rock(*stones)), 0.02)
    assert (grid.kind[:, :, 2] == Kind.ROCK).mean() > 0.5
    assert (grid.kind[:, :, 8:] == Kind.WATER).all()
    assert_sound(grid)
