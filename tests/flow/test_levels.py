"""The three levels on the smallest tank: what every field must hold, and that they answer alike."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from flowviz.flow import levels
from flowviz.flow.field import Field
from flowviz.flow.slanting import slanting
from flowviz.flow.solve import solve_flow
from flowviz.flow.state import FORGETFUL
from flowviz.progress import silent

VISCOSITY = 1e-6
WATCH = (0.03, 0.5)


def solve(tank, detail: str, **more) -> Field:
    return solve_flow(tank.grid, tank.rates, VISCOSITY, detail, watch=WATCH, **more)


@pytest.fixture(scope="module")
def shortened():
    """Fine runs of 7 s, where real ones may take 255 s, for what holds however long they are."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(levels, "FINE", levels.Level(levels.FINE.closure, 1.0, 0.5))
        patch.setattr(levels, "LONGEST", 6.0)
        yield


@pytest.fixture(scope="module")
def fields(boulder, shortened) -> dict[str, Field]:
    return {detail: solve(boulder, detail) for detail in ("sketch", "coarse", "fine")}


@pytest.mark.parametrize("detail", ["sketch", "coarse", "fine"])
def test_field_keeps_the_rules_of_fields(detail, fields, boulder):
    """Of field.py: balance below 1e-3, nothing in solids, windows whose mean the speed is (float32 rounding).

    Shut faces hold nothing either, but for those of the boulder, which is round.
    """
    field, grid = fields[detail], boulder.grid
    assert field.quality.balance_error < 1e-3
    assert len(field.batches) >= levels.FEWEST
    assert field.batches.mean(axis=0) == pytest.approx(field.speed, abs=1e-5)
    for values in (field.speed, field.fluctuation, field.batches):
        assert values.dtype == np.float32
        assert not values[..., ~grid.water].any()
    shares = grid.shares
    for along, share, slant in zip((field.u, field.v, field.w), shares, slanting(grid), strict=True):
        assert along.dtype == np.float32
        assert not along[(share == 0) & ~slant].any()
        assert along[slant].any()
    mean = np.sqrt((field.velocity().astype(float) ** 2).sum(axis=-1))
    assert (field.speed * (1 + 1e-5) >= mean)[grid.water].all()


def test_levels_tell_how_long_they_marched(fields):
    assert fields["sketch"].quality.averaged == pytest.approx(levels.FEWEST * levels.SKETCH.window)
    assert fields["coarse"].quality.averaged == pytest.approx(levels.FEWEST * levels.COARSE.window)
    assert 5.999 < fields["fine"].quality.averaged < 7.0
    assert not fields["fine"].quality.steady


def test_sketch_is_the_same_twice(fields, boulder):
    """Bit for bit."""
    again = solve(boulder, "sketch")
    assert np.array_equal(again.u, fields["sketch"].u)
    assert np.array_equal(again.batches, fields["sketch"].batches)


@pytest.mark.parametrize(
    ("changes", "circles", "gaining"),
    [
        ([], False, True),
        ([1.0], False, True),
        ([1.0, 0.03], False, True),
        ([1.0, 0.01], False, False),  # as good as all at once
        ([1.0, 0.0, -0.03], False, True),
        ([1.0, 0.1, 0.01], False, False),  # fell off at once
        ([1.0, 0.11, 0.05, 0.03, 0.015], False, False),  # less than half of what it was
        ([1.0, 0.03, 0.03, 0.025, 0.018], False, True),  # more than that
        ([1.0, 0.03, -0.01, 0.02, 0.018, 0.018], False, False),  # not all the time
        ([1.0, 0.003, 0.002, 0.002, 0.0018], False, False),  # less than a 500th
        ([1.0, 0.003, 0.003, 0.003, 0.0025], False, True),  # more than that
        ([1.0, 0.0, 0.0, 0.0, -0.015], False, False),
        ([0.03, 0.02, 0.01, 0.003], True, True),  # of water that is hastened any growth counts
        ([0.03, 0.02, 0.01, 0.0018], True, False),
    ],
)
def test_a_tank_is_spun_up_when_it_changes_little_or_grows_no_more_steadily(changes, circles, gaining):
    """Relative changes of the mean speed from one stretch to the next; the last one decides, beside those before it."""
    assert levels.gaining(changes, circles) == gaining


@pytest.fixture
def spinning(boulder, monkeypatch):
    """Spins up water whose speed nears 1 m/s by a share of what is left in each stretch; when it is left, how fast."""

    def gather(march, seconds):
        march.time += seconds
        march.velocity[0][:] += march.share * (1 - march.velocity[0])
        return SimpleNamespace(path=np.full(march.grid.shape, march.velocity[0][0]), time=1.0)

    def spin(share: float, start: float, earlier: float) -> tuple[float, float]:
        case = levels.Case(boulder.grid, boulder.rates, VISCOSITY, WATCH, silent, 0, FORGETFUL)
        velocity = (np.full(1, start, np.float32),)
        march = SimpleNamespace(grid=boulder.grid, time=0.0, velocity=velocity, share=share)
        levels.spin(case, march, earlier)
        return march.time / levels.STRETCH, float(velocity[0][0])

    monkeypatch.setattr(levels, "gather", gather)
    return spin


def test_a_tank_that_circles_freely_is_spun_up_in_time(spinning, monkeypatch):
    """By 1/20 of what is left in a stretch, as the round column's water: to 4 %, which 63 stretches would take."""
    stretches, speed = spinning(0.05, 0.0, 0.0)
    assert levels.CIRCLING / levels.STRETCH < stretches < 32
    assert speed == pytest.approx(1, abs=0.04)
    monkeypatch.setattr(levels, "HASTE", 0.0)
    assert spinning(0.05, 0.0, 0.0)[0] > 45


