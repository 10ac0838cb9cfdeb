"""The page as a PDF, by a browser that is installed or by a library."""

import os
import shutil
import subprocess
from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Literal

from flowviz.errors import InputError, OutputError
from flowviz.report.files import whole_file

Paper = Literal["A4", "letter"]
Printer = Callable[[Path, Path], None]  # from an HTML file to a PDF file

BROWSERS = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "microsoft-edge",
    "microsoft-edge-stable",
    "msedge",
)
SWITCHES = (
    "--headless",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-3d-apis",  # paper shows the still
    "--no-pdf-header-footer",
    "--generate-pdf-document-outline",
)
PATIENCE = 120.0  # with the browser [s]


def find_printer() -> Printer:
    """What prints on this machine. Raises InputError, saying how to print by hand, where there is nothing."""
    browser = find_browser()
    if browser:
        return lambda page, pdf: print_by_browser(browser, page, pdf)
    if find_spec("weasyprint"):
        return print_by_weasyprint
    raise InputError(
        "--pdf",
        "there is nothing here to print with, such as a Chromium-family browser on the PATH",
        "Leave it out, open the page in any browser and print it from there; or first pip install 'flowviz[pdf]'",
    )


def find_browser() -> str | None:
    """A browser that can print by itself."""
    return next((path for path in map(shutil.which, BROWSERS) if path), None)


def print_page(page: str | Path, pdf: str | Path, paper: Paper, printer: Printer) -> None:
    """Print a report that was written into an HTML file, on a kind of paper."""
    text = Path(page).read_text(encoding="utf-8")
    with TemporaryDirectory() as folder, whole_file(pdf) as fresh:
        sized = Path(folder, "report.html")
        sized.write_text(
            text.replace("</head>", f"<style>@page {{ size: {paper} }}</style></head>", 1), encoding="utf-8"
        )
        printer(sized, fresh)


def print_by_browser(browser: str, page: Path, pdf: Path) -> None:
    """Have a browser print, with a profile of its own. Raises OutputError where it does not."""
    with TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        command = (
            browser,
            *SWITCHES,
            *(["--no-sandbox"] if is_root() else []),
            f"--user-data-dir={profile}",
            f"--print-to-pdf={pdf}",
            page.as_uri(),
        )
        try:
            done = subprocess.run(command, capture_output=True, timeout=PATIENCE)
        except subprocess.TimeoutExpired:
            raise OutputError(str(pdf), f"{browser} did not print in {PATIENCE:.0f} s", REMEDY) from None
    if done.returncode != 0 or not pdf.is_file():
        raise OutputError(str(pdf), f"{browser} did not print (status {done.returncode})", REMEDY)


def print_by_weasyprint(page: Path, pdf: Path) -> None:
    """Have WeasyPrint print."""
    from weasyprint import HTML

    HTML(filename=str(page)).write_pdf(str(pdf))


def is_root() -> bool:
    """Whether the browser would refuse its sandbox."""
    return hasattr(os, "geteuid") and os.geteuid() == 0


REMEDY = "Open the page in any browser and print it from there"
