"""What the tables of a loop say, against the records that they are made of."""

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest

from flowviz.plumbing.animals import Peril
from flowviz.plumbing.dossier import dossier
from flowviz.plumbing.holes import panel_sheets
from flowviz.plumbing.phases import solve_phase
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.strainers import LOOP_FLOW, SUCTION, Blocked, Swap
from flowviz.scene.apertures import Bore, Slot
from flowviz.scene.file import read_scene
from flowviz.scene.model import Phase, Site
from flowviz.tables import dossier_tables, loop_tables, phase_loop_tables
from flowviz.tables.choice import outlet_table as choice_of_outlets
from flowviz.tables.cycle import energy_table
from flowviz.tables.loop import outlet_table
from flowviz.tables.strainers import first_swap, swap_words
from flowviz.units import shown

SCENES = Path(__file__).parent.parent / "scenes"


@pytest.fixture(scope="module")
def scene():
    return replace(read_scene(SCENES / "peninsula.toml"), site=Site(price=0.5, room=20.0))


@pytest.fixture(scope="module")
def told(scene):
    return dossier(scene)


def rows(scene, told, title):
    """The rows of the table whose title begins so."""
    (table,) = (table for table in dossier_tables(scene, told) if table.title.startswith(title))
    assert all(len(row) == len(table.columns) for row in table.rows)
    return table.rows


def test_the_largest_losses_come_first(scene, told):
    shares = [float(row[3].removesuffix(" %")) for row in rows(scene, told, "Where the head goes")]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] == pytest.approx(100 * told.losses[0].share, abs=0.5)  # shown to a percent


def test_a_year_costs_power_times_hours_times_price(scene, told):
    pump = rows(scene, told, "Heat and cost, at 0.5")[0]
    year = 0.390 * 8766  # 390 W by the scene; the hours of a Julian year
    assert pump[1:] == ("390 W", "292 W", "97.5 W", f"{year:.0f} kWh", f"{year * 0.5:.0f}")


def test_what_stands_on_a_guess_is_told_to_two_digits_in_either_system(scene, told):
    for system in ("metric", "us"):
        deep = [row[-1].split()[0] for row in rows(replace(scene, show=system), told, "If it breaks")]
        assert deep
        assert all(len(each.replace(".", "").lstrip("0")) <= 2 for each in deep if float(each) < 100)


def test_what_a_break_spills_stands_in_one_unit_down_a_column(scene, told):
    """A tank of which one break lets out 250 m³, and the others what they do here, less than a cubic metre."""
    first, *others = told.leaks.as_built
    leaks = replace(told.leaks, as_built=(replace(first, lost=250.0, running_lost=250.0), *others))
    found = rows(scene, replace(told, leaks=leaks), "If it breaks")
    assert len(found) == len(told.leaks.as_built)
    assert found[0][1] == "250 m³"
    for column, unit in ((1, "m³"), (3, "L"), (4, "m³")):
        assert {row[column].split()[-1] for row in found} == {unit}


def test_how_soon_a_break_spills_stands_in_one_unit_down_a_column(scene, told):
    """One break runs for 20 seconds, one for two hours and a half, the others for minutes as they do here."""
    first, second, *others = told.leaks.as_built
    leaks = replace(told.leaks, as_built=(replace(first, time=20.0), replace(second, time=9000.0), *others))
    found = [row[2] for row in rows(scene, replace(told, leaks=leaks), "If it breaks")]
    assert found[:2] == ["0.33 min", "150 min"]
    assert {each.split()[1] for each in found} == {"min"}


def test_speeds_of_outlets_stand_in_one_unit_down_a_column(scene):
    """0.5 L/s through bores of 35 and 20 mm: over π/4 of their squares, below and above a metre a second."""
    wide, narrow = (replace(scene.outlets[0], name=f"{bore}", aperture=Bore(bore)) for bore in (0.035, 0.02))
    two = replace(scene, outlets=(wide, narrow))
    loop = replace(solve_loop(scene), rates={"0.035": 0.5e-3, "0.02": 0.5e-3})
    rows = ("0.035", "1800 L/h", "0.52 m/s"), ("0.02", "1800 L/h", "1.59 m/s")
    assert outlet_table(two, loop).rows == rows
    choice = SimpleNamespace(pump="A", rates=loop.rates)
    assert choice_of_outlets(two, [choice]).rows == tuple(("A", *row) for row in rows)


def test_a_hole_in_a_tempered_pane_is_never_said_to_keep_the_rules(scene):
    left = replace(scene.tank.panels["left"], tempered=True)
    scene = replace(scene, tank=replace(scene.tank, panels={**scene.tank.panels, "left": left}))
    told = dossier(scene)
    found = {row[-1] for row in rows(scene, told, "Holes") if row[0] == "left"}
    assert found == {"never drill: tempered"}
    (panel,) = (row for row in rows(scene, told, "Panels") if row[0] == "left")
    assert panel[-1] == "never drill: tempered"


def test_the_formula_judges_from_the_strainers_surface(scene, told):
    (title,) = (table.title for table in dossier_tables(scene, told) if table.title.startswith("Animals"))
    assert "judged by formula" in title
    assert "from the strainer's surface" in title


