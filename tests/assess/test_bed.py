"""What the current does to the bed, by the log law written out here."""

from dataclasses import replace
from math import isnan, log

import numpy as np
import pytest

from flowviz.assess.bed import FIGURES, bed_cells, bed_figures
from flowviz.formulas.sediment import smooth_friction_velocity, smooth_speed, threshold_stress
from flowviz.formulas.water import density, kinematic_viscosity
from flowviz.grid.grid import Kind
from flowviz.scene.model import Limits, Sand

SHAPE, EDGE, SIZE = (20, 10, 10), 0.05, (1.0, 0.5, 0.5)
GRAIN = 1e-3
SANDY = {"sand": Sand(0.06, GRAIN)}  # the lowest cells are sand; those above are four fifths water
RHO, NU = density(25.0, 35.0), kinematic_viscosity(25.0, 35.0)


def sandy(grid):
    """A grid whose bed is the sand of SANDY."""
    kind, volume = grid.kind.copy(), grid.open_volume.copy()
    kind[:, :, 0], volume[:, :, 0], volume[:, :, 1] = Kind.SAND, 0, 0.8
    return replace(grid, kind=kind, open_volume=volume)


@pytest.fixture
def bed_of(grid_of, field_of, scene_of):
    """Figures of a bed over which the lowest cells have these speeds (windows, 20 x 10)."""

    def figures(speeds, **parts):
        grid = sandy(grid_of(SHAPE, EDGE)) if "sand" in parts else grid_of(SHAPE, EDGE)
        windows = np.repeat(np.atleast_3d(speeds)[..., None], SHAPE[2], axis=-1)
        return bed_figures(scene_of(SIZE, **parts), grid, field_of(windows, grid))

    return figures


def test_a_bed_of_sand(bed_of):
    """25 cm/s, 5 cm above the bed: u* = 0.40 U/ln(z 12/d)."""
    found = bed_of(np.full((1, 20, 10), 0.25), **SANDY)
    friction = 0.40 * 0.25 / log(0.05 * 12 / GRAIN)
    assert found.mean_speed == pytest.approx(0.25, rel=1e-6)  # float32 of the field
    assert found.mean_stress == found.max_stress == pytest.approx(RHO * friction**2, rel=1e-6)
    assert (found.material, found.cells, found.area) == ("sand", 200, pytest.approx(0.5, rel=1e-12))


def test_a_bare_floor(bed_of):
    """The smooth law, 5 cm above the floor; no sand, nothing blown out."""
    found = bed_of(np.full((1, 20, 10), 0.25))
    friction = smooth_friction_velocity(0.25, 0.05, NU)
    assert found.mean_speed == pytest.approx(0.25, rel=1e-6)
    assert found.max_stress == pytest.approx(RHO * friction**2, rel=1e-6)
    assert found.material == "glass"
    assert isnan(found.blown_fraction)
    assert isnan(found.threshold_speed)


def test_shares_of_a_bed(bed_of):
    """Of 20 columns 4 settle, 12 are kept moving, 3 of these blown out: by speeds far from the limits."""
    speeds = np.full((1, 20, 10), 0.07)
    speeds[:, :4], speeds[:, 8:], speeds[:, 17:] = 0.02, 0.2, 0.6
    found = bed_of(speeds, **SANDY)
    assert (found.settling_fraction, found.moving_fraction, found.blown_fraction) == (4 / 20, 12 / 20, 3 / 20)
    assert (found.max_speed, found.area) == (pytest.approx(0.6, rel=1e-6), pytest.approx(0.5, rel=1e-12))  # float32
    assert found.max_stress == pytest.approx(RHO * (0.40 * 0.6 / log(0.05 * 12 / GRAIN)) ** 2, rel=1e-6)
    assert found.threshold_stress == threshold_stress(GRAIN, 2930.0, RHO, NU)
    assert found.threshold_speed == pytest.approx(0.387, abs=0.002)  # worked table, for slightly other water


def test_the_scene_sets_the_limits(bed_of):
    speeds = np.full((1, 20, 10), 0.07)
    between, above = (
        bed_of(speeds, **SANDY, limits=Limits(0.03, 0.5, settle, stir))
        for settle, stir in ((0.069, 0.071), (0.05, 0.069))
    )
    assert (between.settling_fraction, between.moving_fraction) == (0.0, 0.0)
    assert (above.settling_fraction, above.moving_fraction) == (0.0, 1.0)


@pytest.mark.parametrize("depth", [0.052, 0.06, 0.074, 0.098])
def test_the_speed_is_that_of_the_field_wherever_the_sand_cuts_a_cell(depth, grid_of, field_of, scene_of):
    """A speed that rises by 1 cm/s a centimetre, read 5 cm above the sand: exact between the middles of cells."""
    grid = sandy(grid_of(SHAPE, EDGE))
    rising = np.broadcast_to(grid.centres()[2], SHAPE).copy()[None]
    found = bed_figures(scene_of(SIZE, sand=Sand(depth, GRAIN)), grid, field_of(rising, grid))
    assert found.mean_speed == pytest.approx(depth + 0.05, rel=1e-6)


