"""What the commands print."""

import json
import os
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from typing import TYPE_CHECKING

import click
from rich.cells import cell_len
from rich.console import Console
from rich.table import Table as Grid
from rich.text import Text

from flowviz.errors import OutputError
from flowviz.folder import REMEDIES

if TYPE_CHECKING:
    from flowviz.scene.model import Caution

GAP = 2  # letters between two columns


class Words(Console):
    """Plain words on stdout; that nobody listens any more is for the list of commands to know."""

    def __init__(self) -> None:
        super().__init__(highlight=False)

    def on_broken_pipe(self) -> None:
        """Where this would otherwise end with a status that means something else."""
        raise BrokenPipeError

    def print(self, *things: object, **how: object) -> None:
        """As any console does; where its words cannot be written, that is a fault of the output."""
        with writing():
            super().print(*things, **how)


class Command(click.Command):
    """A command whose help, as all it prints, is told not to be written where it cannot be."""

    def parse_args(self, context: click.Context, args: list[str]) -> list[str]:
        """Read its words; help is written here."""
        with writing():
            return super().parse_args(context, args)


@contextmanager
def writing() -> Iterator[None]:
    """Tell in one line that stdout takes nothing more, as on a full disk; not that nobody listens any more."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        drop_the_rest()
        remedy = REMEDIES.get(error.errno, "Write elsewhere")
        raise OutputError("the output", f"could not be written: {error.strerror}", remedy) from error


def drop_the_rest() -> None:
    """Lead stdout to nowhere: what is left in it would be tried once more at the end, and tell its fault again."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def print_json(value: object) -> None:
    """The machine's form, alone on stdout."""
    with writing():
        click.echo(json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False))


def with_pictures(numbers: Mapping[str, object], pictures: Iterable, cautions: Iterable["Caution"] = ()) -> object:
    """The machine's form of a result with what its pictures show, and why some could not be drawn."""
    drawn = [asdict(picture) for picture in pictures]
    return {**numbers, "pictures": drawn, "cautions": [*numbers["cautions"], *map(asdict, cautions)]}


def print_tables(words: Console, tables: Iterable) -> None:
    """Tables as plain columns."""
    for table in tables:
        grid = Grid(title=table.title, title_justify="left", title_style="bold", box=None, pad_edge=False)
        texts = zip(*([heading for heading, _ in table.columns], *table.rows), strict=True)
        wide = widths(list(texts), words.width)
        for (heading, side), width in zip(table.columns, wide, strict=True):
            grid.add_column(heading, justify=side, overflow="fold", width=width)
        for row in table.rows:
            grid.add_row(*map(Text, row))
        words.print()
        words.print(grid)


def widths(columns: Sequence[Sequence[str]], room: int) -> list[int]:
    """Letters across for each column of texts.

    The widest give way first, the last of them before the others, and none to less than its longest word has; only
    where their longest words have no room beside each other are words broken.

    room    letters across for all of them, with the gaps between
    """
    wide = [max(map(cell_len, texts)) for texts in columns]
    least = [max(cell_len(word) for text in texts for word in (text.split() or [""])) for texts in columns]
    backwards = range(len(wide))[::-1]  # names stand in the first
    while sum(wide) + GAP * (len(wide) - 1) > room and max(wide) > 1:
        spare = [number for number in backwards if wide[number] > least[number]]
        wide[max(spare or backwards, key=wide.__getitem__)] -= 1
    return wide


def print_pictures(words: Console, folder: str, pictures: Iterable) -> None:
    """Where to look, and what is to be seen there."""
    words.print(Text(f"\nLook in {folder}:", style="bold"))
    for picture in pictures:
        words.print(Text(f"  {picture.file}  {picture.title}"))


def print_cautions(words: Console, cautions: Iterable["Caution"]) -> None:
    """What the user must know, a line each."""
    for number, caution in enumerate(cautions):
        words.print(Text(f"{'' if number else chr(10)}Caution, {caution}"))
