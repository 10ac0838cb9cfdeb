"""Phases of pumps and valves: which flows are solved and which are scaled."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import pyvista
from click.testing import CliRunner

from flowviz.assess.measures import measure
from flowviz.assess.words import share_within
from flowviz.cli.commands import commands
from flowviz.cycle import least_reynolds, loop_cautions, may_scale, running, scaled, solve_cycle, solved
from flowviz.errors import InputError
from flowviz.flow.field import Field, Quality
from flowviz.flow.memory import likeness
from flowviz.flow.solve import solve_flow
from flowviz.formulas.water import kinematic_viscosity
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.loop import Loop
from flowviz.plumbing.phases import check_phase, phase_cautions, solve_phase
from flowviz.scene.file import read_scene
from flowviz.scene.model import Phase
from flowviz.store import fresh_folder, read_study, summary, write_study
from flowviz.study import Settings, run
from flowviz.units import shown

PENINSULA = Path(__file__).parent.parent / "scenes" / "peninsula.toml"
HIGH = (7, 9)  # pipes to the outlets high on the left
FULL, HALF, REST = ({"loop pump": share} for share in (1.0, 0.5, 0.0))


@pytest.fixture(scope="module")
def peninsula():
    return read_scene(PENINSULA)


def phase(name, time=600.0, speeds=FULL, valves=()):
    return Phase(name, time, speeds, dict.fromkeys(valves, 0.0))


def flat(number, rates):
    """A field that tells which one it is, and how much water comes in."""
    ones = np.ones((2, 2, 2), np.float32)
    speed = np.float32(number + 1) * ones
    return Field(ones, ones, ones, speed, ones, speed[None], Quality(0.0, 1, 1.0, 1.0, steady=True))


def test_a_slower_pump_is_scaled_and_a_shut_valve_is_solved(peninsula):
    """The main phase is the longest; at half speed all flows halve, to what friction changes with Reynolds number."""
    phases = (phase("shut", valves=HIGH), phase("full", 900.0), phase("half", speeds=HALF), phase("rest", speeds=REST))
    moments = solve_cycle(replace(peninsula, phases=phases), flat)
    assert [each.way for each in moments] == ["computed", "computed", "scaled", "at rest"]
    assert [each.phase.name for each in solved(moments)] == ["full", "shut"]
    assert [each.field.speed[0, 0, 0] for each in solved(moments)] == [1, 2]
    assert moments[2].scaled_from == "full"
    assert moments[2].field.speed[0, 0, 0] == pytest.approx(moments[2].loop.total / moments[1].loop.total)
    assert moments[2].loop.total / moments[1].loop.total == pytest.approx(0.5, rel=0.02)  # friction's
    assert not moments[3].field.speed.any()


def test_a_cycle_in_which_no_water_moves_is_refused(peninsula):
    with pytest.raises(InputError, match="phases: no water moves in any of them"):
        solve_cycle(replace(peninsula, phases=(phase("night", speeds=REST), phase("day", speeds=REST))), flat)


def test_the_loop_of_a_phase(peninsula):
    shut = solve_phase(peninsula, phase("shut", valves=HIGH))
    assert shut.rates["left high front"] == shut.rates["left high back"] == 0.0
    assert sum(shut.rates.values()) == pytest.approx(0.0, abs=1e-12)
    assert solve_phase(peninsula, phase("rest", speeds=REST)).total == 0.0


def test_a_pipe_without_a_valve_cannot_be_shut(peninsula):
    """Pipe 4 leads from the ring's tee to its front, with an elbow only."""
    for look in (solve_phase, check_phase):
        with pytest.raises(InputError, match='phase "odd", pipe "ring tee" to "ring front": has no valve'):
            look(peninsula, phase("odd", valves=(4,)))


def test_phases_that_can_be_pass_the_check(peninsula):
    for each in (phase("shut", valves=HIGH), phase("half", speeds=HALF), phase("rest", speeds=REST)):
        check_phase(peninsula, each)


@pytest.mark.parametrize(
    ("change", "allowed"), [(1.0, True), (1.009, True), (0.991, True), (1.02, False), (0.98, False)]
)
def test_scaling_needs_the_same_shares(peninsula, change, allowed):
    """One outlet of four, each of a quarter, changed by 2 %: 1.5 % off the common factor; by 0.9 %: 0.7 % off."""
    rates = {outlet.name: 2e-3 for outlet in peninsula.outlets} | {"left middle": -4e-3, "left top": -4e-3}
    other = {name: 0.7 * rate for name, rate in rates.items()}
    other["left low"] *= change
    other["left top"] -= 0.7 * 2e-3 * (change - 1)
    assert may_scale(peninsula, Loop(rates), Loop(other)) is allowed


