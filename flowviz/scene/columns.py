"""Tables whose columns commas part, as spreadsheets save them: pumps, prices, kinds of coral."""

import csv
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from flowviz.errors import InputError, seen

Cells = list[str]


@dataclass(frozen=True, slots=True)
class Columns:
    """A table."""

    headings: tuple[str, ...]  # in small letters
    rows: tuple[tuple[str, Mapping[str, str]], ...]  # where each stands, and its cells by heading; "": left out


def columns_in(
    text: str, where: str, needed: Sequence[str], filled: Collection[str], optional: Sequence[str] = ()
) -> Columns:
    """The table that a text holds, its headings in any case of letters.

    needed     columns that must be there
    filled     those of them that every row must fill
    optional   columns that are read too where they are there; what stands in any other does no harm

    Lines that are blank or start with # are remarks. Raises InputError with the line, counted from one.
    """
    lines = _lines(text, where)
    _, first = next(lines, (where, []))
    headings = tuple(heading.casefold() for heading in first)
    _all_there(headings, where, needed)
    _none_twice(headings, where, (*needed, *optional))
    return Columns(headings, tuple((place, _row(headings, cells, place, filled)) for place, cells in lines))


def number_in(cell: str) -> float:
    """The bare number in a cell; a ValueError where there is none: Python alone would take 1_5 for 15."""
    if "_" in cell:
        raise ValueError(cell)
    return float(cell)


def _lines(text: str, where: str) -> Iterator[tuple[str, Cells]]:
    """Where each line that holds anything stands, and its cells."""
    kept = [each for each in enumerate(text.splitlines(), start=1) if each[1].strip() and not each[1].startswith("#")]
    reader = csv.reader((line for _, line in kept), skipinitialspace=True, strict=True)
    while True:
        try:
            cells = next(reader, None)
        except csv.Error as error:
            place = f"{where}, line {kept[reader.line_num - 1][0]}"
            raise InputError(place, "has a quote that does not end its text", "Put both quotes round a text") from error
        if cells is None:
            return
        if any(cells):
            yield f"{where}, line {kept[reader.line_num - 1][0]}", [cell.strip() for cell in cells]


def _all_there(headings: Sequence[str], where: str, needed: Sequence[str]) -> None:
    """Refuse a table that lacks a column."""
    begin = f"Begin the table with the line {','.join(needed)}, and part the columns with commas"
    if not headings:
        raise InputError(where, "is empty", begin)
    for name in needed:
        if name not in headings:
            raise InputError(where, f"has no column {name!r}", begin)


def _none_twice(headings: Sequence[str], where: str, read: Sequence[str]) -> None:
    """Refuse a table that has two columns of one name that is read."""
    double = next((name for name in read if headings.count(name) > 1), None)
    if double is not None:
        raise InputError(where, f"has two columns {double!r}", "Keep one of them")


def _row(headings: Sequence[str], cells: Cells, place: str, filled: Collection[str]) -> Mapping[str, str]:
    beyond = [cell for cell in cells[len(headings) :] if cell]
    if beyond:
        remedy = "Write a point in a decimal, and quotes round a text with commas"
        raise InputError(place, f"has {seen(beyond[0])} beyond its {len(headings)} columns", remedy)
    row = dict(zip(headings, cells + [""] * len(headings), strict=False))
    for name in filled:
        if not row[name]:
            raise InputError(place, f"has nothing under {name}", f"Fill the columns {', '.join(filled)}")
    return row
