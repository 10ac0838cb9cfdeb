"""flowviz compare: what it prints and writes, and what it refuses."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from flowviz.cli.commands import commands
from flowviz.looks import MARCHES, settings_of
from flowviz.report.client import TRUST
from flowviz.store import read_study
from flowviz.study import Settings

FIRST = Path(__file__).parents[2] / "scenes" / "first.toml"
QUICK = ("--marches", "2")


def call(*words):
    return CliRunner().invoke(commands, ["compare", *map(str, words)], prog_name="flowviz")


@pytest.fixture(scope="module")
def louder(tmp_path_factory):
    """The first scene with twice the flow, and a title that is hard to set."""
    text = FIRST.read_text(encoding="utf-8").replace('"3000 L/h"', '"6000 L/h"')
    path = tmp_path_factory.mktemp("louder") / "louder.toml"
    path.write_text(text.replace('"First tank"', "'Größer \"& lauter\" \N{TROPICAL FISH}'"), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def done(louder, tmp_path_factory):
    folder = tmp_path_factory.mktemp("compare") / "out"
    return call(FIRST, louder, "-o", folder, "--json", *QUICK), folder


def test_json_is_alone_on_stdout_and_in_the_folder(done):
    outcome, folder = done
    assert outcome.exit_code == 0, outcome.output
    whole = json.loads(outcome.stdout)
    assert json.loads((folder / "comparison.json").read_text(encoding="utf-8")) == whole
    assert whole["choice"] is None
    (told,) = whole["comparisons"]
    assert told["after"] == 'Größer "& lauter" \N{TROPICAL FISH}'
    assert {each["verdict"] for each in told["differences"]} <= {
        "better",
        "worse",
        "changed",
        "the same",
        "too close to call",
    }
    flow = next(each for each in told["differences"] if each["name"] == "total_flow")
    assert flow["verdict"] == "changed"
    assert flow["unit"] == "m3/s"


def test_the_studies_are_kept_and_can_be_compared_again(done, tmp_path):
    _, folder = done
    assert read_study(folder / "layout-2").settings.marches == 2
    again = call(folder / "layout-1", folder / "layout-2", "-o", tmp_path / "again", "--json")
    assert json.loads(again.stdout) == json.loads((folder / "comparison.json").read_text(encoding="utf-8"))
    assert not (tmp_path / "again" / "layout-1").exists()  # they are where they were


@pytest.mark.slow
def test_three_layouts_are_compared_with_the_first(done, tmp_path):
    _, folder = done
    one, other = folder / "layout-1", folder / "layout-2"
    outcome = call(one, other, one, "-o", tmp_path / "three")
    assert outcome.exit_code == 0, outcome.output
    assert (tmp_path / "three" / "layout-2-against-1" / "verdicts.png").exists()
    assert {"layouts.png", "sections.png"} <= {path.name for path in (tmp_path / "three").iterdir()}
    assert "All layouts, by number" in outcome.stdout
    assert "layout-3-against-1/verdicts.png" in outcome.stdout
    assert "The two layouts are the same; what differs is chance" in " ".join(outcome.stdout.split())


def test_an_opening_on_its_way_leaves_the_scene_as_it_is(tmp_path):
    before = FIRST.read_bytes()
    way = ("--move", "left high", "--to", "0 mm, 400 mm, 430 mm", "--steps", "2")
    outcome = call(FIRST, *way, "-o", tmp_path / "way", "--json", *QUICK)
    assert outcome.exit_code == 0, outcome.output
    told = json.loads(outcome.stdout)
    assert told["moved_m"] == pytest.approx([0.0, 0.2], abs=1e-9)
    assert [picture["file"] for picture in told["pictures"]] == ["course.png"]
    assert any("is a sketch" in caution["what"] for caution in told["cautions"])
    assert (tmp_path / "way" / "course.png").exists()
    assert FIRST.read_bytes() == before


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ((FIRST,), "two or more"),
        ((FIRST, "nowhere.toml"), "nowhere.toml"),
        ((FIRST, "--move", "left high"), "--to: is missing"),
        ((FIRST, "--to", "1 m, 1 m, 1 m"), "--move: is missing"),
        ((FIRST, FIRST, "--move", "left high", "--to", "1 m, 1 m, 1 m"), "one scene file"),
        ((FIRST, "--move", "left hihg", "--to", "0 m, 0.4 m, 0.3 m"), "Did you mean 'left high'"),
        ((FIRST, "--move", "left high", "--to", "0 m, 0.4 m"), "three, along x, y and z"),
        ((FIRST, "--move", "left high", "--to", "0 m 0.4 m 0.3 m"), "no three lengths with commas"),
        ((FIRST, "--move", "left high", "--to", "0 m, 0.4 m, 3"), "without a unit"),
        ((FIRST, "--move", "left high", "--to", "9 m, 0.4 m, 0.3 m"), "outside the tank"),
        ((FIRST, "--move", "left high", "--to", "9 cm, 0.4 m, 0.3 m"), "lies off the panel 'left' that it sits on"),
    ],
)
def test_bad_input_is_one_line_and_status_2(words, told, tmp_path):
    outcome = call(*words, "-o", tmp_path / "out", *QUICK)
    assert outcome.exit_code == 2
    assert outcome.stdout == ""
    assert told in outcome.stderr
    assert outcome.stderr.count("\n") == 1
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("command", ["compare", "report"])
def test_a_fault_in_any_layout_is_told_before_one_is_computed(command, tmp_path, monkeypatch):
    """One of its loop too, which reading a scene does not look at: a fine run of the others may take an hour."""
    source = Path(__file__).parents[2] / "scenes" / "raceway.toml"
    wrong, out = tmp_path / "wrong.toml", tmp_path / "out.html"
    wrong.write_text(source.read_text(encoding="utf-8").replace('"elbow 90"', '"elbw 90"'), encoding="utf-8")
    monkeypatch.setattr("flowviz.study.run", lambda *_: pytest.fail("was computed"))
    words = [FIRST, FIRST, wrong] if command == "compare" else [wrong, "--against", FIRST]
    outcome = CliRunner().invoke(commands, [command, *map(str, words), "-o", str(out)], prog_name="flowviz")
    assert outcome.exit_code == 2
    assert outcome.stderr.startswith(f"flowviz: {wrong}: pipe ")
    assert not out.exists()


def test_a_rock_on_the_way_is_told_with_its_place_and_how_to_pass_it(scene_in, tmp_path):
    """The rock stands from x 250 to 350 mm: the third of five places, at x 300, lies in it, and the end is free."""
    path = scene_in(tmp_path, {"outlet.0.panel": "rim", "outlet.0.at": ["100 mm", "150 mm", "100 mm"]})
    outcome = call(path, "--move", "jet", "--to", "500 mm, 150 mm, 100 mm", "-o", tmp_path / "out", *QUICK)
    assert outcome.exit_code == 2
    assert outcome.stderr.startswith("flowviz: --to, place 3 of 5 (300 mm, 150 mm, 100 mm): ")
    assert "inside the rock 'stone'. Choose another --to, or fewer --steps: with --steps 2 only" in outcome.stderr


@pytest.mark.slow
def test_a_report_against_a_layout_says_what_compare_says(scene_in, tmp_path):
    """Both compute the layout before with the same chance, and the later one with another."""
    (tmp_path / "one").mkdir()
    (tmp_path / "other").mkdir()
    before, after = scene_in(tmp_path / "one"), scene_in(tmp_path / "other", {"outlet.0.bore": "25 mm"})
    compared = json.loads(call(before, after, "-o", tmp_path / "out", "--json").stdout)["comparisons"][0]
    words = ["report", str(after), "--against", str(before), "-o", str(tmp_path / "page.html"), "--json"]
    reported = json.loads(CliRunner().invoke(commands, words, prog_name="flowviz").stdout)
    sure = (
        "How sure: the layouts were computed 12 times each, and about 6 in 100 such comparisons call by chance what "
        "is not so. The computation's own error is not in that."
    )
    assert reported["sentences"] == [f"{compared['title']}.", *compared["reasons"][:3], sure, TRUST["sketch"]]


def test_all_layouts_are_marched_as_often_as_their_level_needs_by_the_same_chance():
    assert [settings_of(detail).marches for detail in MARCHES] == [12, 8, 1]
    assert settings_of("coarse") == Settings("coarse", marches=8, seed=0)
    assert settings_of("fine", 0.02, 3) == Settings("fine", 0.02, marches=3)
