"""What the commands print."""

import json
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

import click
from rich.console import Console
from rich.progress import Progress
from rich.table import Table as Grid
from rich.text import Text

from flowviz.scene.model import Caution

QUIET = 1.0  # seconds before progress is shown


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
