"""What phases come to together, from hand-made fields, all figures counted by hand."""

from dataclasses import asdict, replace
from math import inf, isnan

import numpy as np
import pytest

from flowviz.assess.cycle import measure_cycle, rest_told
from flowviz.assess.measures import measure
from flowviz.grid.grid import Rubble
from flowviz.scene.model import Coral, Phase, Sand

SHAPE, EDGE, SIZE = (20, 10, 10), 0.05, (1.0, 0.5, 0.5)
CREST = Coral("crest", (0.75, 0.25, 0.25), (0.5, 0.5, 0.5), (0.1, 0.3))  # the right half of the tank
HOUR = 3600.0


def halves(left: float, right: float) -> np.ndarray:
    """One speed in the left half of the tank and one in the right, in three windows alike."""
    speeds = np.full((3, *SHAPE), left)
    speeds[:, 10:] = right
    return speeds


@pytest.fixture
def cycle_of(grid_of, field_of, scene_of):
    """The cycle of phases given as how long each lasts and the speeds in it (windows, cells...)."""

    def measured(*phases, **parts):
        grid = grid_of(SHAPE, EDGE)
        told = tuple(Phase(f"phase {n}", time, {}, {}) for n, (time, _) in enumerate(phases, start=1))
        scene = scene_of(SIZE, phases=told, corals=(CREST,), **parts)
        return measure_cycle(
            scene, grid, [field_of(np.array(speeds), grid) for _, speeds in phases], [{}] * len(phases)
        )

    return measured


def test_two_halves_take_turns(cycle_of):
    """Three hours the left half is dead, one hour the right one: every spot is dead at some time, none always."""
    found = cycle_of((3 * HOUR, halves(0.01, 0.2)), (HOUR, halves(0.6, 0.02)))
    dead, over = found.spreads["dead_fraction"], found.spreads["over_fraction"]
    assert (dead.worst, dead.mean, dead.best) == (0.5, 0.5, 0.5)
    assert (over.worst, over.worst_phase, over.mean, over.best, over.best_phase) == (
        0.5,
        "phase 2",
        0.125,
        0.0,
        "phase 1",
    )
    assert (found.time, found.ever_dead_fraction, found.always_dead_fraction) == (4 * HOUR, 1.0, 0.0)
    assert np.unique(found.dead_time[:10]).tolist() == [0.75]
    assert np.unique(found.dead_time[10:]).tolist() == [0.25]
    crest = found.corals["crest"]
    assert (crest.worst, crest.worst_phase, crest.mean, crest.best) == (0.0, "phase 2", 0.75, 1.0)


def test_what_is_dead_in_phases_counts_by_volume(scene_of, grid_of, field_of):
    """The left half is dead in both phases, the right one in one; its cells are open by a third of the left ones'."""
    grid = grid_of(SHAPE, EDGE)
    grid.open_volume[:10], grid.open_volume[10:] = 0.75, 0.25
    scene = scene_of(SIZE, phases=tuple(Phase(name, HOUR, {}, {}) for name in "ab"))
    fields = [field_of(halves(0.01, right), grid) for right in (0.01, 0.2)]
    found = measure_cycle(scene, grid, fields, [{}, {}])
    assert (found.always_dead_fraction, found.ever_dead_fraction) == (0.75, 1.0)
    assert (found.spreads["dead_fraction"].best, found.spreads["dead_fraction"].worst) == (0.75, 1.0)


def test_the_strongest_moment(cycle_of):
    speeds = halves(0.6, 0.1)
    speeds[:, 2, 7, 8] = 0.9
    found = cycle_of((3 * HOUR, halves(0.7, 0.2)), (HOUR, speeds)).strongest
    assert found.phase == "phase 2"
    assert found.speed == pytest.approx(0.9, rel=1e-6)  # float32
    assert found.at == pytest.approx((2.5 * EDGE, 7.5 * EDGE, 8.5 * EDGE))
    assert found.place.endswith("high, towards the back left")


