"""Pipe sizes and fittings by trade name, read from the tables beside this file in which each row has its source."""

import csv
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher, get_close_matches
from functools import cache
from importlib.resources import files
from typing import Literal, TypeVar

from flowviz.errors import InputError
from flowviz.formulas.fittings import fully_turbulent_friction_factor
from flowviz.units import to_si, typed

Role = Literal["valve", "union", "check"]


@dataclass(frozen=True, slots=True)
class PipeSize:
    """A pipe as its standard describes it."""

    name: str
    outside: float  # diameter [m]
    wall_least: float  # [m]
    wall_most: float  # [m]
    source: str

    @property
    def inside(self) -> float:
        """Inside diameter at the average wall [m]."""
        return self.outside - self.wall_least - self.wall_most

    @property
    def series(self) -> str:
        """What the sizes of one standard and pressure share in their names, "sch 40" or "PN10"."""
        return re.sub(r"^.*? (?:in|mm) ", "", self.name)


@dataclass(frozen=True, slots=True)
class Fitting:
    """A fitting or valve as the trade calls it, fully open."""

    name: str
    friction_lengths: float  # loss coefficient over fT, the friction factor of steel pipe in full turbulence [-]
    coefficient: float  # loss coefficient that is the same for all sizes [-]
    roles: frozenset[Role]  # can be shut, can be taken apart, lets water through one way only
    throttle: str  # the table of a valve's losses when it is partly open
    source: str

    def loss(self, diameter: float) -> float:
        """Loss coefficient K [-] on the velocity in a pipe of an inside diameter [m]."""
        return self.friction_lengths * fully_turbulent_friction_factor(diameter) + self.coefficient


Named = TypeVar("Named", PipeSize, Fitting)


def pipe_size(name: str, where: str) -> PipeSize:
    """The pipe of a trade name such as "2 in sch 40" or "63 mm PN10"."""
    return _entry(pipe_sizes(), name, where, "pipe size", _nearest_sizes)


def larger(size: PipeSize) -> PipeSize | None:
    """The next larger pipe of the same series, if there is one."""
    above = [other for other in pipe_sizes().values() if other.series == size.series and other.inside > size.inside]
    return min(above, key=lambda other: other.inside, default=None)


def fitting(name: str, where: str) -> Fitting:
    """The fitting of a trade name such as "elbow 90"."""
    return _entry(fittings(), name, where, "fitting", _nearest_fittings)


@cache
def plain(name: str) -> str:
    """A trade name in the form in which names are compared: "1-1/4\\" SCH40" becomes "1 1/4 in sch 40"."""
    text = re.sub('["″]', " in ", typed(name).casefold()).replace("schedule", "sch").replace("inch", "in")
    text = re.sub(r"(?<=\d)- ?(?=\d/)", " ", text)
    text = re.sub(r"(?<=\d)(?=in\b|mm\b)|(?<=sch)(?=\d)", " ", text)
    text = re.sub(r"\bpn (?=\d)", "pn", text)
    return " ".join(text.split())


@cache
def pipe_sizes() -> Mapping[str, PipeSize]:
    """All pipe sizes by plain name, smaller before larger within a series."""
    return {plain(row["name"]): _size(row) for row in rows("pipe_sizes.csv")}


@cache
def fittings() -> Mapping[str, Fitting]:
    """All fittings by plain name."""
    return {plain(row["name"]): _fitting(row) for row in rows("fittings.csv")}


def _size(row: Mapping[str, str]) -> PipeSize:
    outside, least, most = (float(row[key]) / 1000 for key in ("outside_mm", "wall_least_mm", "wall_most_mm"))
    return PipeSize(row["name"], outside, least, most, row["source"])


def _fitting(row: Mapping[str, str]) -> Fitting:
    lengths, coefficient = float(row["friction_lengths"]), float(row["coefficient"])
    return Fitting(row["name"], lengths, coefficient, frozenset(row["role"].split()), row["throttle"], row["source"])


def rows(file: str) -> list[dict[str, str]]:
    """The rows of a table beside this file."""
    text = (files("flowviz.plumbing") / file).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def _entry(table: Mapping[str, Named], name: str, where: str, kind: str, nearest: Callable[[str], list[str]]) -> Named:
    key = plain(name)
    if key in table:
        return table[key]
    names = ", ".join(f'"{table[match].name}"' for match in nearest(key) or list(table)[:3])
    raise InputError(where, f'no {kind} is called "{name}"', f"Write one of the known names; nearest are {names}")


def _nearest_fittings(key: str) -> list[str]:
    """Fittings that are spelt most like a plain name."""
    return get_close_matches(key, fittings(), n=3, cutoff=0.3)


def _nearest_sizes(key: str) -> list[str]:
    """Pipe sizes in a plain name's unit, of the series spelt most like its own, by width, the larger of two as near."""
    wanted = _width_and_series(key)
    if wanted is None:
        return get_close_matches(key, pipe_sizes(), n=3, cutoff=0.3)
    width, unit, series = wanted

    def distance(other: str) -> tuple[bool, float, float, float]:
        other_width, other_unit, other_series = _width_and_series(other)
        unlike = -SequenceMatcher(None, series, other_series).ratio()
        return other_unit != unit, unlike, abs(other_width - width), -other_width

    return sorted(pipe_sizes(), key=distance)[:3]


def _width_and_series(key: str) -> tuple[float, str, str] | None:
    """The width [m] that a plain name of a size begins with, its unit and the rest; None where there is no width."""
    parts = re.fullmatch(r"(?P<width>[\d./ ]+ (?P<unit>in|mm))\b(?P<series>.*)", key)
    try:
        return None if parts is None else (to_si(parts["width"], "length"), parts["unit"], parts["series"].strip())
    except InputError:
        return None
