"""A study as files: its numbers against the field itself, and the way back."""

import json
import shutil
from dataclasses import astuple, fields, replace
from pathlib import Path

import numpy as np
import pytest
import pyvista

from flowviz.assess.bed import BedFigures
from flowviz.assess.corals import CoralFigures
from flowviz.assess.cycle import Cycle, PhaseFigures, StrongestMoment
from flowviz.assess.measured import Agreement, PointFigures
from flowviz.assess.measures import measure
from flowviz.assess.renewal import Renewal
from flowviz.assess.surfaces import RockFigures, SurfaceFigures
from flowviz.assess.zones import Zone
from flowviz.errors import InputError
from flowviz.plumbing.animals import Peril
from flowviz.plumbing.dossier import dossier
from flowviz.plumbing.grade import Loss, Station, Upsize
from flowviz.plumbing.heat import PumpHeat
from flowviz.plumbing.leaks import Leak
from flowviz.plumbing.loop import IntakeFigures, OutletFigures, PipeFlow, PumpDuty
from flowviz.plumbing.service import PumpService
from flowviz.plumbing.sizing import StrainerSizes
from flowviz.plumbing.strainers import FoulingPoint
from flowviz.store import fresh_folder, loop_summary, read_study, summary, write_study
from flowviz.store.summary import UNITS


@pytest.fixture(scope="module")
def numbers(folder) -> dict:
    """summary.json, refusing what strict JSON does not know."""

    def refuse(constant):
        raise AssertionError(constant)

    return json.loads((folder / "summary.json").read_text(encoding="utf-8"), parse_constant=refuse)


def test_speeds_and_shares_are_those_of_the_field_file_read_by_pyvista(folder, numbers):
    """Plain numpy on the cells whose water is 1; single precision allows for 1e-6."""
    image = pyvista.read(folder / "field.vti")
    water = image.cell_data["water"] == 1
    speed, open_ = image.cell_data["speed"][water], image.cell_data["open_volume"][water].astype(float)
    p05, median, p95 = np.percentile(speed, (5, 50, 95), weights=open_, method="inverted_cdf")
    mean = np.average(speed, weights=open_)
    expected = {"mean": mean, "median": median, "p05": p05, "p95": p95, "max": speed.max()}
    assert numbers["speed_m_s"] == pytest.approx({name: float(value) for name, value in expected.items()}, rel=1e-6)
    assert numbers["dead_fraction"] == pytest.approx(
        np.average(speed < numbers["limits"]["dead_m_s"], weights=open_), abs=1e-12
    )
    assert numbers["over_fraction"] == pytest.approx(
        np.average(speed > numbers["limits"]["over_m_s"], weights=open_), abs=1e-12
    )


def test_shares_of_corals_are_those_of_the_field_file(folder, numbers):
    """The group's box, 10 x 10 x 6 cm about (0.3, 0.15, 0.25), on the cells' middles as the file has them."""
    image = pyvista.read(folder / "field.vti")
    off = np.abs(image.cell_centers().points - (0.3, 0.15, 0.25))
    held = (off <= np.array((0.05, 0.05, 0.03)) + 1e-6).all(axis=1) & (image.cell_data["water"] == 1)
    speed, group = image.cell_data["speed"][held], numbers["corals"]["speed"]
    assert group["cells"] == held.sum() > 0
    assert group["under_fraction"] == pytest.approx(np.mean(speed < 0.1), abs=1e-12)
    assert group["over_fraction"] == pytest.approx(np.mean(speed > 0.35), abs=1e-12)
    assert group["speed_m_s"] == pytest.approx(float(speed.mean(dtype=np.float64)), rel=1e-6)  # single precision


def test_cells_and_volume_are_those_of_the_field_file(folder, numbers):
    image = pyvista.read(folder / "field.vti")
    cell = np.prod(image.spacing)
    assert numbers["cells"] == image.n_cells
    assert numbers["water_cells"] == image.cell_data["water"].sum()
    assert numbers["cell_m"] ** 3 == pytest.approx(cell, rel=1e-12)  # rounding
    volume = image.cell_data["open_volume"].sum(dtype=np.float64) * cell
    assert numbers["water_volume_m3"] == pytest.approx(volume, rel=1e-9)


