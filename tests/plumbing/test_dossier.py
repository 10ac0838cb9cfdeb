"""The whole dossier of a loop, and of one whose flows are only measured."""

from dataclasses import replace
from pathlib import Path

import pytest

from flowviz.plumbing.dossier import dossier
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene
from flowviz.scene.model import Animal, Site

PENINSULA = Path(__file__).parents[2] / "scenes" / "peninsula.toml"


def test_everything_about_a_loop(scene):
    found = dossier(replace(scene, animals=(Animal("goby", 0.04, 0.006, 0.08),)))
    assert found.loop.rates == solve_loop(scene).rates
    assert set(found.strainers) == {"left low"}
    assert len(found.grade_lines) == len(found.leaks.as_built) - 2 == 2
    assert all(
        (found.losses, found.upsizes, found.perils, found.parts, found.sheets, found.services, found.inspections)
    )
    assert found.blocked == ()
    assert "permit" in found.cautions[-1].why


def test_the_site_is_heard(scene):
    cheap = dossier(replace(scene, site=Site(price=0.1, room=40.0, chiller=500.0)))
    dear = dossier(replace(scene, site=Site(price=0.4, room=10.0)))
    assert dear.heating.cost == pytest.approx(4 * cheap.heating.cost)
    assert dear.leaks.as_built[0].on_floor == pytest.approx(4 * cheap.leaks.as_built[0].on_floor)
    assert cheap.heating.chiller_share == pytest.approx(180 / 500)


def test_height_above_the_sea_lowers_the_suction_head(scene):
    """Air of 101.325 kPa at the sea and 84.56 kPa at 1500 m (COESA 1976) over 1023.2 kg/m³ of water: 1.671 m less."""
    low, high = solve_loop(scene), solve_loop(replace(scene, site=Site(altitude=1500.0)))
    less = low.pumps["loop pump"].npsh_available - high.pumps["loop pump"].npsh_available
    assert less == pytest.approx((101.325e3 - 84.56e3) / (1023.2 * 9.80665), abs=2e-3)  # printed to 0.01 kPa


def test_measured_flows_leave_heads_unknown(scene):
    left, right = scene.outlets
    fixed = replace(
        scene, outlets=(replace(left, flow=1e-3), replace(right, flow=2e-3)), pipes=(), pumps=(), junctions=()
    )
    found = dossier(fixed)
    assert (found.losses, found.grade_lines, found.upsizes, found.blocked, found.services) == ((), (), (), (), ())
    assert found.strainers == {}
    assert found.heating.into_water == 0.0
    assert {part.part for part in found.parts} == {"bulkhead", "basket strainer"}
    assert found.leaks.as_built[0].level == pytest.approx(0.42)


def test_an_intake_and_an_outlet_that_are_shut_are_told_and_nothing_breaks(scene):
    """A second intake and the first outlet, each behind a shut valve."""
    first = scene.intakes[0]
    shut = {"valves": {"union ball valve": 0.0}}
    pipes = (
        replace(scene.pipes[0], end="suction"),
        replace(scene.pipes[0], start="right low", end="suction", **shut),
        replace(scene.pipes[1], start="suction", end="loop pump"),
        scene.pipes[1],
        replace(scene.pipes[2], **shut),
        scene.pipes[3],
    )
    found = dossier(replace(scene, intakes=(first, replace(first, name="right low")), pipes=pipes))
    assert found.loop.rates["left high"] == found.loop.rates["right low"] == 0.0
    assert set(found.strainers) == {"left low"}
    assert [line.outlet for line in found.grade_lines] == ["behind the arch"]
    assert [blocked.stopped for blocked in found.blocked] == [("loop pump",)]
    assert any(caution.what == "no water comes out of it" for caution in found.loop.cautions)


def test_the_shipped_goby_is_safe_until_an_intake_is_blocked():
    """It swims 18 cm/s. Through the slots come some 15 cm/s, through those of one intake alone nearly twice that."""
    found = dossier(read_scene(PENINSULA))
    assert [peril.intake for peril in found.perils if peril.safe] == ["left middle", "left top"]
    assert [(blocked.intake, len(blocked.perils)) for blocked in found.blocked] == [("left middle", 1), ("left top", 1)]
    assert all(1.5 < peril.slot_share < 2 for blocked in found.blocked for peril in blocked.perils)
