"""flowviz run: the whole study into a folder."""

from collections.abc import Iterator
from contextlib import contextmanager
from shlex import quote
from typing import TYPE_CHECKING

import click
from rich.text import Text

from flowviz.cli.options import (
    cell_edge,
    cell_option,
    detail_option,
    faults_of,
    json_option,
    marches_option,
    scene_argument,
)
from flowviz.cli.waiting import progress_bar
from flowviz.cli.words import Command, Words, print_cautions, print_json, print_pictures, print_tables, with_pictures
from flowviz.errors import ConvergenceError, InputError
from flowviz.folder import check_folder
from flowviz.progress import Stage

if TYPE_CHECKING:
    from flowviz.draw.pictures import Album
    from flowviz.draw.tank.rendering import Renderer
    from flowviz.scene.model import Scene
    from flowviz.store.checkpoint import Checkpoint
    from flowviz.study import Settings, Study

LIMIT_BROKEN = 1  # exit status with --strict


@click.command(cls=Command)
@scene_argument
@click.option("-o", "folder", metavar="DIR", required=True, help="Folder for summary, field and pictures.")
@detail_option
@cell_option
@marches_option
@click.option("--resume", is_flag=True, help="Go on from where a fine run into DIR was interrupted.")
@click.option(
    "--strict",
    is_flag=True,
    help="End with status 1 if a limit of the scene is broken; of a scene with phases, in its main phase.",
)
@json_option
def run(
    scene_file: str,
    folder: str,
    detail: str,
    cell: str | None,
    marches: int | None,
    resume: bool,
    strict: bool,
    as_json: bool,
) -> None:
    """Compute a scene: its numbers, its field and pictures into DIR."""
    check_folder(folder)
    with early_renderer(detail) as ready:
        from flowviz.looks import settings_of
        from flowviz.scene.file import read_scene

        scene = read_scene(scene_file)
        settings = settings_of(detail, cell_edge(cell, scene.show), marches)
        study, album = computed(scene, scene_file, folder, settings, resume, ready)
    if as_json:
        from flowviz.store import summary

        print_json(with_pictures(summary(study), album.pictures, album.cautions))
    else:
        from flowviz.store import study_cautions
        from flowviz.tables import study_tables

        words = Words()
        words.print(Text(study.scene.title, style="bold"))
        print_tables(words, study_tables(study))
        print_cautions(words, (*study_cautions(study), *album.cautions))
        print_pictures(words, folder, album.pictures)
        print_next(words, scene_file, study)
    if strict and not study.measures.within_limits:
        click.get_current_context().exit(LIMIT_BROKEN)


def print_next(words: Words, scene_file: str, study: "Study") -> None:
    """What is worth trying first, and which command tells whether it helps; or that a longer look must come first.

    Of a cycle which phase that is of, and which others are worse.
    """
    from flowviz.tables.cycle import in_main_phase, worse_elsewhere

    measures, typed, when, elsewhere = study.measures, quote(scene_file), in_main_phase(study), worse_elsewhere(study)
    look_longer = bool(measures.unknown_corals) and study.settings.detail != "fine"
    if measures.first_steps or look_longer or elsewhere:
        words.print(Text("\nNext:", style="bold"))
    if look_longer:
        names = ", ".join(measures.unknown_corals)
        words.print(Text(f"  Too little of the flow was seen to say anything of {names}{when}; look longer,"))
        print_command(words, f"flowviz run {typed} --detail fine -o DIR")
    for step in measures.first_steps:
        words.print(Text(f"  {step.about[:1].upper()}{step.about[1:]}{when}: {step.cause}."))
        words.print(Text(f"  Worth trying: {step.remedy}."))
    if measures.first_steps:
        print_trials(words, typed, any(step.moving_may_help for step in measures.first_steps))
    for told in elsewhere:
        words.print(Text(f"  {told}."))


def print_trials(words: Words, typed: str, moving_may_help: bool) -> None:
    """How to see whether something helps; typed is the scene's file as one writes it in a command."""
    start = "  To see whether it helps,"
    if moving_may_help:
        words.print(Text(f"{start} move one opening,"))
        print_command(words, f"flowviz compare {typed} --move NAME --to 'X, Y, Z' -o DIR")
        start = "  or"
    words.print(Text(f"{start} change a copy of the scene,"))
    print_command(words, f"flowviz compare {typed} COPY.toml -o DIR")


def print_command(words: Words, command: str) -> None:
    """A line to be copied and typed: not broken, however long it is."""
    words.print(Text(f"  {command}"), soft_wrap=True)


@contextmanager
def early_renderer(detail: str) -> Iterator["Renderer | None"]:
    """A renderer that loads its libraries while this program loads its own; none where it would idle for minutes."""
    if detail == "fine":
        yield None
        return
    from flowviz.draw.tank.rendering import renderer

    with renderer() as ready:
        yield ready


def computed(
    scene: "Scene", scene_file: str, folder: str, settings: "Settings", resume: bool, ready: "Renderer | None"
) -> tuple["Study", "Album"]:
    """The study of a scene, in the folder with its pictures."""
    from flowviz.draw.pictures import write_pictures
    from flowviz.store import fresh_folder, write_study
    from flowviz.store.checkpoint import Checkpoint
    from flowviz.study import run

    checkpoint = Checkpoint(folder, scene, settings)
    if resume:
        take_up(checkpoint, settings)
    with going_on(checkpoint), fresh_folder(folder) as fresh, progress_bar() as progress, faults_of(scene_file):
        study = run(scene, settings, progress, checkpoint)
        progress(Stage("drawing"))
        write_study(study, fresh)
        return study, write_pictures(study, fresh, ready=ready)


def take_up(checkpoint: "Checkpoint", settings: "Settings") -> None:
    """Have a run go on from what an earlier one left."""
    if settings.detail != "fine":
        remedy = "Add --detail fine, or leave --resume out"
        raise InputError("--resume", f"a {settings.detail} run is short and leaves nothing to go on from", remedy)
    if settings.marches > 1:
        remedy = "Leave --marches out, or --resume"
        fault = f"{settings.marches} marches leave nothing to go on from, only a single one does"
        raise InputError("--resume", fault, remedy)
    checkpoint.take_up()


@contextmanager
def going_on(checkpoint: "Checkpoint") -> Iterator[None]:
    """Say how to go on after an interruption; forget what was kept once it is of no more use."""
    try:
        yield
    except KeyboardInterrupt:
        if checkpoint.useful:
            hint = "the same command with --resume goes on from where it was a minute ago at most"
            raise KeyboardInterrupt(hint) from None
        raise
    except ConvergenceError:
        checkpoint.remove()
        raise
    checkpoint.remove()
