"""The whole door: the numbers of a tank against plain numpy, and what it warns of."""

from dataclasses import asdict, replace
from math import isnan

import numpy as np
import pytest

from flowviz.assess.cautions import doubtful_shares
from flowviz.assess.measures import measure
from flowviz.assess.turnover import inflow
from flowviz.grid.grid import Pocket
from flowviz.scene.model import Coral, Rock
from flowviz.shapes.solids import Box

SHAPE, EDGE, SIZE = (20, 10, 10), 0.05, (1.0, 0.5, 0.5)
INFLOW = 1e-3  # of the hand-made field [m³/s]


@pytest.fixture
def tank(grid_of, field_of, scene_of):
    """Scene, grid and field of a tank with a rock on its floor and rough speeds in six windows."""
    rock = np.zeros(SHAPE, bool)
    rock[8:12, 3:7, :4] = True
    grid = grid_of(SHAPE, EDGE, rock)
    windows = np.random.default_rng(1).gamma(2.0, 0.08, (6, *SHAPE)) * np.linspace(0.2, 1.8, 20)[:, None, None]
    boulder = Rock("boulder", Box((0.5, 0.25, 0.1), (0.2, 0.2, 0.2)))
    return scene_of(SIZE, rocks=(boulder,)), grid, field_of(windows, grid)


def test_distribution_and_shares_against_plain_numpy(tank):
    """By volume: cells that are open by a quarter, a half or all of them are as one, two or four."""
    scene, grid, field = tank
    quarters = np.random.default_rng(2).choice((1, 2, 4), SHAPE) * (grid.kind == 0)
    found = measure(scene, replace(grid, open_volume=np.float32(quarters / 4)), field)
    speeds = np.repeat(field.speed.reshape(-1), quarters.reshape(-1))
    median, *tails = np.percentile(speeds, (50, 5, 95), method="inverted_cdf")
    assert list(asdict(found.speed).values()) == pytest.approx(
        [speeds.mean(dtype=float), median, *tails, speeds.max()], rel=1e-6
    )  # float32
    assert found.dead_fraction == pytest.approx((speeds < 0.03).mean(), rel=1e-6)
    assert found.over_fraction == pytest.approx((speeds > 0.5).mean(), rel=1e-6)


def test_volume_and_turnover(tank):
    """2000 cells less 64 of rock; the inflow of the hand-made field over that volume, an hour."""
    found = measure(*tank)
    assert found.water_volume == pytest.approx(1936 * EDGE**3, rel=1e-12)  # rounding
    assert found.turnover == pytest.approx(3600 * INFLOW / (1936 * EDGE**3), rel=1e-6)  # float32
    assert found.smallest_zone == pytest.approx(8 * EDGE**3, rel=1e-12)


def test_every_part_of_the_tank_has_its_figures(tank, make):
    """Each is tested on its own; here, that the scene's limit and the whole grid reach them."""
    scene, grid, field = tank
    scene = replace(scene, intakes=(make.intake("out", (1.0, 0.25, 0.25), (-1.0, 0.0, 0.0), "right"),))
    found = measure(scene, grid, field)
    assert found.bed.cells == 200 - 16  # columns less those of the rock
    assert found.rock.cells == 16 + 2 * 4 * 4 + 2 * 4 * 4  # above it and at its four sides
    assert found.surface.speed.mean == pytest.approx(field.speed[:, :, -1].mean(), rel=1e-6)
    assert found.surface.dead_fraction == (field.speed[:, :, -1] < 0.03).mean()
    assert found.circulation >= 0
    assert found.reaches == {"out": {}}
    assert found.agreement is None


