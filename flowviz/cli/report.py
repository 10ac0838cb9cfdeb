"""flowviz report: the page that is handed over."""

from contextlib import ExitStack
from dataclasses import asdict
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

import click
from rich.text import Text

from flowviz.cli.options import cell_edge, cell_option, detail_option, json_option, marches_option
from flowviz.cli.sources import WHAT, found_in, study_of
from flowviz.cli.waiting import progress_bar
from flowviz.cli.words import Command, Words, print_cautions, print_json
from flowviz.errors import InputError
from flowviz.progress import Stage

if TYPE_CHECKING:
    from flowviz.comparison import Comparison
    from flowviz.draw.pictures import Album
    from flowviz.study import Study


@click.command(cls=Command)
@click.argument("source", metavar=WHAT)
@click.option("-o", "file", metavar="FILE.html", required=True, help="File for the page.")
@click.option("--against", metavar=WHAT, help="The layout before, to compare with.")
@detail_option
@cell_option
@marches_option
@click.option("--pdf", is_flag=True, help="Print the page into FILE.pdf too.")
@click.option("--figures", metavar="DIR", help="Folder for the pictures and, to scale, the sheets of holes.")
@json_option
def report(
    source: str,
    file: str,
    against: str | None,
    detail: str,
    cell: str | None,
    marches: int | None,
    pdf: bool,
    figures: str | None,
    as_json: bool,
) -> None:
    """Write the page that is handed over, in one file. A FOLDER that run has written is not computed anew."""
    from flowviz.comparison import compare
    from flowviz.looks import settings_of
    from flowviz.report.pdf import find_printer, print_page
    from flowviz.report.write import write_with_figures
    from flowviz.store import fresh_folder

    check_page(file)
    printer = find_printer() if pdf else None
    edge = cell_edge(cell)
    with ExitStack() as stack:
        folder = stack.enter_context(fresh_folder(figures) if figures else TemporaryDirectory())
        progress = stack.enter_context(progress_bar())
        own, *earlier = found_in([source, *([against] if against else [])], edge, progress)
        settings = settings_of(detail, edge, marches)
        before = [study_of(each, against, settings, progress) for each in earlier]
        study = study_of(own, source, settings, progress)
        held = compare(before[0], study) if before else None
        progress(Stage("drawing"))
        album = write_with_figures(study, file, Path(folder), held)
        if printer:
            progress(Stage("printing"))
            paper = "letter" if study.scene.show == "us" else "A4"
            print_page(file, Path(file).with_suffix(".pdf"), paper, printer)
    if as_json:
        print_json(report_numbers(study, held, file, album))
        return
    words = Words()
    words.print(Text(f"{study.scene.title}: open {file} in a browser"))
    print_cautions(words, album.cautions)


def check_page(file: str) -> None:
    """Refuse a name that is no page's, before any work."""
    from flowviz.report.files import check_file

    check_file(file)
    if Path(file).suffix.lower() not in (".html", ".htm"):
        remedy = f"A browser opens .html: write {Path(file).with_suffix('.html')}"
        raise InputError("-o", f"{file!r} is no name of a page", remedy)


def report_numbers(study: "Study", held: "Comparison | None", file: str, album: "Album") -> dict[str, object]:
    """Where the page is, the pictures in it, and what it says first."""
    from flowviz.report.client import sentences, sentences_of_two

    return {
        "scene": study.scene.title,
        "against": held.before.scene.title if held else None,
        "file": file,
        "pictures": [asdict(picture) for picture in album.pictures],
        "sentences": sentences_of_two(held) if held else sentences(study),
        "cautions": [asdict(caution) for caution in album.cautions],
    }