@pytest.mark.parametrize(
    ("fouled", "limit", "words"),
    [
        (0.13, "goby", "from 13 % clogged the goby can be held fast on it"),
        (
            0.0,
            "the 0.5 ft/s rule",
            "too small even when clean: water in its slots is faster than the 0.5 ft/s rule allows",
        ),
        (0.006, "goby", "too small for a day of dirt: the goby can be held fast on it"),
        (0.6, SUCTION, "from 60 % clogged the pump has no suction to spare"),
        (0.6, LOOP_FLOW, "from 60 % clogged the loop keeps less than 90 % of its flow"),
        (0.99, None, "no limit breaks"),
    ],
)
def test_what_goes_wrong_with_a_clogged_strainer_is_a_sentence(fouled, limit, words):
    assert swap_words(Swap("left top", fouled, limit)) == words


@pytest.mark.parametrize(
    ("swaps", "words"),
    [
        ([Swap("a", 0.4, "goby"), Swap("b", 0.13, "goby")], "13 %"),
        ([Swap("a", 0.4, "goby"), Swap("b", 0.006, "goby")], "too small"),
        ([Swap("a", 0.0, "goby"), Swap("b", 0.13, "goby")], "too small"),
        ([Swap("a", 0.99, None)], "–"),
    ],
)
def test_the_first_strainer_that_is_left_is_told(swaps, words):
    assert first_swap(Blocked("c", (), None, swaps=tuple(swaps))) == words


def test_what_a_slowed_pump_is_measured_by_is_told(scene, told):
    (pump,) = scene.pumps
    slowed = replace(scene, pumps=(replace(pump, speed=0.8),))
    titles = [loop_tables(each, solve_loop(each))[0].title for each in (scene, slowed)]
    assert titles[0] == "Pumps"
    assert "required at full speed" in titles[1]


def test_every_drilled_opening_has_its_hole(scene, told):
    listed = {(row[0], row[1]) for row in rows(scene, told, "Holes")}
    assert listed == {(sheet.panel, hole.opening) for sheet in told.sheets for hole in sheet.holes}
    assert ("left", "left low") in listed


def test_a_hole_that_breaks_a_rule_tells_what_is_there_and_what_is_asked(scene):
    """Two holes of 60 mm whose middles are 100 mm apart leave 40 mm of glass."""
    near = replace(scene.outlets[1], centre=(0.0, scene.outlets[0].centre[1] + 0.1, scene.outlets[0].centre[2]))
    crowded = replace(scene, outlets=(scene.outlets[0], near, *scene.outlets[2:]))
    hole = next(each for sheet in panel_sheets(crowded) for each in sheet.holes if each.opening == near.name)
    least = max(check.least for check in hole.checks if check.rule.what == "between")
    told = {row[1]: row[-1] for row in rows(crowded, dossier(crowded), "Holes")}
    assert told[near.name] == f"broken: next hole 40 mm, at least {shown(least, 'length', 'metric')}"


def test_pipe_is_listed_by_the_metre_or_the_foot(scene, told):
    assert rows(scene, told, "Parts")[0] == ("pipe", "2 in sch 40", "2.5 m")  # 0.7 + 0.6 m before the pump, 2 x 0.6
    assert rows(replace(scene, show="us"), told, "Parts")[0][2] == "8.2 ft"  # 2.5 m / 0.3048


def test_parts_are_counted_once(scene, told):
    listed = rows(scene, told, "Parts")
    assert len({row[:2] for row in listed}) == len(listed)
    assert ("bulkhead", "1 1/4 in sch 40", "4") in listed  # four outlets through panels, by the scene


def test_a_blocked_intake_that_stops_a_pump_says_so(scene, told):
    dry = replace(told.blocked[0], stopped=("loop pump",), loop=None)
    assert rows(scene, replace(told, blocked=(dry,)), "If one intake")[0][1] == "loop pump runs dry"


def test_every_animal_is_told_before_every_intake(scene, told):
    safe = Peril("goby", "left top", passes=False, slot_share=0.5, skin_share=0.2, reach=0.0)
    caught = replace(safe, animal="shrimp", slot_share=1.5, reach=0.02)
    drawn = replace(caught, animal="fry", passes=True)
    listed = rows(scene, replace(told, perils=(safe, caught, drawn)), "Animals")
    assert listed == (
        ("goby", "left top", "safe by formula", "50 %", "20 %", "0 mm"),
        ("shrimp", "left top", "can be held fast", "150 %", "20 %", "20 mm"),
        ("fry", "left top", "can be drawn in", "150 %", "20 %", "20 mm"),
    )


def test_strainers_that_would_do_alone_are_larger(scene, told):
    listed = rows(scene, told, "Strainers that would do")
    assert [row[0] for row in listed] == ["left middle", "left middle", "left top", "left top"]
    sharing, alone = (float(row[2].split()[0]) for row in listed[:2])
    assert alone == pytest.approx(1000 * told.strainers["left middle"].sizes_alone.flat_diameter, rel=5e-3)  # as shown
    assert sharing < alone


