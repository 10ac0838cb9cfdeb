"""Ages and short circuits in tanks whose answer is exact or summed here."""

from dataclasses import replace
from math import isnan

import numpy as np
import pytest

from flowviz.assess.renewal import average, measure_renewal, over_cells, short_circuits, without_mixing
from flowviz.flow.pressure.projection import potential_flow
from flowviz.scene.model import Coral

EDGE, FLOW = 0.05, 1e-3
RATES = {"in": FLOW, "out": -FLOW}


@pytest.fixture
def renewal_of(grid_of, field_of, scene_of):
    """The renewal of a tank with the flow without vorticity between its openings, and eddies of a speed."""

    def measure(shape, eddies=0.0, rates=None, rock=None, openings=None, **parts):
        rates, grid = rates or RATES, grid_of(shape, EDGE, rock)
        grid = replace(grid, patches=openings(grid.patches)) if openings else grid
        field = field_of(np.zeros((2, *shape)), grid)
        u, v, w = potential_flow(grid, rates)
        eddies = np.where(grid.water, np.float32(eddies), np.float32(0))
        field = replace(field, u=u, v=v, w=w, fluctuation=eddies)
        size = tuple(n * EDGE for n in shape)
        return grid, measure_renewal(scene_of(size, **parts), grid, field, rates)

    return measure


@pytest.mark.parametrize("eddies", [0.0, 0.2])
def test_what_leaves_is_as_old_as_volume_over_flow(renewal_of, eddies):
    """The exhaust identity (Danckwerts 1953, Spalding 1958) holds for any steady flow; 1e-5 is the projection's."""
    rock = np.zeros((24, 10, 8), bool)
    rock[8:12, 2:7, :6] = True
    grid, found = renewal_of((24, 10, 8), eddies, rock=rock)
    assert found.nominal_age == pytest.approx(grid.water_volume / FLOW, rel=1e-12)
    assert found.exhaust_error == pytest.approx(0.0, abs=1e-5)
    assert found.intake_ages["out"] == pytest.approx(found.nominal_age, rel=1e-5)
    assert 0 < found.efficiency <= 1


def test_a_row_of_cells_is_tanks_in_series(renewal_of):
    """N/(N + 1) for N of them; the last is the oldest, as old as V/Q (the mixing at rest adds 1e-6)."""
    _, found = renewal_of((20, 1, 1))
    assert found.efficiency == pytest.approx(20 / 21, rel=1e-4)
    assert found.oldest_age == pytest.approx(found.nominal_age, rel=1e-4)
    assert found.oldest_at == pytest.approx((0.975, 0.025, 0.025))
    assert found.old_fraction == 0.0


@pytest.mark.parametrize("cells", [5, 10, 40, 160])
def test_many_tanks_in_series_come_to_a_piston(renewal_of, cells):
    """N/(N + 1) of N tanks goes to the 1 of plug flow (O. Levenspiel); 1e-4 is the mixing of water at rest."""
    _, found = renewal_of((cells, 1, 1))
    assert 1 - found.efficiency == pytest.approx(1 / (cells + 1), rel=1e-3, abs=1e-4)
    assert found.age[:, 0, 0] == pytest.approx(np.arange(1, cells + 1) / cells * found.nominal_age, rel=1e-3)


def test_strong_eddies_mix_the_tank(renewal_of):
    """0.5 within 2 %: eddies of 500 m/s in a tank of 20 L cross it in a two-hundredth of V/Q."""
    _, found = renewal_of((10, 4, 4), 500.0)
    assert found.efficiency == pytest.approx(0.5, rel=0.02)
    assert sum(found.straight_shares["in"].values()) == pytest.approx(0.0, abs=0.02)


def test_dead_water_is_old(renewal_of):
    """A bay that only molecules enter: older than twice the nominal age, and it lowers the efficiency."""
    shape = (12, 12, 1)
    rock = np.zeros(shape, bool)
    rock[1:, 5:7] = True  # a wall that is open at its left end; the bay lies behind it
    grid, found = renewal_of(shape, rock=rock, openings=intake_in_front)
    bay = np.zeros(shape, bool)
    bay[:, 7:] = True
    assert found.old_fraction >= average(bay & grid.water, grid.open_volume.astype(float)) - 1e-9  # rounding
    assert found.efficiency < 0.5
    assert found.oldest_at[1] > 7 * EDGE
    assert found.oldest_place.endswith("right")  # where in the bay hangs on what the flow in it lacks to balance