def test_the_field_file_has_each_cell_where_it_is(study, folder):
    image = pyvista.read(folder / "field.vti")
    assert image.origin == (0.0, 0.0, 0.0)
    assert image.spacing == pytest.approx(study.grid.spacing)
    for i, j, k in ((0, 0, 0), (3, 7, 2), (19, 0, 11), (7, 9, 0)):
        middle = [(index + 0.5) * edge for index, edge in zip((i, j, k), study.grid.spacing, strict=True)]
        cell = image.find_containing_cell(middle)
        assert image.cell_data["water"][cell] == study.grid.water[i, j, k]
        assert image.cell_data["speed"][cell] == study.field.speed[i, j, k]
        assert image.cell_data["fluctuation"][cell] == study.field.fluctuation[i, j, k]
        assert image.cell_data["age"][cell] == study.renewal.age[i, j, k]
        assert np.array_equal(
            image.cell_data["velocity"][cell], study.field.velocity()[i, j, k] * study.grid.water[i, j, k]
        )


def test_the_summary_has_what_is_promised(study, numbers):
    assert (numbers["scene"], numbers["detail"]) == ('Kleines Becken "am Fenster" <b>', "coarse")
    assert numbers["balance_error"] == 1e-5
    assert numbers["outlets"]["head"]["flow_m3_s"] == pytest.approx(2 / 3600, rel=1e-12)  # as the scene says
    assert numbers["outlets"]["head"]["speed_m_s"] == pytest.approx(2 / 3600 / (np.pi / 4 * 0.032**2), rel=1e-12)
    assert numbers["intakes"]["flow"]["flow_m3_s"] == pytest.approx(2 / 3600, rel=1e-12)
    assert numbers["intakes"]["flow"]["screen_speed_m_s"] == pytest.approx(2 / 3600 / (np.pi / 4 * 0.05**2), rel=1e-12)
    assert numbers["pumps"] == {}
    assert {"dead_fraction", "over_fraction", "mean_speed_m_s", "p95_speed_m_s"} <= set(numbers["uncertainty"])
    coral = numbers["corals"]["speed"]
    assert {"speed_m_s", "under_fraction", "in_band_fraction", "over_fraction", "verdict"} <= set(coral)
    assert coral["wanted_m_s"] == [0.10, 0.35]
    assert coral["uncertainty"]["speed_m_s"] > 0
    assert [zone["volume_m3"] for zone in numbers["zones"]] == [zone.volume for zone in study.measures.zones]
    assert all(set(caution) == {"where", "what", "why"} for caution in numbers["cautions"])


def test_the_summary_tells_what_becomes_of_the_water_and_of_the_bed(study, numbers):
    renewal, bed = numbers["renewal"], numbers["bed"]
    assert renewal["nominal_age_s"] == pytest.approx(numbers["water_volume_m3"] / (2 / 3600), rel=1e-9)
    assert renewal["intake_ages_s"]["flow"] == pytest.approx(renewal["nominal_age_s"], rel=1e-3)  # exhaust identity
    assert set(renewal["straight_shares"]) == {"head"}
    assert "age_s" not in renewal
    assert bed["settling_fraction"] == study.measures.bed.settling_fraction
    assert bed["blown_fraction"] is None  # a bare floor
    assert numbers["limits"] == {"dead_m_s": 0.03, "over_m_s": 0.5, "settle_m_s": 0.05, "stir_m_s": 0.12}
    assert numbers["limit_standings"]["dead"] == {"standing": "common practice", "source": "no source"}
    assert numbers["measured"] is None
    assert numbers["suction_reach_m"] == {"flow": {}}
    assert all({"cause", "remedy", "touches", "sureness"} <= set(zone) for zone in numbers["zones"])


def test_what_is_unknown_is_null(study):
    lone = replace(study.field, batches=study.field.batches[:1])
    numbers = summary(replace(study, measures=measure(study.scene, study.grid, lone)))
    assert numbers["uncertainty"]["dead_fraction"] is None
    json.dumps(numbers, allow_nan=False)


def test_a_summary_has_all_that_the_loop_alone_has(study):
    alone = loop_summary(study.scene, dossier(study.scene))
    whole = summary(study)
    assert set(alone) <= set(whole)
    assert whole["dossier"] == alone["dossier"]


def test_the_loop_alone(study):
    numbers = loop_summary(study.scene, dossier(study.scene))
    assert set(numbers) == {"scene", "outlets", "intakes", "pumps", "pipes", "heads_m", "dossier", "cautions"}
    json.dumps(numbers, allow_nan=False)


@pytest.mark.parametrize(
    "kind", [Loss, Station, Upsize, Peril, FoulingPoint, StrainerSizes, PumpHeat, Leak, PumpService]
)
def test_every_number_in_the_dossier_has_its_unit_in_its_name(kind):
    bare = {"cost", "fouled", "share"}
    words = {
        "animal",
        "intake",
        "larger",
        "limit",
        "missing",
        "name",
        "part",
        "passes",
        "pipe",
        "pump",
        "size",
        "where",
    }
    assert {field.name.rpartition("_")[2] for field in fields(kind)} <= bare | words | set(UNITS)


