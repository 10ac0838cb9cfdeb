"""flowviz run: the whole study into a folder."""

import click
from rich.console import Console
from rich.text import Text

from flowviz.cli.options import cell_edge, cell_option, detail_option, json_option, scene_argument
from flowviz.cli.words import print_cautions, print_json, print_pictures, print_tables, progress_bar

LIMIT_BROKEN = 1  # exit status with --strict


@click.command()
@scene_argument
@click.option("-o", "folder", metavar="DIR", required=True, help="Folder for summary, field and pictures.")
@detail_option
@cell_option
@click.option("--strict", is_flag=True, help="End with status 1 if a limit of the scene is broken.")
@json_option
def run(scene_file: str, folder: str, detail: str, cell: str | None, strict: bool, as_json: bool) -> None:
    """Compute a scene and write summary.json, field.vti and pictures into DIR."""
    from flowviz.draw.pictures import write_pictures
    from flowviz.scene.file import read_scene
    from flowviz.store import fresh_folder, summary, write_study
    from flowviz.study import Settings, run
    from flowviz.tables import study_tables

    scene = read_scene(scene_file)
    settings = Settings(detail, cell_edge(cell))
    with fresh_folder(folder) as fresh:
        with progress_bar() as progress:
            study = run(scene, settings, progress)
        write_study(study, fresh)
        album = write_pictures(study, fresh)
    if as_json:
        print_json(summary(study))
    else:
        words = Console(highlight=False)
        words.print(Text(scene.title, style="bold"))
        print_tables(words, study_tables(study))
        print_cautions(words, (*study.cautions, *album.cautions))
        print_pictures(words, folder, album.pictures)
    if strict and not study.measures.within_limits:
        click.get_current_context().exit(LIMIT_BROKEN)
