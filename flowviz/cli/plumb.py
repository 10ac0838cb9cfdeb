"""flowviz plumb: the loop outside the tank."""

import click
from rich.console import Console
from rich.text import Text

from flowviz.cli.options import json_option, scene_argument
from flowviz.cli.words import print_cautions, print_json, print_tables


@click.command()
@scene_argument
@json_option
def plumb(scene_file: str, as_json: bool) -> None:
    """Pump duty point, flow at each outlet, intakes; losses, strainers, heat, holes, leaks, parts."""
    from flowviz.plumbing.dossier import dossier
    from flowviz.scene.file import read_scene
    from flowviz.store import loop_summary
    from flowviz.tables import dossier_tables, loop_tables

    scene = read_scene(scene_file)
    told = dossier(scene)
    if as_json:
        print_json(loop_summary(scene, told))
        return
    words = Console(highlight=False)
    words.print(Text(scene.title, style="bold"))
    print_tables(words, (*loop_tables(scene, told.loop), *dossier_tables(scene, told)))
    print_cautions(words, (*scene.cautions, *told.loop.cautions, *told.cautions))