def test_scaling_needs_turbulent_jets(peninsula):
    """The least Reynolds number is that of the wider bore, 32 mm, at the same flow: 4 Q/(π d ν)."""
    nu = kinematic_viscosity(25.5, 35.0)
    rates = {outlet.name: 2e-3 for outlet in peninsula.outlets} | {"left middle": -4e-3, "left top": -4e-3}
    weak = {name: rate / 10 for name, rate in rates.items()}
    assert least_reynolds(peninsula, Loop(rates)) == pytest.approx(4 * 2e-3 / (np.pi * 0.032 * nu), rel=1e-12)
    assert least_reynolds(peninsula, Loop(weak)) < 1e4 < least_reynolds(peninsula, Loop(rates))
    assert not may_scale(peninsula, Loop(rates), Loop(weak))
    shut = Loop(rates | {"left high front": 0.0})
    assert least_reynolds(peninsula, shut) == least_reynolds(peninsula, Loop(rates))


@pytest.mark.parametrize(("factor", "times"), [(0.5, 2.0), (1.25, 0.8), (0.0, 1.0)])
def test_a_weaker_flow_stands_for_a_longer_time_and_one_at_rest_for_the_same(factor, times):
    quality = scaled(flat(0, {}), factor).quality
    assert (quality.simulated, quality.averaged) == (times, times)


def test_cautions_of_the_loops_are_told_once(peninsula):
    """The main phase first; that a shut outlet passes nothing is meant, how fast a strainer draws is not."""
    phases = (phase("shut", valves=HIGH), phase("full", 900.0))
    scene = replace(peninsula, phases=phases)
    moments = solve_cycle(scene, flat)
    told = [caution.where for caution in loop_cautions(scene, moments)]
    assert any(caution.where == "outlet left high front" for caution in moments[0].loop.cautions)
    assert not any(where.startswith("outlet ") for where in told)
    assert told.count("intake left top, phase full") == 1
    assert "intake left top, phase shut" not in told
    assert told.count("pump loop pump") == 1  # that it is cooled by the air around it, in both


def test_each_animal_in_peril_is_told_of_a_cycle(scene_in, tmp_path):
    """Four before one intake: two fit through its slots in both phases, two can be held fast in one of them."""
    swims = {"length": "30 mm", "speed": "10 cm/s"}
    animals = [{"name": "goby", "width": "2 mm", **swims}, {"name": "fry", "width": "2 mm", **swims}]
    shrimps = [{"name": name, "width": "9 mm", **swims} for name in ("shrimp", "crab")]
    phases = [{"name": "ebb", "lasts": "1 h", "speed": 0.4}, {"name": "flood", "lasts": "2 h"}]
    scene = read_scene(scene_in(tmp_path, {"phase": phases, "animal": animals + shrimps}, "looped"))
    loops = {each.name: solve_phase(scene, each) for each in scene.phases}
    told = [f"{each.where}: {each.why}" for each in phase_cautions(scene, loops)]
    for name in ("goby", "fry"):
        assert told.count(f"intake left low: There {name} can be drawn in. Take narrower slots.") == 1
    for name in ("shrimp", "crab"):
        why = f"There {name} can be held fast on the strainer. Take a larger strainer."
        assert told.count(f"intake left low, phase flood: {why}") == 1


@pytest.mark.parametrize(("flood", "told"), [("10 min", 0), ("10 h", 1)])
def test_a_chiller_takes_away_the_mean(flood, told, scene_in, tmp_path):
    """0.75 · 150 W at full speed, 0.4³ of that in five hours of ebb: 78 W in the mean, or 11 W, and 60 W go away."""
    phases = [{"name": "ebb", "lasts": "5 h", "speed": 0.4}, {"name": "flood", "lasts": flood}]
    scene = read_scene(scene_in(tmp_path, {"phase": phases, "site": {"chiller": "60 W"}}, "looped"))
    loops = {each.name: solve_phase(scene, each) for each in scene.phases}
    assert [caution.where for caution in phase_cautions(scene, loops)].count("chiller") == told


