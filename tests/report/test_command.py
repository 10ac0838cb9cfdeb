"""flowviz report, as a user types it."""

import json
from dataclasses import asdict
from html import unescape

import pytest
from click.testing import CliRunner

from flowviz.cli.commands import commands
from flowviz.store import fresh_folder, write_study


@pytest.fixture(scope="module")
def folder(plain, tmp_path_factory):
    """A folder that holds a study."""
    target = tmp_path_factory.mktemp("stored") / "study"
    with fresh_folder(target) as fresh:
        write_study(plain.study, fresh)
    return target


@pytest.fixture
def call():
    return lambda *words: CliRunner().invoke(commands, ["report", *map(str, words)], prog_name="flowviz")


def told_on(page: str) -> str:
    """What stands on a page, as a reader has it: a space that keeps a line together is a space."""
    return unescape(page).replace("\N{NO-BREAK SPACE}", " ")


def test_a_stored_study_is_reported_as_it_was_computed(call, folder, plain, tmp_path):
    outcome = call(folder, "-o", tmp_path / "report.html", "--figures", tmp_path / "figures")
    assert (outcome.exit_code, outcome.stderr) == (0, "")
    assert "report.html" in outcome.stdout
    assert (tmp_path / "report.html").read_text(encoding="utf-8") == plain.text
    assert all((tmp_path / "figures" / picture.file).is_file() for picture in plain.album.pictures)


def test_the_machine_is_told_what_lies_where_and_what_the_page_says_first(call, folder, plain, tmp_path):
    outcome = call(folder, "-o", tmp_path / "report.html", "--json")
    assert (outcome.exit_code, outcome.stderr) == (0, "")
    told = json.loads(outcome.stdout)
    assert told["file"] == str(tmp_path / "report.html")
    assert told["pictures"] == [asdict(picture) for picture in plain.album.pictures]
    assert all(set(picture) == {"file", "title", "description"} for picture in told["pictures"])
    assert (told["scene"], told["against"]) == ("Hall tank", None)
    assert all(sentence in told_on(plain.text) for sentence in told["sentences"])


@pytest.mark.parametrize("name", ["r.txt", "r", "r.pdf"])
def test_a_page_is_asked_to_be_called_html(call, folder, tmp_path, name):
    outcome = call(folder, "-o", tmp_path / name)
    assert (outcome.exit_code, outcome.stdout) == (2, "")
    assert "is no name of a page" in outcome.stderr
    assert "r.html" in outcome.stderr
    assert not list(tmp_path.iterdir())


@pytest.mark.slow
def test_the_machine_is_told_the_verdict_of_two_layouts(call, folder, tmp_path):
    """One folder against itself: the same layout."""
    outcome = call(folder, "-o", tmp_path / "report.html", "--against", folder, "--json")
    assert (outcome.exit_code, outcome.stderr) == (0, "")
    told = json.loads(outcome.stdout)
    assert (told["scene"], told["against"]) == ("Hall tank", "Hall tank")
    assert told["sentences"][0] == "The two layouts are the same; what differs is chance."
    assert all(sentence in told_on((tmp_path / "report.html").read_text("utf-8")) for sentence in told["sentences"])


def test_without_a_printer_it_is_said_how_to_print_by_hand(call, folder, tmp_path, monkeypatch):
    monkeypatch.setattr("flowviz.report.pdf.find_browser", lambda: None)
    monkeypatch.setattr("flowviz.report.pdf.find_spec", lambda name: None)
    outcome = call(folder, "-o", tmp_path / "report.html", "--pdf")
    assert outcome.exit_code == 2
    assert "open the page in any browser and print it from there" in outcome.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_folder_without_a_study_is_refused(call, tmp_path):
    outcome = call(tmp_path, "-o", tmp_path / "report.html")
    assert outcome.exit_code == 2
    assert outcome.stderr.count("\n") == 1