def test_the_dead_share_is_the_mean_over_cells_of_the_share_of_the_time(cycle_of):
    """Two ways to the same sum."""
    random = np.random.default_rng(2)
    found = cycle_of(*((time, random.gamma(2.0, 0.03, (4, *SHAPE))) for time in (HOUR, 2 * HOUR, 5 * HOUR)))
    assert found.spreads["dead_fraction"].mean == pytest.approx(found.dead_time.mean(dtype=np.float64), rel=1e-6)
    shares = [each.shares["dead_fraction"] for each in found.phases.values()]
    assert found.always_dead_fraction <= min(shares)
    assert max(shares) <= found.ever_dead_fraction <= sum(shares)


def test_a_phase_has_the_figures_that_its_field_alone_has(cycle_of, grid_of, field_of, scene_of):
    speeds, grid = np.random.default_rng(3).gamma(2.0, 0.08, (4, *SHAPE)), grid_of(SHAPE, EDGE)
    alone = measure(scene_of(SIZE, corals=(CREST,)), grid, field_of(speeds, grid))
    found = cycle_of((HOUR, speeds)).phases["phase 1"]
    assert found.shares["dead_fraction"] == alone.dead_fraction
    assert found.uncertainty["over_fraction"] == alone.uncertainty["over_fraction"]
    assert found.shares["settling_fraction"] == alone.bed.settling_fraction
    assert found.corals["crest"] == alone.corals["crest"]
    assert found.round_time == pytest.approx(HOUR / alone.circulation)


def test_slow_water_in_a_heap_is_dead_in_no_phase(scene_of, grid_of, field_of):
    """The left half is a heap through which water seeps at 1 cm/s; the right half is dead in the second phase."""
    share = np.zeros(SHAPE, np.float32)
    share[:10] = 1
    grid = replace(grid_of(SHAPE, EDGE), rubble=Rubble(share, share, share))
    scene = scene_of(SIZE, phases=tuple(Phase(name, HOUR, {}, {}) for name in ("flood", "ebb")))
    found = measure_cycle(scene, grid, [field_of(halves(0.01, speed), grid) for speed in (0.2, 0.02)], [{}] * 2)
    assert [each.shares["dead_fraction"] for each in found.phases.values()] == [0.0, 1.0]
    assert (found.ever_dead_fraction, found.always_dead_fraction) == (1.0, 0.0)
    assert not found.dead_time[:10].any()
    assert (found.dead_time[10:] == 0.5).all()


def test_the_strongest_moment_is_laid_to_no_outlet_that_is_shut_then(scene_of, grid_of, field_of, make):
    """Two outlets blow through one place, one in the first phase, the other in the second, in which it is faster."""
    grid, here = grid_of(SHAPE, EDGE), (2.5 * EDGE, 4.5 * EDGE, 4.5 * EDGE)
    speeds = halves(0.1, 0.1)
    speeds[:, 2, 4, 4] = 0.9
    low = make.outlet("low", (here[0], here[1], 0.0), (0, 0, 1), "floor")
    side = make.outlet("side", (0.0, here[1], here[2]), (1, 0, 0), "left")
    for outlets in ((low, side), (side, low)):
        scene = scene_of(SIZE, outlets=outlets, phases=tuple(Phase(name, HOUR, {}, {}) for name in ("one", "two")))
        fields = [field_of(halves(0.1, 0.1), grid), field_of(speeds, grid)]
        found = measure_cycle(scene, grid, fields, [{"low": 1e-3, "side": 0.0}, {"low": 0.0, "side": 1e-3}])
        assert found.strongest.place.startswith("in the jet of “side”")


def test_the_strongest_moment_is_none_of_a_heap(scene_of, grid_of, field_of):
    share = np.zeros(SHAPE, np.float32)
    share[:10] = 1
    grid = replace(grid_of(SHAPE, EDGE), rubble=Rubble(share, share, share))
    found = measure_cycle(
        scene_of(SIZE, phases=(Phase("flood", HOUR, {}, {}),)), grid, [field_of(halves(0.9, 0.2), grid)], [{}]
    )
    assert found.strongest.speed == pytest.approx(0.2, rel=1e-6)  # float32