def test_rises_that_miss_an_outlet_are_told_of_a_cycle_too(scene_in, tmp_path):
    """By plumb and run: they hold in every phase, unlike what outlets pass, and are of none."""
    ebb = [{"name": "ebb", "lasts": "1 h", "speed": 0.5}, {"name": "flood", "lasts": "1 h"}]
    scene = read_scene(scene_in(tmp_path, {"phase": ebb}, "looped"))
    loops = {each.name: solve_phase(scene, each) for each in scene.phases}
    told = [caution for caution in phase_cautions(scene, loops) if caution.where.startswith("outlet ")]
    assert [caution.where for caution in told] == ["outlet left high", "outlet right rim"]
    assert all("the rises of its pipes put it" in caution.what for caution in told)


def test_plumb_tells_cautions_of_the_phases(scene_in, tmp_path):
    """At half speed the strainer is within the rule, which it breaks with everything running: that never happens."""
    calm = {"phase": [{"name": "calm", "lasts": "1 h", "speed": 0.5}]}
    for changes, broken in (({}, True), (calm, False)):
        outcome = CliRunner().invoke(commands, ["plumb", str(scene_in(tmp_path, changes, "looped")), "--json"])
        told = json.loads(outcome.stdout)["cautions"]
        assert any("0.5 ft/s rule" in caution["what"] for caution in told) == broken


def test_a_scaled_flow_has_all_its_speeds_scaled():
    field = scaled(flat(0, {}), 0.5)
    assert all((getattr(field, name) == 0.5).all() for name in ("u", "v", "w", "speed", "fluctuation", "batches"))


@pytest.mark.parametrize("factor", [0.5, 2.0])
def test_a_scaled_flow_is_known_as_well_as_the_one_it_is_scaled_from(factor, peninsula, make):
    """It goes round slower by the factor and was looked at for so much longer: its windows are as alike as before."""
    grid = voxelise(peninsula, 0.028)
    field = make.field(grid, np.full((8, *grid.shape), 0.1), quality=Quality(0.0, 1, 60.0, 40.0, steady=True))
    assert 0.1 < likeness(grid, field)[0] < 0.9
    assert likeness(grid, scaled(field, factor)) == pytest.approx(likeness(grid, field), rel=1e-6)  # single precision


LEFT = {"name": "left", "at": ["0 mm", "150 mm", "200 mm"], "direction": [1, 0, 0], "bore": "25 mm", "panel": "left"}
RIGHT = LEFT | {"name": "right", "at": ["600 mm", "150 mm", "200 mm"], "direction": [-1, 0, 0], "panel": "right"}
BRANCH = {"from": "fork", "inside": "35 mm", "length": "1 m", "fittings": {"ball valve": 1}}
TURNS = {  # two jets from opposite ends that take turns, and the intake halfway between them
    "rock": [],
    "coral": [],
    "outlet": [LEFT, RIGHT],
    "intake.0": {"name": "drain", "at": ["300 mm", "0 mm", "100 mm"], "bore": "50 mm", "panel": "front"},
    "pump": [{"name": "pump", "curve": [["0 m3/h", "4 m"], ["6 m3/h", "1 m"]]}],
    "pipe": [
        {"from": "drain", "to": "pump", "inside": "50 mm", "length": "1 m"},
        {"from": "pump", "to": "fork", "inside": "40 mm", "length": "1 m"},
        BRANCH | {"to": "left"},
        BRANCH | {"to": "right"},
    ],
    "phase": [
        {"name": "from the left", "lasts": "20 min", "valves": {"right": 0}},
        {"name": "from the right", "lasts": "10 min", "valves": {"left": 0}},
        {"name": "slowly", "lasts": "10 min", "speed": 0.6, "valves": {"left": 0}},
    ],
}


@pytest.fixture(scope="module")
def study(scene_in, tmp_path_factory):
    """The sketch of two jets that take turns."""
    return run(read_scene(scene_in(tmp_path_factory.mktemp("turns"), TURNS)), Settings(cell=0.025))


def test_a_study_is_that_of_its_main_phase(study):
    assert [each.way for each in study.moments] == ["computed", "computed", "scaled"]
    assert study.loop is study.moments[0].loop
    assert study.field is study.moments[0].field
    assert [patch.name for patch in study.grid.patches] == ["left", "drain"]
    assert len(study.scene.outlets) == 2
    assert study.cycle.phases["from the left"].shares["dead_fraction"] == study.measures.dead_fraction


def test_jets_in_turn_are_mirror_images_within_their_intervals(study):
    """The tank is its own mirror image about the plane of the intake; the tolerance is the two intervals' own."""
    left, right = (study.cycle.phases[name] for name in ("from the left", "from the right"))
    doubt = np.hypot(left.uncertainty["dead_fraction"], right.uncertainty["dead_fraction"])
    assert left.shares["dead_fraction"] == pytest.approx(right.shares["dead_fraction"], abs=doubt)


