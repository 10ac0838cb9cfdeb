"""Leaks and service against sums by hand on the peninsula: 2.4 m x 0.76 m of water, 0.6 m deep."""

import re
from dataclasses import replace
from math import pi, sqrt

import pytest

from flowviz.plumbing.leaks import joined, leaks
from flowviz.plumbing.service import inspections, pump_services, standing_cautions
from flowviz.scene.apertures import Slot
from flowviz.scene.model import Site

AREA = 2.4 * 0.76


def leak(found, where):
    return next(one for one in found if one.where == where)


def test_an_opening_that_breaks_off_drains_to_its_lip(scene):
    """The hole of 60 mm at 450 mm has its lip at 420 mm; Torricelli's time through it, a sharp one."""
    one = leak(leaks(scene).as_built, 'outlet "left high"')
    lost = AREA * 0.18
    assert one.level == pytest.approx(0.42)
    assert one.lost == pytest.approx(lost)
    assert one.on_floor == pytest.approx(lost / 20.0)  # the room of the scene
    assert leaks(replace(scene, site=Site())).as_built[0].on_floor is None
    assert one.flow == pytest.approx(0.61 * pi / 4 * 0.06**2 * sqrt(2 * 9.80665 * 0.18))
    assert one.time == pytest.approx(2 * AREA * sqrt(0.18) / (0.61 * pi / 4 * 0.06**2 * sqrt(2 * 9.80665)))


def test_a_pipe_that_shears_off_is_a_short_tube(scene):
    """The bore of 32 mm, where no drilled hole is told; Unwin's 0.82."""
    bare = replace(scene, outlets=(replace(scene.outlets[0], hole=None), scene.outlets[1]))
    one = leak(leaks(bare).as_built, 'outlet "left high"')
    assert one.flow == pytest.approx(0.82 * pi / 4 * 0.032**2 * sqrt(2 * 9.80665 * (0.6 - one.level)))


def test_the_worse_of_pipe_and_bulkhead_is_told(scene):
    """A hole of 34 mm round a bore of 32 mm passes less, 0.61 of it, than the pipe, 0.82 of it."""
    tight = replace(scene, outlets=(replace(scene.outlets[0], hole=0.034), scene.outlets[1]))
    one = leak(leaks(tight).as_built, 'outlet "left high"')
    assert one.flow == pytest.approx(0.82 * pi / 4 * 0.032**2 * sqrt(2 * 9.80665 * (0.6 - one.level)))


def test_a_floor_opening_empties_the_tank(scene):
    riser = replace(scene.outlets[1], normal=(0.0, 0.0, 1.0))
    one = leak(leaks(replace(scene, outlets=(scene.outlets[0], riser))).as_built, 'outlet "behind the arch"')
    assert (one.level, one.lost) == pytest.approx((0.0, AREA * 0.6))


@pytest.mark.parametrize(
    ("normal", "lip"),
    [((0.0, -1.0, 0.0), 0.434), ((0.8, 0.6, 0.0), 0.434), ((0.48, 0.64, 0.6), 0.4372), ((0.0, 0.0, -1.0), 0.45)],
)
def test_the_lip_of_a_pipe_over_the_rim_hangs_on_the_way_it_faces(scene, normal, lip):
    """A mouth of 32 mm at 450 mm: half of that lower where it faces sideways, 0.8 of that half where it faces 0.6 of
    the way up, nothing where it looks down.
    """
    turned = replace(scene.outlets[0], panel=None, hole=None, normal=normal)
    one = leak(leaks(replace(scene, outlets=(turned, scene.outlets[1]))).as_built, 'outlet "left high"')
    assert one.level == pytest.approx(lip, abs=1e-9)


def test_a_pump_that_lets_go_drains_by_the_lowest_open_end(scene):
    """The pump stands at 120 mm, where its intake does; the riser's lip is lower: it stops at the pump.

    The water of all pipes comes on top: 2.4 m of 52.0 mm and 3.8 m of 34.5 mm.
    """
    one = leak(leaks(scene).as_built, 'pump "loop pump"')
    in_pipes = pi / 4 * (2.4 * 0.0519938**2 + 3.8 * 0.034544**2)
    assert one.level == pytest.approx(0.12)
    assert one.lost == pytest.approx(AREA * 0.48 + in_pipes, rel=1e-6)