def test_what_to_look_after_is_led_by_the_load(scene, told):
    listed = rows(scene, told, "To look after")
    loads = [float(row[2].removesuffix(" kPa")) for row in listed if row[0] == "bulkhead"]
    assert loads == sorted(loads, reverse=True)
    assert {"bulkhead", "strainer", "pump", "union", "valve"} == {row[0] for row in listed}


def test_holes_that_could_be_spared_are_counted(scene, told):
    assert ("outlets over the rim instead", "4 fewer", "", "") in rows(scene, told, "Panels")


def test_a_weir_stands_apart_from_holes_that_are_not_told(scene):
    """Of two intakes in the left pane one is cut out as a weir, and of the other no hole is told."""
    weir, bare = scene.intakes
    weir = replace(weir, aperture=Slot(0.3, 0.05), hole=None, strainer=None)
    listed = rows(scene, dossier(replace(scene, intakes=(weir, replace(bare, hole=None)))), "Panels")
    assert ("cut out, not drilled", "", "", weir.name) in listed
    assert ("no hole told for", "", "", bare.name) in listed


def test_a_scene_in_us_units_is_told_in_them():
    scene = read_scene(SCENES / "raceway.toml")
    told = dossier(scene)
    assert all(row[2].endswith(" ft") for row in rows(scene, told, "Where the head goes"))
    assert rows(scene, told, "Heat")[-1][2].endswith("°F a day")


def test_of_a_scene_with_phases_a_table_says_that_it_is_of_none(scene, told):
    """What hangs on pumps and valves does; holes and parts do not."""
    phased = replace(scene, phases=(Phase("flood", 600.0, {"loop pump": 1.0}, {}),))
    plain, marked = ([table.title for table in dossier_tables(each, told)] for each in (scene, phased))
    changed = [(one, other) for one, other in zip(plain, marked, strict=True) if one != other]
    assert all(other == f"{one} (everything running, not a phase)" for one, other in changed)
    unmarked = {title.split(",")[0].split(".")[0] for title in plain if title in marked}
    assert unmarked == {"Holes", "Panels", "To take a pump out", "To look after", "Parts"}


def test_the_loop_in_each_phase_tells_flow_head_strainers_and_power(scene):
    """At half speed the water goes through the strainers more slowly than at full, at rest not at all."""
    phases = [
        Phase(name, 600.0, {"loop pump": speed}, {}) for name, speed in (("full", 1.0), ("half", 0.5), ("rest", 0))
    ]
    scene = replace(scene, phases=tuple(phases))
    loops = {phase.name: solve_phase(scene, phase) for phase in phases}
    told = {row[0]: row[1:] for row in phase_loop_tables(scene, loops)[0].rows}
    assert told["power of loop pump"][0] == "390 W"  # the scene's, at full speed
    assert told["power of loop pump"][2] == "0 W"
    for intake in (each for each in scene.intakes if each.strainer):
        speeds = told[f"through the strainer of {intake.name}"]
        assert speeds[0] == shown(loops["full"].intakes[intake.name].screen_speed, "speed", scene.show)
        assert loops["half"].intakes[intake.name].screen_speed < loops["full"].intakes[intake.name].screen_speed
        assert speeds[2] == "0 cm/s"


def test_what_the_pumps_take_over_a_cycle_is_a_mean_over_its_time(scene):
    """A third of the time at full speed, else at rest: 390 W / 3 = 130 W, in 8766 h 1140 kWh, at 0.5 a kWh 570."""
    phases = (Phase("day", 600.0, {"loop pump": 1.0}, {}), Phase("night", 1200.0, {"loop pump": 0.0}, {}))
    cycled = replace(scene, phases=phases)
    _, told = phase_loop_tables(cycled, {phase.name: solve_phase(cycled, phase) for phase in phases})
    assert told.title == "What the pumps take over the cycle, at 0.5 a kilowatt-hour"
    assert told.rows == (("loop pump", "130 W", "1140 kWh", "570"),)
    assert not any(table.rows for table in phase_loop_tables(scene, {}))


def test_a_pump_of_unknown_power_is_named_where_the_energy_of_the_cycle_stands(scene):
    """The known one takes 390 W all the time, by the scene: 390 · 8.766 kWh in a year; two of them twice as much."""
    (pump,) = scene.pumps
    second, third = replace(pump, name="second"), replace(pump, name="third", power=None)
    steady = replace(scene, phases=(Phase("full", 600.0, {"loop pump": 1.0}, {}),))
    loop = solve_phase(steady, steady.phases[0])
    loops = {"full": replace(loop, pumps=loop.pumps | {"second": loop.pumps["loop pump"]})}
    cases = (pump, third), (pump, second, third)
    two, three = (energy_table(replace(steady, pumps=pumps), loops).rows for pumps in cases)
    assert [row[:3] for row in two] == [("loop pump", "390 W", "3419 kWh"), ("third", "not given", "")]
    assert three[-1][:3] == ("all together, without what is not given", "780 W", "6837 kWh")