def test_inflow_is_what_leaves_by_all_six_faces(tank):
    """Cells of 0.1 x 0.2 x 0.05 m; 1, 2, 4, 8, 16 and 32 cm/s outwards, through a quarter of each face: summed here."""
    _, grid, field = tank
    outlet = replace(grid.patches[0], cells=np.array([[15, 5, 6]]))
    grid = replace(grid, spacing=(0.1, 0.2, 0.05), patches=(outlet, grid.patches[1]))
    u, v, w = (np.zeros_like(each) for each in (field.u, field.v, field.w))
    u[15, 5, 6], u[16, 5, 6] = -0.01, 0.02
    v[15, 5, 6], v[15, 6, 6] = -0.04, 0.08
    w[15, 5, 6], w[15, 5, 7] = -0.16, 0.32
    for opened in grid.shares:
        opened *= 0.25
    expected = 0.25 * (0.03 * 0.2 * 0.05 + 0.12 * 0.1 * 0.05 + 0.48 * 0.1 * 0.2)
    assert inflow(grid, replace(field, u=u, v=v, w=w)) == pytest.approx(expected, rel=1e-6)  # float32


def test_inflow_of_two_openings_side_by_side_counts_the_face_between_them_once(tank):
    _, grid, field = tank
    first = grid.patches[0]
    both = replace(grid, patches=(first, replace(first, cells=np.array([[1, 0, 0]])), grid.patches[1]))
    assert inflow(grid, field) == pytest.approx(INFLOW, rel=1e-6)
    assert inflow(both, field) == pytest.approx(0.0, abs=1e-9)  # what leaves the first cell enters the second


def test_every_number_of_the_water_has_its_interval(tank):
    found = measure(*tank)
    assert set(found.uncertainty) == {"dead_fraction", "over_fraction", *asdict(found.speed)}
    assert all(width > 0 for width in found.uncertainty.values())


def test_the_interval_of_the_mean_speed_is_that_of_the_windows_means(tank):
    """Textbook standard error of six means; widened, if at all, by neighbours' correlation, so never below it."""
    scene, grid, field = tank
    means = field.batches[:, grid.water].mean(axis=1, dtype=np.float64)
    least = 2.5706 * means.std(ddof=1) / np.sqrt(6)  # Student's t for 5 degrees of freedom, from any printed table
    assert measure(scene, grid, field).uncertainty["mean"] >= least * (1 - 1e-4)


def test_one_window_is_told(tank):
    scene, grid, field = tank
    found = measure(scene, grid, replace(field, batches=field.batches[:1]))
    assert all(isnan(width) for width in found.uncertainty.values())
    assert [caution.where for caution in found.cautions] == ["speeds"]


def test_a_share_within_its_own_doubt_is_told(tank, field_of):
    """The mean is 3.4 cm/s and nothing is dead; without the last of the three windows it is 2.6 and everything is."""
    scene, grid, _ = tank
    windows = np.stack([np.full(SHAPE, speed) for speed in (0.012, 0.04, 0.05)])
    (caution,) = measure(scene, grid, field_of(windows, grid)).cautions
    assert caution.where == "share of dead water"


def test_a_share_as_large_as_its_doubt_is_told_and_less_than_a_percent_is_not_worth_a_word():
    shares, widths = ({"dead_fraction": dead, "over_fraction": over} for dead, over in ((0.05, 0.003), (0.05, 0.009)))
    assert [caution.what for caution in doubtful_shares(shares, widths, windows=4)] == ["5 ± 5 % of the water"]


def test_cut_off_water_is_told_by_place_and_volume(tank):
    scene, grid, field = tank
    volumes = (0.1e-3, 0.42e-3, 37e-3, 1e-6, 0.2e-3, 0.1e-3)  # a millilitre is not worth a word
    pockets = tuple(Pocket((0.5, 0.45, 0.1), volume) for volume in volumes)
    told = measure(scene, replace(grid, pockets=pockets), field).cautions
    assert [caution.what for caution in told] == [
        "37 L are cut off from all openings",
        "0.42 L are cut off from all openings",
        "0.2 L are cut off from all openings",
        "2 smaller pockets, 0.2 L in all, are cut off from all openings",
    ]
    assert told[0].where == "water behind the boulder, low, towards the back"


def test_a_group_in_rock_is_told(tank):
    scene, grid, field = tank
    scene = replace(scene, corals=(Coral("plate", (0.5, 0.25, 0.1), (0.1, 0.1, 0.1), (0.1, 0.3)),))
    found = measure(scene, grid, field)
    assert found.corals["plate"].verdict == "unknown"
    assert [caution.where for caution in found.cautions] == ["coral plate"]
