"""The door: draws a study, and writes the page of it as one file."""

from pathlib import Path
from tempfile import TemporaryDirectory

from flowviz.comparison import Comparison, compare
from flowviz.draw.pictures import Album
from flowviz.plumbing.dossier import dossier
from flowviz.report.files import whole_file
from flowviz.report.page import page
from flowviz.report.pictures import draw
from flowviz.study import Study


def write_report(study: Study, file: str | Path, against: Study | None = None) -> Album:
    """Write the report of a study into one HTML file that needs nothing beside it; gives the pictures in it.

    against   the layout before, which the study is held against

    Raises OutputError where the file cannot be written; what was there before is then untouched.
    """
    with TemporaryDirectory() as folder:
        return write_with_figures(study, file, Path(folder), compare(against, study) if against else None)


def write_with_figures(study: Study, file: str | Path, figures: Path, held: Comparison | None) -> Album:
    """The same, and its pictures as files of their own in a folder that is there."""
    with whole_file(file) as fresh:
        told = dossier(study.scene)
        drawn = draw(study, told, figures, held)
        fresh.write_text(page(study, told, held, drawn, figures), encoding="utf-8")
    return drawn.album
