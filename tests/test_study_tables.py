"""What the tables of a study say, against the records that they are made of."""

from dataclasses import replace
from math import nan

import numpy as np
import pytest

from flowviz.assess.measures import measure
from flowviz.assess.needs import SHARES
from flowviz.assess.words import share_within
from flowviz.flow.field import Quality
from flowviz.flow.pressure.projection import potential_flow
from flowviz.grid.voxelise import voxelise
from flowviz.plumbing.solve import solve_loop
from flowviz.scene.file import read_scene
from flowviz.study import Settings, assessed
from flowviz.tables import definition_table, study_tables
from flowviz.tables.water import agreement_words

CHANGES = {
    "limits": {"over": "40 cm/s"},
    "sand": {"depth": "40 mm", "grain": "1 mm"},
    "coral.0.speed": None,
    "coral.0.kind": "soft",
    "animal": [{"name": "goby", "length": "40 mm", "width": "8 mm"}],
    "measured": [
        {"name": "left", "at": ["100 mm", "150 mm", "200 mm"], "speed": "12 cm/s", "uncertainty": "2 cm/s"},
    ],
}


@pytest.fixture(scope="module")
def study(make, scene_in, tmp_path_factory):
    """The potential flow of the openings, and speeds of all sizes in three windows; dead on the sand at the left."""
    scene, settings = read_scene(scene_in(tmp_path_factory.mktemp("scenes"), CHANGES)), Settings("fine", 0.02)
    loop, grid = solve_loop(scene), voxelise(scene, settings.cell)
    windows = np.random.default_rng(0).gamma(2.0, 0.05, (3, *grid.shape))
    windows[:, :8, :, :5] *= 0.05
    field = make.field(grid, windows, potential_flow(grid, loop.rates), Quality(1e-5, 400, 60.0, 40.0, steady=True))
    return assessed(scene, settings, loop, grid, replace(field, fluctuation=field.speed / 3))


def test_a_pocket_is_told_with_its_cause_and_what_it_touches(study, rows):
    zone = study.measures.zones[0]
    (told,) = (row for row in rows(study, "Pockets").values() if row[3].startswith(zone.place))
    assert told[2:] == (
        zone.sureness("fine", 1),
        f"{zone.place}: {zone.cause}. Touches {zone.touches}. Worth trying: {zone.remedy}",
    )
    assert zone.bed == "sand"


def test_a_single_quick_run_says_beside_its_shares_that_it_is_one_look(study, rows):
    """Averaged for 40 s; of a fine run nothing is said."""
    look = "both shares: one look of 40 s; several tell more"
    assert look not in rows(study, "The water,")
    assert look in rows(replace(study, settings=Settings("sketch", 0.02)), "The water,")


def test_the_bed(study, rows):
    bed, told = study.measures.bed, rows(study, "The bed, sand, judged 50 mm above it")
    settling = share_within(bed.settling_fraction, bed.uncertainty["settling_fraction"])
    assert told["detritus settles (below 5 cm/s)"] == (settling,)
    assert told["sand is blown out (from 38.7 cm/s on)"][0].startswith("0.0 ")  # 0.387 m/s: worked table, 1 mm


def test_rock_and_surface(study, rows):
    told = rows(study, "Rock and surface")
    rock = study.measures.rock
    dead = share_within(rock.dead_fraction, rock.uncertainty["dead_fraction"])
    assert told["along the rock: dead"] == (dead,)
    thickness = 1000 * study.measures.surface.thickness
    assert told[f"its uppermost {thickness:.0f} mm are renewed from below; how sure is not known"][0].startswith(
        "every "
    )


def test_renewal(study, rows):
    told, nominal = rows(study, "Renewal"), study.grid.water_volume / (2 / 3600)
    assert told["age of what leaves (volume over flow)"] == (f"{nominal:.0f} s",)
    assert "straight from jet into an intake" in told


def test_what_has_no_interval_says_so(study, rows):
    assert rows(study, "Renewal of the water; how sure is not known")
    lone = replace(study.field, batches=study.field.batches[:1])
    alone = replace(study, measures=measure(study.scene, study.grid, lone))
    assert rows(alone, "Rock and surface")["along the rock: dead"][0].endswith("interval not known")


def test_a_sketch_tells_no_ages(study):
    assert not [table for table in study_tables(replace(study, renewal=None)) if table.title.startswith("Renewal")]


def test_reach_and_measured_points(study, rows):
    (title,) = (table.title for table in study_tables(study) if table.title.startswith("How far currents and suction"))
    assert "from the strainer's surface" in title
    assert "either way" in title
    assert "judged by formula" in title
    assert rows(study, "How far currents and suction")["drain"][0] == "goby"
    assert rows(study, "Measured points: bias ")["left (worst)"][0] == "12 ± 2 cm/s"


@pytest.mark.parametrize(
    ("bias", "words"),
    [
        (0.57, "bias +0.57 (computed too slow on average), "),
        (-0.3, "bias -0.30 (computed too fast"),
        (0.001, "bias +0.00, "),
    ],
)
def test_which_way_a_bias_goes_is_told(study, bias, words):
    """It is measured less computed, as its source has it: a plus means that the computed water is too slow."""
    assert agreement_words(replace(study.measures.agreement, fractional_bias=bias)).startswith(words)


def test_measured_points_that_lie_in_no_water_have_no_bias(study, rows):
    agreement = replace(study.measures.agreement, fractional_bias=nan, worst=None)
    dry = replace(study, measures=replace(study.measures, agreement=agreement))
    assert rows(dry, "Measured points: none lies in the water")


def test_limits_stand_beside_their_standing(study, rows):
    told = rows(study, "Limits")
    assert told["dead below"] == ("3 cm/s", "common practice")
    assert told["too strong above"] == ("40 cm/s", "set by the scene")


def test_corals_show_the_kind_that_they_are_judged_by(study, rows):
    assert rows(study, "Corals")["crest"][-1] == "5 to 20 cm/s (soft)"


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"sure": True}, "good"),
        ({"sure": False}, "good (not sure)"),
        ({"sure": False, "uncertainty": dict.fromkeys(SHARES, 1.2)}, "too unsure to say"),
        ({"sure": False, "cells": 0}, "in no water"),
    ],
)
def test_a_verdict_on_corals_is_told_no_surer_than_it_is(study, rows, changes, told):
    """As in pictures and on the page; half-widths of 1.2 reach from none of a group to all of it."""
    narrow = {"verdict": "good", "uncertainty": dict.fromkeys(SHARES, 0.05)}
    found = replace(study.measures.corals["crest"], **(narrow | changes))
    doubtful = replace(study, measures=replace(study.measures, corals={"crest": found}))
    assert rows(doubtful, "Corals")["crest"][0] == told


def test_every_measure_has_its_definition_source_and_limits():
    table = definition_table("metric")
    assert [name for name, _ in table.columns] == ["measure", "what it is", "source", "how far to trust it"]
    assert all(len(row) == 4 and all(row) for row in table.rows)
    assert len({row[0] for row in table.rows}) == len(table.rows) > 10


def test_lengths_in_definitions_are_in_the_scenes_units():
    for system, length in (("metric", "50 mm"), ("us", "2 in")):
        words = " ".join(cell for row in definition_table(system).rows for cell in row)
        assert words.count(length) == 2  # above the bed, below the surface
        assert "{" not in words