def test_a_pump_on_the_floor_below_drains_to_the_lowest_lip(scene):
    """A metre lower it reaches the riser on the floor, whose lip is at 0; from 0.88 m under it the water falls 1.48 m
    at first, and as fast as Torricelli has it from there, by short tubes: two mouths of 32 mm and one pipe of 52 mm.
    """
    deep = replace(scene, pipes=(replace(scene.pipes[0], rise=-1.0), *scene.pipes[1:]))
    one = leak(leaks(deep).as_built, 'pump "loop pump"')
    pull = 0.82 * pi / 4 * (2 * 0.032**2 + 0.0519938**2) * sqrt(2 * 9.80665)
    assert one.level == pytest.approx(0.0)
    assert one.flow == pytest.approx(pull * sqrt(1.48))
    assert one.time == pytest.approx(2 * AREA * (sqrt(1.48) - sqrt(0.88)) / pull)


def test_a_siphon_break_holds_the_water_over_the_rim(scene):
    """All openings over the rim: without breaks each drains to its mouth, with breaks 30 mm."""
    over = replace(
        scene,
        outlets=tuple(replace(outlet, panel=None, hole=None) for outlet in scene.outlets),
        intakes=tuple(replace(intake, panel=None, hole=None) for intake in scene.intakes),
    )
    found = leaks(over)
    assert leak(found.as_built, 'outlet "left high"').level == pytest.approx(0.45 - 0.016)
    assert all(one.level == pytest.approx(0.57) for one in found.with_breaks)
    assert leaks(scene).with_breaks == leaks(scene).as_built  # a bulkhead has no siphon to break


def test_a_pump_that_runs_on_empties_the_tank_to_its_intake(scene):
    """Out of the broken pipe of the outlet, down to the intake's hole of 90 mm at 120 mm: its lip at 75 mm."""
    one = leak(leaks(scene).as_built, 'outlet "left high"')
    assert one.running_lost == pytest.approx(AREA * (0.6 - 0.075))
    assert one.running_floor == pytest.approx(one.running_lost / 20.0)  # the room of the scene
    intake = leak(leaks(scene).as_built, 'intake "left low"')
    assert intake.running_lost == intake.lost


def test_a_pump_that_runs_on_draws_by_its_lowest_intake(scene):
    """A second intake of 63 mm bore and 90 mm hole, at 300 mm, on the same pump: still down to 75 mm."""
    high = replace(scene.intakes[0], name="left middle", centre=(0.0, 0.38, 0.3))
    both = (*scene.pipes, replace(scene.pipes[0], start="left middle", rise=-0.18))
    for intakes in ((scene.intakes[0], high), (high, scene.intakes[0])):
        one = leak(leaks(replace(scene, intakes=intakes, pipes=both)).as_built, 'outlet "left high"')
        assert one.running_lost == pytest.approx(AREA * (0.6 - 0.075))


def test_only_an_outlet_over_the_surface_runs_back(scene):
    assert leaks(scene).runs_back == ()
    high = replace(scene.outlets[0], centre=(0.0, 0.2, 0.63))
    assert leaks(replace(scene, outlets=(high, scene.outlets[1]))).runs_back == ("left high",)


def test_what_hangs_together(scene):
    assert joined(scene, "loop pump") == {"left low", "loop pump", "tee", "left high", "behind the arch"}


def test_a_pump_between_union_ball_valves_comes_out(scene):
    """The tray takes the water of the 1.4 m and 1.0 m beside it."""
    (service,) = pump_services(scene)
    assert not service.missing
    assert service.trapped == pytest.approx(pi / 4 * 0.0519938**2 * 2.4)


def test_what_is_missing_is_named(scene):
    bare = replace(
        scene,
        pipes=(replace(scene.pipes[0], fittings={"ball valve": 1, "reducer to 3 in sch 40": 1}), *scene.pipes[1:]),
    )
    (service,) = pump_services(bare)
    assert service.missing == ('a union in pipe "left low" to "loop pump"',)


def test_inspection_list(scene):
    """Bulkheads first, the most loaded before: the floor's under 0.6 m of seawater, 6.02 kPa."""
    lines = inspections(scene)
    assert [line.where for line in lines[:3]] == ["behind the arch", "left low", "left high"]
    assert lines[0].load == pytest.approx(1023.2 * 9.80665 * 0.6, rel=1e-3)  # of the water's density
    assert {line.what for line in lines} == {"bulkhead", "strainer", "pump", "union", "valve"}


def test_a_bulkhead_over_the_water_bears_none(scene):
    high = replace(scene.outlets[0], centre=(0.0, 0.2, 0.63))
    lines = inspections(replace(scene, outlets=(high, scene.outlets[1])))
    assert {line.where: line.load for line in lines if line.what == "bulkhead"}["left high"] == 0.0