def test_other_tanks_are_left_as_soon_as_they_have_spun_up(spinning):
    """By half of what is left in a stretch: it changes by less than 2 % after six."""
    stretches, speed = spinning(0.5, 0.0, 0.0)
    assert stretches == 6
    assert speed == pytest.approx(1 - 0.5**6)


def test_a_march_from_another_motion_is_watched_for_long_enough(spinning):
    """It gains by 0.7 % at once, and would seem to have come to its end: four changes tell that it goes on."""
    stretches, speed = spinning(0.05, 0.88, 200.0)
    assert stretches > levels.STEADY + 1
    assert speed == pytest.approx(1, abs=0.04)


def test_dragged_sketch_goes_on_from_the_last_field(fields, boulder):
    """With half the flow all speeds tend to half (viscosity hardly counts); 14 s later they are on the way."""
    half = {name: rate / 2 for name, rate in boulder.rates.items()}
    moved = solve_flow(boulder.grid, half, VISCOSITY, "sketch", watch=WATCH, start=fields["sketch"])
    water = boulder.grid.water
    ratio = moved.speed[water].mean() / fields["sketch"].speed[water].mean()
    assert 0.5 < ratio < 0.95
    marched = levels.DRAGGED.settle + levels.FEWEST * levels.DRAGGED.window
    assert moved.quality.simulated == pytest.approx(marched, rel=1e-6)
    assert moved.quality.balance_error < 1e-3


def test_fine_run_stops_when_its_shares_are_known(boulder, shortened, monkeypatch):
    """Any interval is narrow enough here, so it stops at the fewest windows."""
    monkeypatch.setattr(levels, "PRECISION", dict.fromkeys(levels.PRECISION, 1.0))
    field = solve(boulder, "fine", start=solve(boulder, "sketch"))
    assert field.quality.steady
    assert len(field.batches) == levels.FEWEST


def test_doubt_is_that_of_the_widest_interval(boulder):
    """Windows alternate by 5 %: s = 5 % √(8/7), t s/√8 = 2.36 x 5 %/√7 = 4.5 %; 3 % is asked."""
    case = levels.Case(boulder.grid, boulder.rates, VISCOSITY, (0.0, 9.0), silent, 0, FORGETFUL)
    record = Alternating(boulder.grid.shape, 0.05)
    assert levels.unsteadiness(case, record) == pytest.approx(2.3646 * 0.05 / np.sqrt(7) / 0.03, rel=1e-3)


def test_doubt_is_that_of_the_water_by_volume(boulder):
    """Two cells of which one holds nothing: if that one alternates it adds no doubt, if the other does all of it."""
    swing = Alternating((1, 1, 2), 0.05)
    for values in swing.speeds:
        values[..., 1] = 0.1
    for volumes, doubt in ((np.float32([[[0, 1]]]), 0.0), (np.float32([[[1, 0]]]), 2.3646 * 0.05 / np.sqrt(7) / 0.03)):
        grid = replace(boulder.grid, kind=np.zeros((1, 1, 2), np.uint8), open_volume=volumes)
        case = levels.Case(grid, boulder.rates, VISCOSITY, (0.0, 9.0), silent, 0, FORGETFUL)
        assert levels.unsteadiness(case, swing) == pytest.approx(doubt, rel=1e-3)


class Alternating:
    """A record of eight windows whose speeds go up and down about 0.1 m/s, everywhere alike."""

    def __init__(self, shape, swing: float) -> None:
        self.speeds = [np.full(shape, 0.1 * (1 + swing * (-1) ** n), np.float32) for n in range(8)]
        self.speed = np.full(shape, 0.1, np.float32)
        self.time = 8e7  # windows far longer than such a tank remembers


def test_windows_are_joined_when_there_are_many(boulder, shortened, monkeypatch):
    """17 windows of 0.1 s: 16 joined to 8 of 0.2 s, and one more."""
    monkeypatch.setattr(levels, "FINE", levels.Level(levels.FINE.closure, 0.1, 0.1))
    monkeypatch.setattr(levels, "LONGEST", 1.7)
    monkeypatch.setattr(levels, "PRECISION", dict.fromkeys(levels.PRECISION, 1e-9))
    field = solve(boulder, "fine", start=solve(boulder, "sketch"))
    assert len(field.batches) == 9
    assert field.quality.averaged == pytest.approx(1.8, rel=1e-6)


@pytest.mark.parametrize("detail", ["sketch", "coarse", "fine"])
def test_progress_is_told_and_never_goes_back(detail, boulder, shortened):
    told = {"spinning up": [], "marching": []}
    solve(boulder, detail, progress=lambda stage: told[stage.doing].append(stage.share))
    for shares in told.values():
        assert len(shares) > 2
        assert sorted(shares) == shares
        assert all(0 <= share <= 1 for share in shares)


def test_interruption_passes(boulder):
    def interrupt(stage):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        solve(boulder, "sketch", progress=interrupt)


def test_sketch_grid_is_as_large_as_meant(boulder):
    """Cells are counted in whole numbers along each side: within a third of the aim."""
    cells = np.count_nonzero(levels.sketch_grid(boulder.grid).water)
    assert cells == pytest.approx(levels.SKETCH_CELLS, rel=0.35)
    small = levels.sketch_grid(levels.sketch_grid(boulder.grid))
    assert small.shape == levels.sketch_grid(boulder.grid).shape
