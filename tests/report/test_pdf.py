"""Printing: what is chosen to print with, and what is said where it does not."""

import sys

import pytest

from flowviz.errors import OutputError
from flowviz.report import pdf
from flowviz.report.pdf import find_printer, print_page

PAGE = "<!DOCTYPE html><html lang='en'><head><title>t</title></head><body><p>words</p></body></html>"


@pytest.fixture
def page(tmp_path):
    file = tmp_path / "report.html"
    file.write_text(PAGE, encoding="utf-8")
    return file


def script(folder, text):
    """A program that stands for a browser."""
    file = folder / "browser"
    file.write_text(f"#!{sys.executable}\n{text}\n")
    file.chmod(0o755)
    return str(file)


def test_the_paper_is_told_to_the_printer(page, tmp_path):
    seen = []

    def printer(html, target):
        seen.append(html.read_text(encoding="utf-8"))
        target.write_bytes(b"%PDF")

    print_page(page, tmp_path / "out.pdf", "letter", printer)
    assert "@page { size: letter }" in seen[0]
    assert (tmp_path / "out.pdf").read_bytes() == b"%PDF"
    assert page.read_text(encoding="utf-8") == PAGE


@pytest.mark.skipif(sys.platform == "win32", reason="the stand-in for a browser is a script")
def test_a_browser_that_does_not_print_is_an_error_and_leaves_nothing(page, tmp_path, monkeypatch):
    monkeypatch.setattr(pdf, "find_browser", lambda: script(tmp_path, "raise SystemExit(1)"))
    with pytest.raises(OutputError, match="print it from there"):
        print_page(page, tmp_path / "out.pdf", "A4", find_printer())
    assert {path.name for path in tmp_path.iterdir()} == {"report.html", "browser"}


def test_without_a_browser_weasyprint_prints(page, tmp_path, monkeypatch):
    pytest.importorskip("weasyprint", reason="WeasyPrint is not installed: pip install 'flowviz[pdf]'")
    monkeypatch.setattr(pdf, "find_browser", lambda: None)
    print_page(page, tmp_path / "out.pdf", "A4", find_printer())
    assert (tmp_path / "out.pdf").read_bytes().startswith(b"%PDF")
