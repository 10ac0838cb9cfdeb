"""flowviz plumb: the loop outside the tank."""

from dataclasses import dataclass, replace

import click
from rich.console import Console
from rich.text import Text

from flowviz.cli.options import json_option, scene_argument
from flowviz.cli.words import print_cautions, print_json, print_tables
from flowviz.errors import InputError
from flowviz.scene.model import Caution, Scene


@click.command()
@scene_argument
@click.option("--pumps", "pumps_file", metavar="FILE", help="TOML or CSV file of pumps to try on this loop.")
@click.option("--place", metavar="NAME", help="The pump of the scene that they take the place of.")
@json_option
def plumb(scene_file: str, pumps_file: str | None, place: str | None, as_json: bool) -> None:
    """Pump duty point, flow at each outlet, intakes; losses, strainers, heat, holes, leaks, parts."""
    from flowviz.plumbing.dossier import dossier
    from flowviz.scene.file import read_scene
    from flowviz.store import loop_summary
    from flowviz.tables import dossier_tables, loop_tables

    scene = read_scene(scene_file)
    tried = None if pumps_file is None else tried_pumps(scene, pumps_file, place)
    told = dossier(scene)
    if as_json:
        print_json({**loop_summary(scene, told), **(tried.numbers if tried else {})})
        return
    words = Console(highlight=False)
    words.print(Text(scene.title, style="bold"))
    tables = (*loop_tables(scene, told.loop), *(tried.tables if tried else ()), *dossier_tables(scene, told))
    print_tables(words, tables)
    more = tried.cautions if tried else ()
    print_cautions(words, (*scene.cautions, *told.loop.cautions, *more, *told.cautions))


@dataclass(frozen=True, slots=True)
class Tried:
    """Pumps of a file on the loop of a scene, as both forms of the output have them."""

    numbers: dict[str, object]
    tables: tuple
    cautions: tuple[Caution, ...]


def tried_pumps(scene: Scene, file: str, place: str | None) -> Tried:
    """What the pumps of a file would do in the place of one of the scene's."""
    from flowviz.plumbing.choice import system_curve, try_pumps
    from flowviz.scene.pumps import read_pumps
    from flowviz.store import choice_summary
    from flowviz.tables import choice_tables

    candidates, place = read_pumps(file), place or only_pump(scene)
    tried = try_pumps(scene, place, candidates)
    cautions = tuple(replace(caution, where=f"pump {choice.pump}") for choice in tried for caution in choice.cautions)
    return Tried(choice_summary(place, system_curve(scene, place), tried), choice_tables(scene, tried), cautions)


def only_pump(scene: Scene) -> str:
    """The name of the scene's pump, if it has just one."""
    names = [pump.name for pump in scene.pumps]
    if not names:
        raise InputError("--pumps", "this scene has no pump, its flows are fixed", "Describe its pump and pipes")
    if len(names) > 1:
        raise InputError("--place", "is missing", f"Name the pump to replace: {', '.join(names)}")
    return names[0]
