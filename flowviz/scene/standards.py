"""Limits and bands that a scene may leave out, read from the tables beside this file, each with its standing."""

import csv
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from flowviz.units import to_si


@dataclass(frozen=True, slots=True)
class Standard:
    """A limit of speed that holds unless the scene sets its own."""

    name: str
    speed: float  # [m/s]
    standing: str  # published, judgement, or common practice
    source: str


@dataclass(frozen=True, slots=True)
class CoralKind:
    """The current that corals of a kind want."""

    name: str
    speed: tuple[float, float]  # [m/s]
    standing: str
    source: str


@cache
def standard_limits() -> Mapping[str, Standard]:
    """By the key of the scene file that sets them."""
    rows = _rows(files("flowviz.scene").joinpath("limits.csv").read_text(encoding="utf-8").splitlines())
    return {
        row["name"]: Standard(row["name"], to_si(row["value"], "speed"), row["standing"], row["source"]) for row in rows
    }


@cache
def coral_kinds() -> Mapping[str, CoralKind]:
    """By their names."""
    rows = _rows(files("flowviz.scene").joinpath("coral_kinds.csv").read_text(encoding="utf-8").splitlines())
    return {row["kind"]: CoralKind(row["kind"], _band(row), row["standing"], row["source"]) for row in rows}


def _rows(lines: Iterable[str]) -> Iterator[dict[str, str]]:
    """Of a table whose lines with # are remarks."""
    yield from csv.DictReader(line for line in lines if not line.startswith("#"))


def _band(row: Mapping[str, str]) -> tuple[float, float]:
    return to_si(row["low"], "speed"), to_si(row["high"], "speed")
