"""The kinds of value that a scene file is made of, and what is said where one is wrong."""

import re
from difflib import get_close_matches
from typing import Annotated
from unicodedata import category

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo, model_validator

from flowviz.errors import seen
from flowviz.units import System, shown, to_si

GRAVITY = re.compile(r"\s*1[.]0\d+\s*(sg)?\s*", re.IGNORECASE)  # as a hydrometer for sea water shows it
ALIKE = 0.7  # of two words, from which on one is asked for: names of acrylic that end in glass are no glass (judgement)
MOST_NAMES = 12  # that are listed where one is unknown
LONGEST = 100.0  # side of a tank, beyond which a unit is wrong [m]


class TableError(ValueError):
    """What is wrong inside one table, at one of its keys ("" where the table as a whole is meant)."""

    def __init__(self, key: str, fault: str, remedy: str) -> None:
        super().__init__(fault)
        self.key = key
        self.fault = fault
        self.remedy = remedy


def _one_line(text: str) -> str:
    if not text.strip():
        raise TableError("", "is empty", "Write at least one letter")
    if any(category(letter) in ("Cc", "Zl", "Zp") for letter in text):
        fault = f"{seen(text)} holds a line break or another control character"
        raise TableError("", fault, "Write plain text on one line")
    return text


def _quantity(kind: str) -> BeforeValidator:
    def read(written: object, info: ValidationInfo) -> float:
        return to_si(written, kind, _system(info))

    return BeforeValidator(read)


def _no_specific_gravity(written: object) -> object:
    if GRAVITY.fullmatch(str(written)):
        fault = f"{seen(written)} is a specific gravity and no salinity"
        raise TableError("", fault, "Write g/kg: 1.026 is about '35 g/kg' (common practice)")
    return written


def between(low: float, high: float, kind: str) -> AfterValidator:
    """Refuses what lies outside two SI values."""

    def check(value: float, info: ValidationInfo) -> float:
        if not low <= value <= high:
            found, least, most = (told(each, kind, info) for each in (value, low, high))
            raise TableError("", f"comes to {found}", f"Write {least} to {most}")
        return value

    return AfterValidator(check)


def _of_a_tank(value: float, info: ValidationInfo) -> float:
    if abs(value) > LONGEST:
        fault = f"comes to {told(value, 'length', info)}, which no tank is"
        raise TableError("", fault, f"Check its unit; write at most {told(LONGEST, 'length', info)}")
    return value


def told(value: float, kind: str, info: ValidationInfo) -> str:
    """An SI value in the units that the file is to be spoken of in."""
    return shown(value, kind, _system(info))


def _system(info: ValidationInfo) -> System:
    return info.context["system"]


Text = Annotated[str, Field(strict=True, max_length=200), AfterValidator(_one_line)]
Truth = Annotated[bool, Field(strict=True)]
Count = Annotated[int, Field(strict=True, ge=0)]
Number = Annotated[float, Field(strict=True, allow_inf_nan=False)]
Share = Annotated[Number, Field(gt=0, le=1)]

Coordinate = Annotated[float, _quantity("length")]
Corner = Annotated[Coordinate, AfterValidator(_of_a_tank)]
Extent = Annotated[float, Field(ge=0), _quantity("length")]
Length = Annotated[float, Field(gt=0), _quantity("length")]
Side = Annotated[Length, AfterValidator(_of_a_tank)]
Speed = Annotated[float, Field(gt=0), _quantity("speed")]
Current = Annotated[float, Field(ge=0), _quantity("speed")]
Flow = Annotated[float, Field(gt=0), _quantity("flow")]
Rate = Annotated[float, Field(ge=0), _quantity("flow")]
Head = Annotated[float, Field(ge=0), _quantity("head")]
Area = Annotated[float, Field(gt=0), _quantity("area")]
Power = Annotated[float, Field(gt=0), _quantity("power")]
Angle = Annotated[float, _quantity("angle")]
Time = Annotated[float, Field(gt=0), _quantity("time")]
Temperature = Annotated[float, between(0.0, 50.0, "temperature"), _quantity("temperature")]
Salinity = Annotated[
    float, between(0.0, 60.0, "salinity"), _quantity("salinity"), BeforeValidator(_no_specific_gravity)
]
Place = tuple[Coordinate, Coordinate, Coordinate]
Size = tuple[Length, Length, Length]


class Table(BaseModel):
    """A table of the file; unknown keys are faults."""

    model_config = ConfigDict(frozen=True)

    @model_validator(mode="before")
    @classmethod
    def _known_keys_only(cls, table: object) -> object:
        if isinstance(table, dict):
            known = [field.alias or name for name, field in cls.model_fields.items()]
            for key in table:
                if key not in known:
                    raise TableError(key, "is no key of this table", nearest(key, known))
        return table


def nearest(word: str, known: list[str]) -> str:
    """The sentence that leads from a wrong word to the right one: all known ones if they are few, else the nearest."""
    if len(known) > MOST_NAMES:
        *others, last = (f"'{name}'" for name in get_close_matches(word, known, n=3, cutoff=0.0))
        return f"Did you mean {', '.join(others)} or {last}?"
    close = get_close_matches(word, known, n=1, cutoff=ALIKE)
    asked = f"Did you mean '{close[0]}'? " if close else ""
    return f"{asked}Known here: {', '.join(known)}"


def just_one(table: Table, *keys: str, remedy: str) -> None:
    """Refuse a table that has none or several of some keys."""
    given = [key for key in keys if getattr(table, key) is not None]
    if not given:
        raise TableError(keys[0], "is missing", remedy)
    if len(given) > 1:
        raise TableError(given[1], f"stands beside {given[0]}", "Keep one of them")