def intake_in_front(patches):
    """The outlet in the front left corner, the intake in the front right one."""
    return patches[0], replace(patches[1], cells=np.array([[11, 0, 0]]))


def two_outlets(patches):
    """A in the first cell, the intake in the second, B in the last."""
    first, last = patches
    return (
        replace(first, name="A"),
        replace(first, name="B", cells=last.cells),
        replace(last, cells=np.array([[1, 0, 0]])),
    )


def test_straight_into_an_intake(renewal_of):
    """Fifty cells in a row; what fades on the way from A over one cell and from B over 48 is summed here.

    φ of the intake's cell is Q/(Q + k Q/N); of A's cell half the flow goes on, as of each on the way from B.
    """
    rates = {"A": FLOW / 2, "B": FLOW / 2, "out": -FLOW}
    _, found = renewal_of((50, 1, 1), rates=rates, openings=two_outlets)
    k, N = 10, 50
    at_intake, step = 1 / (1 + k / N), 0.5 / (0.5 + k / N)
    from_a, from_b = at_intake * step, at_intake * step**48
    whole = (from_a + from_b) / 2
    mixed_part = k * (1 - whole) / (k - 1 + whole)
    mixed = mixed_part / (mixed_part + k)
    assert found.straight_shares["A"]["out"] == pytest.approx((from_a - mixed) / (1 - mixed), rel=1e-4)  # at rest
    assert found.straight_shares["B"]["out"] == 0.0
    (caution,) = found.cautions
    assert caution.where == "outlet A"
    assert "56 % of its water goes straight" in caution.what


def test_the_intake_that_most_goes_straight_into_is_named():
    (caution,) = short_circuits({"A": {"near": 0.25, "far": 0.05}, "B": {"near": 0.0, "far": 0.02}})
    assert caution.where == "outlet A"
    assert caution.what == "30 % of its water goes straight into an intake, most of it into the near"


def test_what_a_mixed_tank_would_pass_is_taken_off():
    """Half of it arrives; 0.1 of what is mixed would, shared 3 to 1: (0.5 - 0.1)/0.9 goes straight."""
    found = without_mixing({"near": 0.45, "far": 0.05}, {"near": 0.75, "far": 0.25}, 0.1)
    straight = 0.4 / 0.9
    assert sum(found.values()) == pytest.approx(straight, rel=1e-12)
    beyond = 0.45 - (1 - straight) * 0.075, 0.05 - (1 - straight) * 0.025
    assert found["near"] / found["far"] == pytest.approx(beyond[0] / beyond[1], rel=1e-12)
    assert without_mixing({"near": 0.05, "far": 0.02}, {"near": 0.5, "far": 0.5}, 0.1) == {"near": 0.0, "far": 0.0}


def test_age_over_groups_of_corals(renewal_of):
    """The n-th of twenty cells is n/20 of V/Q old; a group over the third and fourth has 3.5/20 of it."""
    group, dry = (
        Coral(name, (x, 0.025, 0.025), (0.1, 0.05, 0.05), (0.1, 0.3)) for name, x in (("a", 0.15), ("b", 9.0))
    )
    _, found = renewal_of((20, 1, 1), corals=(group, dry))
    assert found.coral_ages["a"] / found.nominal_age == pytest.approx(3.5 / 20, rel=1e-4)
    assert isnan(found.coral_ages["b"])


def test_half_a_cell_counts_half(grid_of):
    """A whole cell 10 s old and half of one 40 s old: 20 s."""
    grid = grid_of((2, 1, 1), EDGE)
    grid.open_volume[1] = 0.5
    assert over_cells(np.array([10.0, 40.0]), np.array([0, 1]), grid) == pytest.approx(20.0, rel=1e-12)