@pytest.mark.parametrize(
    "kind",
    [
        *(PumpDuty, PipeFlow, OutletFigures, IntakeFigures, Zone, CoralFigures),
        *(BedFigures, RockFigures, SurfaceFigures, Agreement, PointFigures, Renewal),
        *(Cycle, PhaseFigures, StrongestMoment),
    ],
)
def test_every_number_in_the_summary_has_its_unit_in_its_name(kind):
    """The numbers without a unit are told here by the last word of their names."""
    bare = {
        "evenness",
        "bias",
        "cells",
        "efficiency",
        "error",
        "fraction",
        "persistence",
        "points",
        "reynolds",
        "share",
        "shares",
        "spreads",
        "uncertainty",
    }
    words = {
        "bed",
        "cause",
        "corals",
        "end",
        "harmless",
        "help",
        "kind",
        "material",
        "openings",
        "place",
        "start",
        "sure",
        "verdict",
    }
    words |= {
        "cautions",
        "doubts",
        "fractions",
        "phase",
        "phases",
        "remedy",
        "resting",
        "strongest",
        "surface",
        "worst",
    }
    assert {field.name.rpartition("_")[2] for field in fields(kind)} <= bare | words | set(UNITS)


def test_a_study_is_read_back_as_it_was(study, folder):
    again = read_study(folder)
    assert summary(again) == summary(study)
    assert again.settings == study.settings
    assert again.scene.source == study.scene.source
    assert astuple(again.field.quality) == astuple(study.field.quality)
    for name in ("u", "v", "w", "speed", "fluctuation", "batches"):
        assert np.array_equal(getattr(again.field, name), getattr(study.field, name))


def test_a_scene_that_was_not_read_from_a_file_is_stored_without_the_way_back(study, tmp_path):
    with fresh_folder(tmp_path / "made") as fresh:
        write_study(replace(study, scene=replace(study.scene, source=None)), fresh)
    with pytest.raises(InputError, match=r"holds no scene/scene\.toml"):
        read_study(tmp_path / "made")


@pytest.fixture
def copy(folder, tmp_path) -> Path:
    """The written study, to be spoilt."""
    return shutil.copytree(folder, tmp_path / "copy")


def test_a_folder_without_a_study_is_refused(tmp_path):
    with pytest.raises(InputError, match=r"is no study: there is no summary\.json in it\. Name a folder"):
        read_study(tmp_path)


@pytest.mark.parametrize("other", ["flowviz study 1", "flowviz study 99", None])
def test_a_study_of_another_format_is_refused(copy, numbers, other):
    """One line that says what the folder is and what to do."""
    (copy / "summary.json").write_text(json.dumps(numbers | {"format": other}))
    with pytest.raises(InputError, match=f"copy: was written by another version.*{other}.*Run its scene again"):
        read_study(copy)


@pytest.mark.parametrize("text", ["[]", "{}"])
def test_a_summary_of_something_else_is_refused(copy, text):
    (copy / "summary.json").write_text(text)
    with pytest.raises(InputError, match="is not the summary of a study"):
        read_study(copy)


@pytest.mark.parametrize("missing", ["seed", "marches", "asked_cell_m", "detail"])
def test_a_summary_without_its_settings_is_refused(copy, numbers, missing):
    (copy / "summary.json").write_text(json.dumps({key: numbers[key] for key in numbers if key != missing}))
    with pytest.raises(InputError, match=f"is damaged: '{missing}' is missing"):
        read_study(copy)


@pytest.mark.parametrize("spoil", [lambda data: data[: len(data) // 2], lambda data: b"", lambda data: b"x" * 100])
def test_a_damaged_field_is_refused(copy, spoil):
    path = copy / "fields.npz"
    path.write_bytes(spoil(path.read_bytes()))
    with pytest.raises(InputError, match=r"fields\.npz: cannot be read"):
        read_study(copy)


def test_a_field_of_other_cells_is_refused(copy):
    path = copy / "scene" / "scene.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("300 mm", "310 mm"), encoding="utf-8")
    with pytest.raises(InputError, match="was solved on other cells"):
        read_study(copy)


def test_a_study_is_written_into_a_folder_that_is_not_there_yet_and_over_itself(study, tmp_path):
    folder = f"{tmp_path}/of/mine"
    for _ in range(2):
        write_study(study, folder)
    assert read_study(folder).measures.dead_fraction == study.measures.dead_fraction