def test_the_means_interval_is_that_of_the_phases_erring_together(cycle_of):
    random = np.random.default_rng(4)
    found = cycle_of(*((time, random.gamma(2.0, 0.03, (4, *SHAPE))) for time in (HOUR, 3 * HOUR)))
    one, other = (each.uncertainty["dead_fraction"] for each in found.phases.values())
    assert found.spreads["dead_fraction"].uncertainty == pytest.approx((one + 3 * other) / 4, rel=1e-12)
    assert all(width > 0 for width in found.uncertainty.values())


def test_windows_that_cannot_be_paired_leave_what_is_always_dead_unsure(cycle_of):
    random = np.random.default_rng(5)
    found = cycle_of(*((HOUR, random.gamma(2.0, 0.03, (windows, *SHAPE))) for windows in (4, 5)))
    assert all(isnan(width) for width in found.uncertainty.values())
    assert 0 <= found.always_dead_fraction <= found.ever_dead_fraction <= 1


def test_short_phases_are_told_and_long_ones_are_not(cycle_of):
    moving = halves(0.1, 0.2)
    needed = 3 * cycle_of((HOUR, moving)).phases["phase 1"].round_time
    assert cycle_of((1.01 * needed, moving), (1.01 * needed, moving)).cautions == ()
    (caution,) = cycle_of((1.01 * needed, moving), (0.99 * needed, moving)).cautions
    assert caution.where == "phase phase 2"
    assert "the phase before" in caution.what


def test_a_phase_that_follows_itself_has_nothing_to_forget(cycle_of):
    assert cycle_of((1.0, halves(0.1, 0.2))).cautions == ()


def test_a_planned_rest_is_dead_and_counts_for_nothing(cycle_of):
    found = cycle_of((HOUR, halves(0.1, 0.2)), (HOUR, np.zeros((3, *SHAPE))), sand=Sand(0.02, 1e-3))
    assert found.phases["phase 2"].shares["dead_fraction"] == 1.0
    dead = found.spreads["dead_fraction"]
    assert (dead.mean, dead.worst, dead.worst_phase) == (0.0, 0.0, "phase 1")
    assert found.spreads["blown_fraction"].worst == 0.0
    assert (found.time, found.moving_time, found.resting) == (2 * HOUR, HOUR, ("phase 2",))
    assert not found.dead_time.any()
    assert rest_told(found) == "all pumps rest in the phase phase 2"
    assert asdict(found.phases["phase 2"])["round_time"] < inf  # the hand-made inflow moves a little


def test_phases_at_rest_are_named_together(cycle_of):
    moving, rest = (HOUR, halves(0.1, 0.2)), (HOUR, np.zeros((3, *SHAPE)))
    assert rest_told(cycle_of(moving, rest, rest)) == "all pumps rest in the phases phase 2 and phase 3"
    assert rest_told(cycle_of(moving)) == ""


def test_a_phase_that_leaves_water_still_is_no_rest(cycle_of):
    found = cycle_of((HOUR, halves(0.1, 0.2)), (HOUR, halves(0.0, 0.2)))
    assert found.resting == ()
    assert found.spreads["dead_fraction"].worst == 0.5


def test_water_at_rest_adds_no_doubt(cycle_of):
    """What is always dead is then what is dead in the moving phase, with the same interval."""
    speeds = np.random.default_rng(6).gamma(2.0, 0.03, (4, *SHAPE))
    found = cycle_of((HOUR, speeds), (HOUR, np.zeros((4, *SHAPE))))
    moving = found.phases["phase 1"]
    assert found.always_dead_fraction == moving.shares["dead_fraction"]
    assert found.uncertainty["always_dead_fraction"] == pytest.approx(moving.uncertainty["dead_fraction"], rel=1e-9)
    assert found.ever_dead_fraction == found.always_dead_fraction
