"""flowviz plumb: the loop outside the tank."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click
from rich.text import Text

from flowviz.cli.options import faults_of, json_option, scene_argument
from flowviz.cli.shopping import Answer, priced_parts, tried_pumps
from flowviz.cli.words import Command, Words, print_cautions, print_json, print_pictures, print_tables
from flowviz.errors import InputError
from flowviz.folder import check_folder

if TYPE_CHECKING:
    from flowviz.draw.pictures import Picture
    from flowviz.plumbing.dossier import Dossier
    from flowviz.plumbing.loop import Loop
    from flowviz.scene.model import Scene


@click.command(cls=Command)
@scene_argument
@click.option("-o", "folder", metavar="DIR", help="Folder for pictures of the loop and sheets of the holes.")
@click.option(
    "--pumps", "pumps_file", metavar="FILE", help="Pumps to try on this loop: TOML, or CSV with name, flow, head."
)
@click.option("--place", metavar="NAME", help="The pump of the scene that they take the place of.")
@click.option(
    "--prices", "prices_file", metavar="FILE", help="CSV file of prices: part, size, price; pipe by the metre or foot."
)
@json_option
def plumb(
    scene_file: str,
    folder: str | None,
    pumps_file: str | None,
    place: str | None,
    prices_file: str | None,
    as_json: bool,
) -> None:
    """The loop: duty point, flows, losses, strainers, holes, parts."""
    if folder is not None:
        check_folder(folder)
    if place is not None and pumps_file is None:
        raise InputError("--place", "stands without --pumps", "Add --pumps FILE, the pumps to try there")
    from flowviz.scene.file import read_scene
    from flowviz.store import loop_summary

    scene = read_scene(scene_file)
    with faults_of(scene_file):
        told, more = account(scene)
    if pumps_file is not None:
        more.append(tried_pumps(scene, pumps_file, place))
    if prices_file is not None:
        more.append(priced_parts(scene, told.parts, prices_file))
    pictures = () if folder is None else draw_loop(scene, told, folder, more)
    if as_json:
        print_json({**loop_summary(scene, told), **{each.name: each.numbers for each in more}})
        return
    words = Words()
    print_account(words, scene, told, more)
    if folder is not None:
        from flowviz.draw.sheets.unlettered import lettering_cautions

        print_cautions(words, lettering_cautions(scene))
        print_pictures(words, folder, pictures)


def print_account(words: Words, scene: "Scene", told: "Dossier", more: Sequence[Answer]) -> None:
    """All tables, then all cautions."""
    from flowviz.tables import dossier_tables, loop_tables

    words.print(Text(scene.title, style="bold"))
    print_tables(words, (*loop_tables(scene, told.loop), *dossier_tables(scene, told)))
    for each in more:
        print_tables(words, each.tables)
    print_cautions(words, (*scene.cautions, *told.loop.cautions))
    print_cautions(words, (*(caution for each in more for caution in each.cautions), *told.cautions))


def account(scene: "Scene") -> tuple["Dossier", list[Answer]]:
    """What a loop asks, and what it does in the phases of its cycle; cautions are then of these, as of a run."""
    from flowviz.plumbing.dossier import dossier
    from flowviz.plumbing.phases import phase_cautions, solve_phase

    told = dossier(scene)
    if not scene.phases:
        return told, []
    loops = {phase.name: solve_phase(scene, phase) for phase in scene.phases}
    cautions = tuple(phase_cautions(scene, loops))
    return replace(told, loop=replace(told.loop, cautions=cautions)), [*in_phases(scene, loops)]


def in_phases(scene: "Scene", loops: Mapping[str, "Loop"]) -> Iterator[Answer]:
    """What the loop does in each phase of its cycle, and what its pumps take over it."""
    from flowviz.store import cycle_loop_numbers
    from flowviz.tables import phase_loop_tables

    phases, energy = cycle_loop_numbers(scene, loops)
    flows, taken = phase_loop_tables(scene, loops)
    yield Answer("phases", phases, (flows,))
    yield Answer("cycle_energy", energy, (taken,) if taken.rows else ())


def draw_loop(scene: "Scene", told: "Dossier", folder: str, more: Sequence[Answer]) -> tuple["Picture", ...]:
    """Draw a loop, and what the user's own files add, into a folder, with the list of its parts."""
    from flowviz.draw.loop.pictures import write_loop_pictures
    from flowviz.store import fresh_folder

    with fresh_folder(folder) as fresh:
        write_lists(scene, told, more, fresh)
        drawn = write_loop_pictures(scene, told, fresh)
        return (*drawn, *(each.draw(fresh) for each in more if each.draw is not None))


def write_lists(scene: "Scene", told: "Dossier", more: Sequence[Answer], folder: Path) -> None:
    """Write the list of parts, and the bill if there are prices."""
    from flowviz.plumbing.parts import parts_csv

    files = {"parts.csv": parts_csv(told.parts, scene.show)}
    for each in more:
        files |= each.files
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")
