"""Steady transport against exact ages: tanks in series, a mixed tank, a duct with eddies, and what any flow obeys."""

import numpy as np
import pytest

from flowviz.errors import ConvergenceError
from flowviz.flow import transport
from flowviz.flow.field import Field, Quality
from flowviz.flow.pressure.projection import potential_flow
from flowviz.flow.transport import Balances, eddy_diffusivity, exchange_by, extent
from flowviz.formulas.mixing import STILL
from flowviz.grid.grid import Grid, Kind, Patch
from flowviz.grid.joining import joined

EDGES = np.array((0.02, 0.0235, 0.017))  # of all cells here [m]
FLOW = 1e-4  # through the tank [m³/s]


def duct(shape, rock=None, along: int = 0) -> Grid:
    """A box that water enters at its low end along an axis and leaves at its high one, all over."""
    kind = np.full(shape, Kind.WATER, np.uint8)
    if rock is not None:
        kind[rock] = Kind.ROCK
    faces = tuple(np.ones(kind.shape + np.eye(3, dtype=int)[axis], np.float32) for axis in range(3))
    patches = opening("in", True, kind, 0, along), opening("out", False, kind, shape[along] - 1, along)
    return joined(tuple(EDGES), kind, (kind == Kind.WATER).astype(np.float32), faces, patches)


def opening(name, inflow, kind, plane, along) -> Patch:
    cells = np.argwhere(kind == Kind.WATER)
    cells = cells[cells[:, along] == plane]
    share, ahead = np.full(len(cells), 1 / len(cells)), tuple(np.eye(3)[along])
    return Patch(name, inflow, cells, share, (0, 0, 0), ahead, ahead, 1e-3, (0.03, 0.03), True)


def uniform(grid: Grid, along: int = 0) -> tuple[np.ndarray, ...]:
    """The same flow through every section of the duct between the openings' cells."""
    velocity = tuple(np.zeros(face.shape, np.float32) for face in grid.shares)
    np.moveaxis(velocity[along], along, 0)[1:-1] = FLOW / np.delete(np.multiply(grid.shape, EDGES), along).prod()
    return velocity


def field(velocity, fluctuation) -> Field:
    return Field(*velocity, fluctuation, fluctuation, fluctuation[None], Quality(0.0, 0, 0.0, 0.0, True))


def flows(grid: Grid) -> tuple[np.ndarray, np.ndarray]:
    """What enters and what leaves each cell by the openings."""
    return grid.source({"in": FLOW, "out": 0.0}), grid.source({"in": 0.0, "out": FLOW})


def age(grid: Grid, velocity, diffusivity: np.ndarray) -> np.ndarray:
    volume = grid.open_volume * np.float32(grid.cell_volume)
    forth = exchange_by(grid, field(velocity, diffusivity), diffusivity)
    return Balances(forth, flows(grid)[0]).steady(volume)


def turning(grid: Grid, speed: float) -> tuple[np.ndarray, ...]:
    """Potential flow from end to end, with eddies of many sizes whose stream function ends at walls and rock."""
    u, v, w = potential_flow(grid, {"in": FLOW, "out": -FLOW}, 1e-6)
    nx, ny, nz = grid.shape
    hx, hy, _ = EDGES
    stream = speed * hx * np.random.default_rng(2).normal(size=(nx + 1, ny + 1, nz))
    solid = np.pad(~grid.water, ((1, 1), (1, 1), (0, 0)), constant_values=True)
    stream[solid[1:, 1:] | solid[:-1, 1:] | solid[1:, :-1] | solid[:-1, :-1]] = 0
    return u + np.float32(np.diff(stream, axis=1) / hy), v - np.float32(np.diff(stream, axis=0) / hx), w


def line(count: int, along: int) -> Grid:
    """A duct of so many cells along an axis, one wide."""
    return duct(tuple(np.where(np.arange(3) == along, count, 1)), along=along)


@pytest.mark.parametrize("along", range(3))
@pytest.mark.parametrize("count", [1, 2, 5, 40])
def test_tanks_in_series(count, along):
    """N mixed cells one after the other: the n-th is n V/(N Q) old, and <τ>/τ_n = (N + 1)/(2 N). Exact."""
    grid = line(count, along)
    found = age(grid, uniform(grid, along), np.zeros(grid.shape)).ravel()
    nominal = count * EDGES.prod() / FLOW
    assert found == pytest.approx(nominal * np.arange(1, count + 1) / count, rel=1e-6)  # float32 of the velocity
    assert found.mean() / nominal == pytest.approx((count + 1) / (2 * count), rel=1e-6)


def test_a_mixed_tank_is_as_old_as_its_water_is_renewed():
    """Eddies that cross the tank in a thousandth of V/Q: V/Q everywhere but for about that."""
    grid = duct((12, 6, 6))
    nominal = grid.water_volume / FLOW
    found = age(grid, uniform(grid), np.full(grid.shape, 1e3 * (12 * EDGES[0]) ** 2 / nominal))
    assert found == pytest.approx(np.full(grid.shape, nominal), rel=2e-3)