def test_what_the_water_weighs(scene):
    """2.4 m x 0.76 m x 0.6 m are 1094 L, at 1023.2 kg/m³ 1120 kg: a sum done here, to three digits as told."""
    (heavy,) = (caution.what for caution in standing_cautions(scene) if caution.where == "weight")
    litres, kilograms = (
        float(found.replace("\N{NARROW NO-BREAK SPACE}", "")) for found in re.findall(r"[\d\u202f.]+(?= )", heavy)
    )
    assert litres == pytest.approx(1e3 * AREA * 0.6, rel=5e-3)
    assert kilograms == pytest.approx(1023.2 * AREA * 0.6, rel=5e-3)


def test_water_over_the_surface(scene):
    """The tee a metre higher, at 1.42 m: from the pump at 0.12 m the upper 0.82 of 1.3 m of height, to the outlets
    0.82 of 0.97 m and of 1.42 m, lie over the water at 0.6 m.
    """
    assert leaks(scene).above_volume == 0.0
    high = [replace(scene.pipes[1], rise=1.3), replace(scene.pipes[2], rise=-0.97), replace(scene.pipes[3], rise=-1.42)]
    raised = replace(scene, pipes=(scene.pipes[0], *high))
    wide, narrow = pi / 4 * 0.0519938**2, pi / 4 * 0.034544**2
    expected = 1.0 * wide * 0.82 / 1.3 + 1.2 * narrow * 0.82 / 0.97 + 2.6 * narrow * 0.82 / 1.42
    assert leaks(raised).above_volume == pytest.approx(expected, rel=1e-6)


def test_pipes_wholly_over_the_surface(scene):
    """The tee at 1.42 m, one outlet level with it and one at 1 m: of 1.2 m and 2.6 m of narrow pipe all lies over the
    water at 0.6 m, of the riser 0.82 of 1.3 m.
    """
    level, falling = (
        replace(outlet, centre=(0.0, 0.2, z)) for outlet, z in zip(scene.outlets, (1.42, 1.0), strict=True)
    )
    pipes = [replace(scene.pipes[1], rise=1.3), replace(scene.pipes[2], rise=0.0), replace(scene.pipes[3], rise=-0.42)]
    raised = replace(scene, outlets=(level, falling), pipes=(scene.pipes[0], *pipes))
    wide, narrow = pi / 4 * 0.0519938**2, pi / 4 * 0.034544**2
    expected = 1.0 * wide * 0.82 / 1.3 + (1.2 + 2.6) * narrow
    assert leaks(raised).above_volume == pytest.approx(expected, rel=1e-6)


def test_pipes_over_the_rim_can_siphon(scene):
    over = replace(scene, outlets=(replace(scene.outlets[0], panel=None, hole=None), scene.outlets[1]))
    assert (leaks(scene).siphons, leaks(over).siphons) == ((), ("left high",))


def test_of_bulkheads_under_one_load_the_oldest_comes_first(scene):
    first, second = (replace(scene.outlets[0], name=name, fitted=year) for name, year in (("new", 2021), ("old", 2012)))
    lines = [line for line in inspections(replace(scene, outlets=(first, second))) if line.what == "bulkhead"]
    assert [(line.where, line.fitted) for line in lines] == [("left low", None), ("old", 2012), ("new", 2021)]


def test_a_weir_lets_no_more_through_than_its_pipe(scene):
    """A slot of 400 cm² on a pipe of 52 mm: sheared off it leaves that pipe's mouth; the pump's two stubs are of that
    bore too. The slot alone would pass nineteen times as much.
    """
    weir = replace(scene.intakes[0], aperture=Slot(0.4, 0.1), hole=None)
    found = leaks(replace(scene, intakes=(weir,))).as_built
    pull, pipe = 0.82 * sqrt(2 * 9.80665), pi / 4 * 0.0519938**2
    assert leak(found, 'intake "left low"').flow == pytest.approx(pull * pipe * sqrt(0.6 - 0.07))
    mouths = pipe + 2 * pi / 4 * 0.032**2
    assert leak(found, 'pump "loop pump"').flow == pytest.approx(pull * min(mouths, 2 * pipe) * sqrt(0.6 - 0.12))


def test_a_manifold_of_many_mouths_runs_out_by_the_pumps_stubs(scene):
    """Ten outlets of 32 mm, 80 cm² with the intake: through two stubs of 52 mm, 42 cm², pass no more."""
    many = tuple(replace(scene.outlets[0], name=f"outlet {i}") for i in range(8))
    pipes = tuple(replace(scene.pipes[2], end=outlet.name) for outlet in many)
    wide = replace(scene, outlets=(*scene.outlets, *many), pipes=(*scene.pipes, *pipes), junctions=())
    one = leak(leaks(wide).as_built, 'pump "loop pump"')
    assert one.flow == pytest.approx(0.82 * 2 * pi / 4 * 0.0519938**2 * sqrt(2 * 9.80665 * 0.48))