def test_under_a_low_roof_the_water_below_it_counts(grid_of, field_of, scene_of):
    """Rock 5 cm above half of a bare floor: there it is the speed of the lowest cells, 1 cm/s, else 2 cm/s at 5 cm."""
    rock = np.zeros(SHAPE, bool)
    rock[:10, :, 1:] = True
    speeds = np.full((1, *SHAPE), 0.01)
    speeds[:, :, :, 1:] = 0.03
    grid = grid_of(SHAPE, EDGE, rock)
    found = bed_figures(scene_of(SIZE), grid, field_of(speeds * grid.clear, grid))
    assert found.mean_speed == pytest.approx((0.01 + 0.02) / 2, rel=1e-6)


@pytest.mark.parametrize(("roof", "last"), [(1, 0.0), (2, 0.01), (3, 0.02), (4, 0.02), (20, 0.02)])
def test_water_over_a_plate_is_not_read_for_that_under_it(roof, last, grid_of, field_of, scene_of):
    """Cells of 2 cm, 0, 1, 2, ... cm/s in their layers; 5 cm is the middle of the third, or in the last under rock."""
    shape = (5, 5, 25)
    rock = np.zeros(shape, bool)
    rock[:, :, roof] = True
    grid = grid_of(shape, 0.02, rock)
    speeds = np.broadcast_to(0.01 * np.arange(25), (1, *shape))
    found = bed_figures(scene_of((0.1, 0.1, 0.5)), grid, field_of(speeds, grid))
    assert found.mean_speed == pytest.approx(last, abs=1e-7)  # float32


def test_a_shut_face_ends_the_water_over_the_bed_too(grid_of, field_of, scene_of):
    """A plate thinner than the cells, between the first layer of 2 cm, at rest, and the moving second."""
    shape = (5, 5, 25)
    grid = grid_of(shape, 0.02)
    grid.open_z[:, :, 1] = 0
    speeds = np.broadcast_to(np.where(np.arange(25) > 0, 0.1, 0.0), (1, *shape))
    assert bed_figures(scene_of((0.1, 0.1, 0.5)), grid, field_of(speeds, grid)).mean_speed == 0.0


def test_larger_cells_are_led_down_by_the_law(grid_of, field_of, scene_of):
    """Cells of 10 cm: 25 cm/s one cell above a bare floor, and by the smooth law from there to 5 cm."""
    grid = grid_of((10, 5, 5), 0.1)
    found = bed_figures(scene_of(SIZE), grid, field_of(np.full((1, 10, 5, 5), 0.25), grid))
    friction = smooth_friction_velocity(0.25, 0.1, NU)
    assert found.mean_speed == pytest.approx(smooth_speed(friction, 0.05, NU), rel=1e-6)


def test_quartz_moves_sooner(bed_of):
    speeds = np.full((1, 20, 10), 0.1)
    aragonite, quartz = (bed_of(speeds, sand=Sand(0.06, GRAIN, kind)) for kind in ("aragonite", "quartz"))
    assert quartz.threshold_stress / aragonite.threshold_stress == pytest.approx(
        0.505 / 0.600, rel=3e-3
    )  # worked table


def test_every_share_has_its_interval(bed_of):
    speeds = np.random.default_rng(4).gamma(2.0, 0.05, (5, 20, 10))
    found = bed_of(speeds, **SANDY)
    assert set(found.uncertainty) == set(FIGURES)
    assert found.uncertainty["settling_fraction"] > 0
    assert all(isnan(width) for width in bed_of(speeds[:1], **SANDY).uncertainty.values())


def test_the_bed_is_not_under_rock(grid_of):
    """Rock on the sand over 4 x 3 columns: 12 of 200 are no bed, neither under the rock nor on it."""
    rock = np.zeros(SHAPE, bool)
    rock[4:8, 3:6, :3] = True
    grid = sandy(grid_of(SHAPE, EDGE, rock))
    grid.kind[4:8, 3:6, 0] = Kind.SAND
    assert bed_cells(grid).size == 188


def test_without_a_bed_nothing_is_known(grid_of, field_of, scene_of):
    rock = np.zeros(SHAPE, bool)
    rock[:, :, :2] = True
    grid = grid_of(SHAPE, EDGE, rock)
    found = bed_figures(scene_of(SIZE), grid, field_of(np.zeros((2, *SHAPE)), grid))
    assert found.cells == 0
    assert isnan(found.settling_fraction)
    assert all(isnan(width) for width in found.uncertainty.values())
