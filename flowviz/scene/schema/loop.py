"""The tables of pumps, pipes and junctions."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Annotated, Any, Literal, Self

from pydantic import Field, model_validator
from pydantic.functional_validators import ModelWrapValidatorHandler

from flowviz.errors import seen
from flowviz.scene.schema.values import (
    Coordinate,
    Count,
    Extent,
    Head,
    Length,
    Number,
    Power,
    Rate,
    Share,
    Table,
    TableError,
    Text,
    just_one,
    nearest,
)

Opening = Annotated[Number, Field(ge=0, le=1)]
Curve = tuple[tuple[Rate, Head], ...]
THREE = (
    "Let three meet there, by several tees if there are more, or leave the [[junction]] out: "
    "a manifold of four or more is a name that its pipes share, and costs no head"
)
HIGHEST = 100.0  # head that a loop pump may have; more is a slip of the unit [m]


class PumpTable(Table):
    """[[pump]]: its curve stands here or in a CSV file beside the scene."""

    name: Text
    curve: Curve | None = None
    curve_file: Text | None = None
    power: Power | None = None
    npsh_required: Extent | None = None
    mounting: Literal["dry", "submerged"] = "dry"
    speed: Share = 1.0
    heat_share: Share | None = None

    @model_validator(mode="wrap")
    @classmethod
    def _one_curve(cls, written: dict, read: ModelWrapValidatorHandler[Self]) -> Self:
        table = read(written)
        remedy = 'Write flow and head, as curve = [["0 m3/h", "6.5 m"], ["12 m3/h", "3.4 m"]], or curve_file'
        just_one(table, "curve", "curve_file", remedy=remedy)
        if table.curve is not None:
            check_curve(table.curve, written["curve"], "curve")
        return table


class PumpsTable(Table):
    """A file of pumps to choose from."""

    pump: tuple[PumpTable, ...] = ()


def check_curve(curve: Curve, written: Sequence[tuple[str, str]], key: str) -> None:
    """Refuse points of flow and head that are no pump's.

    written   the same as the user wrote them
    """
    if len(curve) < 2:
        raise TableError(key, f"has {len(curve)} of the two points it needs", "Write flow and head at both its ends")
    for ((flow, head), (next_flow, next_head)), told in zip(pairwise(curve), pairwise(written), strict=True):
        flows, heads = (", then ".join(both) for both in zip(*told, strict=True))
        if next_flow <= flow:
            raise TableError(key, f"has flows that do not rise: {flows}", "Sort its points by flow, or mend a unit")
        if next_head >= head:
            raise TableError(key, f"does not fall: {heads}", "Write heads that fall as the flow grows")
    if curve[0][1] > HIGHEST:
        fault = f"has a head of {written[0][1]}, which no loop pump has"
        raise TableError(key, fault, "Did you mean feet, or centimetres? Heads are heights of water")


class PipeTable(Table):
    """[[pipe]]"""

    start: Text = Field(alias="from")
    end: Text = Field(alias="to")
    size: Text | None = None
    inside: Length | None = None
    length: Length
    rise: Coordinate = 0.0
    fittings: dict[Text, Count] = Field(default_factory=dict)
    loss: Annotated[Number, Field(ge=0)] = 0.0
    valves: dict[Text, Opening] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _one_size(self) -> Self:
        just_one(self, "size", "inside", remedy='Write size = "1 1/4 in sch 40", or inside = "35 mm"')
        return self

    @model_validator(mode="after")
    def _valves_are_fittings(self) -> Self:
        for name in self.valves:
            if not self.fittings.get(name):
                fault = "is not among the fittings of this pipe"
                known = f"{nearest(name, list(self.fittings))}. " if self.fittings else ""
                remedy = f'{known}Count it there too, as fittings = {{ "{name}" = 1 }}'
                raise TableError(f"valves.{name}", fault, remedy)
        return self


class JunctionTable(Table):
    """[[junction]]"""

    name: Text
    kind: Literal["tee"]
    in_line: tuple[Text, Text]


def refuse_half_a_tee(raw: Mapping[str, Any]) -> None:
    """Raise TableError for a junction that lacks a key of a tee, with all that is to be written."""
    for number, junction in enumerate(_tables(raw, "junction"), start=1):
        missing = [key for key in ("kind", "in_line") if key not in junction]
        if missing and "name" in junction:
            where = f"junction[{number}] {seen(junction['name'])}"
            raise TableError(where, *_half(missing, _neighbours(junction["name"], _tables(raw, "pipe"))))


def _half(missing: Sequence[str], around: Sequence[str]) -> tuple[str, str]:
    """Fault and remedy of a tee without some keys, from its neighbours."""
    lacks = f"has no {' and no '.join(missing)}"
    if len(around) > 3:
        return f"{lacks}, and {len(around)} pipes meet at it: only a tee of three is a junction", THREE
    return lacks, f"Write {tee_among(around)}"


def tee_among(around: Sequence[str]) -> str:
    """What to write of a tee beside its name, from its neighbours if there are three."""
    first, second = around[:2] if len(around) == 3 else ("NAME", "NAME")
    run = f"those two of {', '.join(around)} that face each other" if len(around) == 3 else "its neighbours straight on"
    return f'kind = "tee" and in_line = ["{first}", "{second}"], {run}'


def _neighbours(name: object, pipes: Iterable[Mapping[str, Any]]) -> list[str]:
    """The other ends of the pipes that meet at a name."""
    ends = [(pipe.get("from"), pipe.get("to")) for pipe in pipes]
    return [str(end if start == name else start) for start, end in ends if name in (start, end)]


def _tables(raw: Mapping[str, Any], key: str) -> list[Mapping[str, Any]]:
    """The tables of a list, as far as it is one."""
    found = raw.get(key)
    return [table for table in found if isinstance(table, dict)] if isinstance(found, list) else []
