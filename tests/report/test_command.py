"""flowviz report, as a user types it."""

import pytest
from click.testing import CliRunner

from flowviz.cli import main
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
    return lambda *words: CliRunner().invoke(main, ["report", *map(str, words)], prog_name="flowviz")


def test_a_stored_study_is_reported_as_it_was_computed(call, folder, plain, tmp_path):
    outcome = call(folder, "-o", tmp_path / "report.html", "--figures", tmp_path / "figures")
    assert (outcome.exit_code, outcome.stderr) == (0, "")
    assert "report.html" in outcome.stdout
    assert (tmp_path / "report.html").read_text(encoding="utf-8") == plain.text
    assert all((tmp_path / "figures" / picture.file).is_file() for picture in plain.album.pictures)


def test_without_a_printer_both_ways_to_one_are_named(call, folder, tmp_path, monkeypatch):
    monkeypatch.setattr("flowviz.report.pdf.find_browser", lambda: None)
    monkeypatch.setattr("flowviz.report.pdf.find_spec", lambda name: None)
    outcome = call(folder, "-o", tmp_path / "report.html", "--pdf")
    assert outcome.exit_code == 2
    assert "Chrom" in outcome.stderr
    assert "WeasyPrint" in outcome.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_folder_without_a_study_is_refused(call, tmp_path):
    outcome = call(tmp_path, "-o", tmp_path / "report.html")
    assert outcome.exit_code == 2
    assert outcome.stderr.count("\n") == 1
