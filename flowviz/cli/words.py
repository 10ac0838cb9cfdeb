"""What the commands print."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import TYPE_CHECKING

import click
from rich.console import Console
from rich.table import Table as Grid
from rich.text import Text

if TYPE_CHECKING:
    from flowviz.scene.model import Caution


class Words(Console):
    """Plain words on stdout; that nobody listens any more is for the list of commands to know."""

    def __init__(self) -> None:
        super().__init__(highlight=False)

    def on_broken_pipe(self) -> None:
        """Where this would otherwise end with a status that means something else."""
        raise BrokenPipeError


def print_json(value: object) -> None:
    """The machine's form, alone on stdout."""
    click.echo(json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False))


def with_pictures(numbers: Mapping[str, object], pictures: Iterable, cautions: Iterable["Caution"] = ()) -> object:
    """The machine's form of a result with what its pictures show, and why some could not be drawn."""
    drawn = [asdict(picture) for picture in pictures]
    return {**numbers, "pictures": drawn, "cautions": [*numbers["cautions"], *map(asdict, cautions)]}


def print_tables(words: Console, tables: Iterable) -> None:
    """Tables as plain columns."""
    for table in tables:
        grid = Grid(title=table.title, title_justify="left", title_style="bold", box=None, pad_edge=False)
        for heading, side in table.columns:
            grid.add_column(heading, justify=side, overflow="fold")
        for row in table.rows:
            grid.add_row(*map(Text, row))
        words.print()
        words.print(grid)


def print_pictures(words: Console, folder: str, pictures: Iterable) -> None:
    """Where to look, and what is to be seen there."""
    words.print(Text(f"\nLook in {folder}:", style="bold"))
    for picture in pictures:
        words.print(Text(f"  {picture.file}  {picture.title}"))


def print_cautions(words: Console, cautions: Iterable["Caution"]) -> None:
    """What the user must know, a line each."""
    for number, caution in enumerate(cautions):
        words.print(Text(f"{'' if number else chr(10)}Caution, {caution}"))