def test_a_cycle_comes_back_from_its_folder(study, tmp_path):
    with fresh_folder(tmp_path / "out") as fresh:
        write_study(study, fresh)
    back = read_study(tmp_path / "out")
    assert sorted(path.name for path in (tmp_path / "out").glob("*.npz")) == ["fields.npz", "phase-1.npz"]
    assert back.cycle.spreads == study.cycle.spreads
    assert np.array_equal(back.cycle.dead_time, study.cycle.dead_time)
    image = pyvista.read(tmp_path / "out" / "field.vti")
    assert np.array_equal(image.cell_data["dead_time"], study.cycle.dead_time.ravel(order="F"))
    assert summary(back) == summary(study)


def test_the_summary_tells_the_cycle(study):
    told = summary(study)["cycle"]
    assert (told["main_phase"], told["time_s"]) == ("from the left", 2400.0)
    assert told["phases"]["slowly"]["scaled_from"] == "from the right"
    assert told["phases"]["slowly"]["rates_m3_s"]["left"] == 0.0
    assert told["phases"]["slowly"]["heads_m"] == {"pump": study.moments[2].loop.pumps["pump"].head}
    assert (told["phases"]["slowly"]["powers_w"], told["energy"]) == ({"pump": None}, None)  # the scene tells none
    assert set(told["spreads"]["dead_fraction"]) >= {"worst", "worst_phase", "mean", "best", "best_phase"}


def test_the_cautions_of_a_cycle_are_the_studys(study):
    assert set(study.cycle.cautions) <= set(study.cautions)


def test_the_tables_tell_worst_mean_and_best(study, rows):
    dead = study.cycle.spreads["dead_fraction"]
    told = rows(study, "The cycle of 40 min; the other tables are of its phase from the left")["dead (below 3 cm/s)"]
    assert told[0] == share_within(dead.mean, dead.uncertainty)
    ends = ((dead.worst, dead.worst_phase), (dead.best, dead.best_phase))
    doubts = {name: each.uncertainty["dead_fraction"] for name, each in study.cycle.phases.items()}
    assert list(told[1:]) == [f"{share_within(share, doubts[name])}, {name}" for share, name in ends]


def test_the_loop_of_each_phase_is_told(study, rows):
    told = rows(study, "The loop in each phase")
    assert set(told) == {"left", "right", "drain", "head of pump"}
    assert told["right"][0] == told["left"][1] == "0 L/h"
    assert told["left"][0] == shown(study.moments[0].loop.rates["left"], "flow", "metric")


def test_plumb_tells_the_loop_of_each_phase(scene_in, tmp_path):
    path = scene_in(tmp_path, TURNS)
    outcome = CliRunner().invoke(commands, ["plumb", str(path), "--json"])
    phases = json.loads(outcome.stdout)["phases"]
    assert list(phases) == ["from the left", "from the right", "slowly"]
    assert phases["from the right"]["rates_m3_s"]["left"] == 0.0
    assert "The loop in each phase" in CliRunner().invoke(commands, ["plumb", str(path)]).stdout


def test_the_tables_tell_how_each_phase_came_about(study, rows):
    told = rows(study, "The phases, each as if it went on for ever")
    assert told["from the left"][0] == "20 min"
    assert [row[-1] for row in told.values()] == ["computed", "computed", "scaled from from the right"]


def test_a_flow_that_is_solved_at_another_strength_is_the_scaled_one(study):
    """At 0.6 of the flow of the second phase: mean speed and dead share agree within the two intervals together."""
    full, grid = study.moments[1], voxelise(study.scene, study.settings.cell)
    rates = {name: 0.6 * rate for name, rate in full.loop.rates.items()}
    viscosity = kinematic_viscosity(25.0, 35.0)
    assert [patch.name for patch in running(grid, rates).patches] == ["right", "drain"]
    anew = solve_flow(running(grid, rates), rates, viscosity, "sketch", seed=3)
    one, other = (measure(study.scene, grid, field) for field in (scaled(full.field, 0.6), anew))
    for name, value in (("mean", lambda found: found.speed.mean), ("dead_fraction", lambda found: found.dead_fraction)):
        doubt = np.hypot(one.uncertainty[name], other.uncertainty[name])
        assert value(one) == pytest.approx(value(other), abs=doubt)
