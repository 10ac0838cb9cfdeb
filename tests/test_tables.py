"""What the tables of a loop say, against the records that they are made of."""

from dataclasses import replace
from pathlib import Path

import pytest

from flowviz.plumbing.animals import Peril
from flowviz.plumbing.dossier import dossier
from flowviz.scene.file import read_scene
from flowviz.scene.model import Site
from flowviz.tables import dossier_tables

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
    assert shares[0] == pytest.approx(100 * told.losses[0].share, abs=0.05)  # shown to a tenth of a percent


def test_a_year_costs_power_times_hours_times_price(scene, told):
    pump = rows(scene, told, "Heat and cost, at 0.5")[0]
    year = 0.390 * 8766  # 390 W by the scene; the hours of a Julian year
    assert pump[1:] == ("292 W", "97.5 W", f"{year:.0f} kWh", f"{year * 0.5:.0f}")


def test_every_drilled_opening_has_its_hole(scene, told):
    listed = {(row[0], row[1]) for row in rows(scene, told, "Holes")}
    assert listed == {(sheet.panel, hole.opening) for sheet in told.sheets for hole in sheet.holes}
    assert ("left", "left low") in listed


def test_parts_are_counted_once(scene, told):
    listed = rows(scene, told, "Parts")
    assert len({row[:2] for row in listed}) == len(listed)
    assert ("bulkhead", "1 1/4 in sch 40", "4") in listed  # four outlets through panels, by the scene


def test_a_blocked_intake_that_stops_a_pump_says_so(scene, told):
    dry = replace(told.blocked[0], stopped=("loop pump",), loop=None)
    assert rows(scene, replace(told, blocked=(dry,)), "If one intake")[0][1] == "loop pump runs dry"


def test_only_animals_in_peril_are_listed(scene, told):
    safe = Peril("goby", "left top", passes=False, slot_share=0.5, skin_share=0.2, reach=0.0)
    caught = replace(safe, animal="shrimp", slot_share=1.5, reach=0.02)
    listed = rows(scene, replace(told, perils=(safe, caught)), "Animals")
    assert listed == (("shrimp", "left top", "no", "150.0 %", "20 mm"),)


def test_a_scene_in_us_units_is_told_in_them():
    scene = read_scene(SCENES / "raceway.toml")
    told = dossier(scene)
    assert all(row[2].endswith(" ft") for row in rows(scene, told, "Where the head goes"))
    assert rows(scene, told, "Heat")[-1][1].endswith("°F a day")
