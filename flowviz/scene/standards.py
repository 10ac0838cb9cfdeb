"""Limits and bands that a scene may leave out, read from the tables beside this file, each with its standing."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from flowviz.errors import InputError
from flowviz.scene.columns import columns_in
from flowviz.units import QuantityError, to_si

LIMITS = ("name", "value", "standing", "source")
COLUMNS = ("kind", "low", "high", "standing", "source")


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
    table = columns_in(_shipped("limits.csv"), "limits.csv", LIMITS, filled=LIMITS)
    return {
        row["name"]: Standard(row["name"], to_si(row["value"], "speed"), row["standing"], row["source"])
        for _, row in table.rows
    }


def standing_of(name: str, speed: float) -> Standard:
    """Where a limit stands that has this value: the standard's word, or the scene's own."""
    standard = standard_limits()[name]
    return standard if speed == standard.speed else Standard(name, speed, "set by the scene", "the scene")


@cache
def coral_kinds() -> Mapping[str, CoralKind]:
    """The shipped ones, by their names."""
    return kinds_in(_shipped("coral_kinds.csv"), "coral_kinds.csv")


def kinds_in(text: str, where: str) -> Mapping[str, CoralKind]:
    """The kinds that a table of theirs holds, by their names; lines that start with # are remarks."""
    kinds: dict[str, CoralKind] = {}
    for line, row in columns_in(text, where, COLUMNS, filled=COLUMNS).rows:
        kind = _kind(row, line)
        if kind.name in kinds:
            raise InputError(line, f"{kind.name!r} stands twice", "Keep one of them")
        kinds[kind.name] = kind
    if not kinds:
        raise InputError(where, "holds no kinds", "Write a row for each kind")
    return kinds


def _kind(row: Mapping[str, str], where: str) -> CoralKind:
    """Of one row."""
    try:
        low, high = to_si(row["low"], "speed"), to_si(row["high"], "speed")
    except QuantityError as error:
        raise InputError(where, f"{error.where} {error.fault}", error.remedy) from error
    if not 0 <= low < high:
        raise InputError(where, "has a band that does not rise", "Write the slower speed under low")
    return CoralKind(row["kind"], (low, high), row["standing"], row["source"])


def _shipped(name: str) -> str:
    return files("flowviz.scene").joinpath(name).read_text(encoding="utf-8")