@pytest.mark.parametrize("along", range(3))
@pytest.mark.parametrize("peclet", [0.5, 5.0, 40.0])
def test_a_duct_with_eddies(peclet, along):
    """τ = x/U + D/U² [1 - exp(-U (L - x)/D)]: solves U τ' - D τ'' = 1 with closed ends (P. V. Danckwerts 1953).

    The error is the scheme's, of second order: four times less on half the cell, to a tenth.
    """
    coarse, fine = (duct_error(count, peclet, along) for count in (80, 160))
    assert coarse < 1e-3
    assert coarse / fine == pytest.approx(4.0, rel=0.1)


def duct_error(count: int, peclet: float, along: int) -> float:
    """Largest error of the age over V/Q, on a duct of so many cells along an axis."""
    grid, h = line(count, along), EDGES[along]
    length, speed = count * h, FLOW * h / EDGES.prod()
    spread = speed * length / peclet
    x = (np.arange(count) + 0.5) * h
    exact = x / speed + spread / speed**2 * (1 - np.exp(-speed * (length - x) / spread))
    found = age(grid, uniform(grid, along), np.full(grid.shape, spread)).ravel()
    return float(np.abs(found - exact).max() / (length / speed))


@pytest.mark.parametrize("spread", [0.0, 2e-4])
def test_what_leaves_is_as_old_as_the_tank_is_renewed(spread):
    """Σ Q τ over the outlets = V, whatever the flow (Danckwerts 1953; D. B. Spalding, Chem. Eng. Sci. 9 (1958) 74)."""
    grid = duct((24, 12, 10), np.s_[8:12, 3:9, :7])
    found = age(grid, turning(grid, 0.1), np.full(grid.shape, spread))
    assert (flows(grid)[1] * found).sum() / grid.water_volume == pytest.approx(1.0, abs=1e-4)  # the projection's own
    assert (found[grid.water] > 0).all()
    assert (found[~grid.water] == 0).all()


def test_time_left_is_the_age_of_the_flow_run_backwards():
    """<τ> is the mean of the time left as well, for any steady flow (same identity)."""
    grid = duct((24, 12, 10), np.s_[8:12, 3:9, :7])
    velocity, still = turning(grid, 0.1), np.zeros(grid.shape)
    volume = grid.open_volume * np.float32(grid.cell_volume)
    back = exchange_by(grid, field(velocity, still), still)
    back.turn_round()
    left = Balances(back, flows(grid)[1]).steady(volume)
    young = age(grid, velocity, still)
    assert (left * volume).sum() == pytest.approx((young * volume).sum(), rel=1e-4)
    assert not np.allclose(left, young, rtol=0.1)


def test_turned_round_each_cell_takes_what_the_flow_run_backwards_brings():
    """Bit for bit, and twice is not at all."""
    grid = duct((24, 12, 10), np.s_[8:12, 3:9, :7])
    velocity, mixed = turning(grid, 0.1), np.full(grid.shape, 1e-4)
    forth, back = (exchange_by(grid, field(way, mixed), mixed) for way in (velocity, tuple(-u for u in velocity)))
    before = forth.take.copy()
    forth.turn_round()
    assert np.array_equal(forth.take, back.take)
    forth.turn_round()
    assert np.array_equal(forth.take, before)


def test_a_fading_tracer_in_a_mixed_tank():
    """c = 1 enters, fades at k Q/V and leaves: c = 1/(1 + k) everywhere. Exact but for the mixing."""
    grid = duct((10, 5, 5))
    enters, leaves = flows(grid)
    mixed = np.full(grid.shape, 10.0)
    back = exchange_by(grid, field(uniform(grid), mixed), mixed)
    back.turn_round()
    fades = 3 * FLOW / grid.water_volume * grid.open_volume * grid.cell_volume
    found = Balances(back, leaves + fades).steady(leaves.astype(np.float32))
    assert found == pytest.approx(np.full(grid.shape, 0.25), rel=1e-3)
    assert enters.sum() == pytest.approx(leaves.sum())


def test_eddies_spread_by_wall_distance_and_fluctuation():
    """0.55 (u'/√2) ℓ/0.7, ℓ = 0.41 of the distance to the wall, at most 0.09 of half the smallest extent.

    Exact off walls across the shortest edge; off others the distance is too large by half of what theirs is longer.
    """
    grid = duct((30, 20, 20))
    fluctuation = np.full(grid.shape, 0.05, np.float32)
    found = eddy_diffusivity(grid, field(uniform(grid), fluctuation))
    thin = 20 * EDGES[2]
    assert extent(grid) == pytest.approx(thin)
    near = 0.41 * EDGES[2] / 2
    for cell, length in (((15, 10, 0), near), ((15, 10, 18), 3 * near), ((15, 10, 10), 0.09 * thin / 2)):
        assert found[cell] == pytest.approx(0.55 * 0.05 / 2**0.5 * length / 0.7 + STILL, rel=1e-6)


def test_what_does_not_settle_is_told(monkeypatch):
    monkeypatch.setattr(transport, "ROUNDS", 1)
    grid = duct((24, 12, 10), np.s_[8:12, 3:9, :7])
    velocity = turning(grid, 0.1)
    with pytest.raises(ConvergenceError, match="did not settle"):
        age(grid, velocity, np.zeros(grid.shape))
