"""The commands. The only place that prints: results on stdout, progress and faults on stderr."""

import json
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import asdict
from math import isfinite

import click
from rich.console import Console
from rich.progress import Progress
from rich.table import Table as Grid
from rich.text import Text

from flowviz.errors import FlowvizError, InputError
from flowviz.scene.model import Caution
from flowviz.units import QuantityError, shown, to_si

QUIET = 1.0  # seconds before progress is shown
LIMIT_BROKEN = 1  # exit status with --strict
INTERRUPTED = 130  # what shells use for Ctrl-C

scene_argument = click.argument("scene_file", metavar="SCENE")
json_option = click.option("--json", "as_json", is_flag=True, help="Print the machine's form of the result.")
cell_option = click.option("--cell", metavar="LENGTH", help="Edge of a cell, such as '20 mm'; default: by the tank.")


class Commands(click.Group):
    """Commands whose foreseen faults are one line and an exit status."""

    def invoke(self, context: click.Context) -> object:
        """Run the command that was asked for."""
        try:
            return super().invoke(context)
        except FlowvizError as fault:
            click.echo(f"flowviz: {fault}", err=True)
            context.exit(fault.exit_status)
        except KeyboardInterrupt:
            click.echo("flowviz: stopped; nothing was written", err=True)
            context.exit(INTERRUPTED)


@click.group(cls=Commands)
@click.version_option(package_name="flowviz")
def main() -> None:
    """Water in a display aquarium fed by a closed loop: what leaves each outlet, where it is dead, where too strong."""


@main.command()
@scene_argument
@cell_option
@json_option
def check(scene_file: str, cell: str | None, as_json: bool) -> None:
    """Read a scene, list faults and cautions, solve nothing."""
    from flowviz.grid.voxelise import voxelise
    from flowviz.plumbing.network import network
    from flowviz.scene.file import read_scene

    scene = read_scene(scene_file)
    if scene.pipes:
        network(scene)
    grid = voxelise(scene, cell_edge(cell))
    if as_json:
        print_json(
            {
                "scene": scene.title,
                "cells": grid.kind.size,
                "water_cells": int(grid.water.sum()),
                "water_volume_m3": grid.water_volume,
                "cautions": [asdict(caution) for caution in scene.cautions],
            }
        )
        return
    words = Console(highlight=False)
    volume = shown(grid.water_volume, "volume", scene.show)
    words.print(Text(f"{scene.title}: no faults found. {volume} of water in {int(grid.water.sum())} cells."))
    print_cautions(words, scene.cautions)


@main.command()
@scene_argument
@json_option
def plumb(scene_file: str, as_json: bool) -> None:
    """Pump duty point, flow at each outlet, intakes; losses, strainers, heat, holes, leaks, parts."""
    from flowviz.plumbing.dossier import Circumstances, dossier
    from flowviz.scene.file import read_scene
    from flowviz.store import loop_summary
    from flowviz.tables import dossier_tables, loop_tables

    scene = read_scene(scene_file)
    given = Circumstances()
    told = dossier(scene, given)
    if as_json:
        print_json(loop_summary(scene, told))
        return
    words = Console(highlight=False)
    words.print(Text(scene.title, style="bold"))
    print_tables(words, (*loop_tables(scene, told.loop), *dossier_tables(scene, told, given)))
    print_cautions(words, (*scene.cautions, *told.loop.cautions, *told.cautions))


@main.command()
@scene_argument
@click.option("-o", "folder", metavar="DIR", required=True, help="Folder for summary, field and pictures.")
@click.option("--detail", type=click.Choice(("sketch", "coarse", "fine")), default="sketch", show_default=True)
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


def cell_edge(written: str | None) -> float | None:
    """The edge of a cell as the user wrote it [m]."""
    if written is None:
        return None
    try:
        edge = to_si(written, "length")
    except QuantityError as fault:
        raise InputError("--cell", f"{fault.where} {fault.fault}", fault.remedy) from None
    if not (isfinite(edge) and edge > 0):
        raise InputError("--cell", f"a cell cannot be {written} wide", "Write a length above zero, such as '20 mm'")
    return edge


@contextmanager
def progress_bar() -> Iterator:
    """A callback that shows what is being done, once it takes longer than a moment."""
    began, console = time.monotonic(), Console(stderr=True)
    with Progress(console=console, transient=True, disable=not console.is_terminal) as bar:
        task = bar.add_task("", total=1.0, visible=False)

        def show(doing: str, share: float) -> None:
            bar.update(task, description=doing, completed=share, visible=time.monotonic() - began > QUIET)

        yield show


def print_json(value: object) -> None:
    """The machine's form, alone on stdout."""
    click.echo(json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False))


def print_tables(words: Console, tables: Iterable) -> None:
    """Tables as plain columns."""
    for table in tables:
        grid = Grid(title=table.title, title_justify="left", title_style="bold", box=None, pad_edge=False)
        for heading, side in table.columns:
            grid.add_column(heading, justify=side)
        for row in table.rows:
            grid.add_row(*map(Text, row))
        words.print()
        words.print(grid)


def print_pictures(words: Console, folder: str, pictures: Iterable) -> None:
    """Where to look, and what is to be seen there."""
    words.print(Text(f"\nLook in {folder}:", style="bold"))
    for picture in pictures:
        words.print(Text(f"  {picture.file}  {picture.title}"))


def print_cautions(words: Console, cautions: Iterable[Caution]) -> None:
    """What the user must know, a line each."""
    for number, caution in enumerate(cautions):
        words.print(Text(f"{'' if number else chr(10)}Caution, {caution}"))
