"""Quantities as people write them, to SI floats, and what is said of those that cannot be read."""

import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import cache
from math import isfinite
from unicodedata import normalize

from flowviz.errors import InputError, seen
from flowviz.units.kinds import KINDS, System
from flowviz.units.meaning import meaning
from flowviz.units.telling import shown

_NUMBER = re.compile(
    r"""\s*(?P<sign>[-+]?)\s*
    (?: (?: (?P<whole>\d+) [\s-]+ )? (?P<over>\d+) \s* / \s* (?P<under>\d+)      # 3/4, 1 1/4 and 1-1/4
      | (?P<decimal> (?: \d+ (?:\.\d*)? | \.\d+ ) (?: e [-+]? \d{1,3} )? )
      | (?P<word> nan | inf | infinity ) \b )
    \s* (?P<unit>.*)""",
    re.VERBOSE | re.IGNORECASE | re.DOTALL,
)

_AND_INCHES = re.compile(  # what follows the feet where both are told: 6 ft 2 1/2 in, 6' 2"
    r"""(?:ft|foot|feet|['′])[\s-]*(?P<inches>[\d.][\d./\s-]*)(?:in|inch|inches|["″])""", re.IGNORECASE
)
_FRACTION_SLASH = "\N{FRACTION SLASH}"
_PRINTED = re.compile("[¼½¾⅐-⅞]")  # fractions as data sheets print them: 1½ in


class QuantityError(InputError, ValueError):
    """A quantity that cannot be read; `where` is the quantity as it was written."""


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What is told of a kind where a quantity cannot be read, in one system's units first."""

    noun: str
    base: str
    example: str
    units: tuple[str, ...]  # for a bare number
    known: tuple[str, ...]


def to_si(text: object, kind: str, system: System = "metric") -> float:
    """The SI value of a quantity written with its unit of any system; temperatures come in °C, salinities in g/kg.

    Raises QuantityError, which tells what to write instead, in the system's units first.
    """
    want = _wanted(kind, system)
    match = _NUMBER.fullmatch(typed(text)) if isinstance(text, str) and len(text) < 100 else None
    if match is None:
        raise _no_quantity(text, want)
    if not match["unit"] and want.base:
        raise _no_unit(text.strip(), want)
    amount, unit = _measured(match, text, want)
    size, zero = _conversion(unit, text, want)
    return _finite(amount * size + zero, text, want)


def typed(text: str) -> str:
    """A text with its printed fractions as one types them, set off from what stands before: "1½ in" is "1 1/2 in"."""
    return _PRINTED.sub(lambda printed: f" {normalize('NFKC', printed[0])}", text).replace(_FRACTION_SLASH, "/")


def suggestion(example: str, kind: str, system: System) -> str:
    """A metric quantity as an example of what to write in a system: "600 mm", or "24 in"."""
    return example if system == "metric" else shown(to_si(example, kind), kind, system, 2).replace(",", "")


@cache
def _wanted(kind: str, system: System) -> _Wanted:
    """What is told of a kind where a quantity cannot be read."""
    want = KINDS[kind]
    metric, _, us = (tuple(half.split()) for half in want.known.partition("|"))
    units = tuple(dict.fromkeys((want.example.rpartition(" ")[2], next(iter(want.us)))))
    if system == "metric":
        return _Wanted(want.noun, want.base, want.example, units, metric + us)
    return _Wanted(want.noun, want.base, suggestion(want.example, kind, system), units[::-1], us + metric)


def _no_quantity(found: object, want: _Wanted) -> QuantityError:
    number = str(found)
    if len(number) < 20 and (type(found) is int or (type(found) is float and isfinite(found))):
        return _no_unit(number, want)
    remedy = f"Write a number and a unit in quotes, as '{want.example}'"
    return QuantityError(seen(found), f"is not {want.noun}", remedy)


def _no_unit(number: str, want: _Wanted) -> QuantityError:
    examples = " or ".join(f"'{number} {unit}'" for unit in want.units)
    return QuantityError(number, "is a number without a unit", f"Write the unit too, as {examples}")


def _measured(match: re.Match[str], text: str, want: _Wanted) -> tuple[Fraction, str]:
    """Amount and unit; feet and inches together come in inches."""
    amount, unit = _amount(match, text, want), match["unit"].strip()
    more = _AND_INCHES.fullmatch(unit)
    inches = more and _NUMBER.fullmatch(more["inches"])
    if not inches or inches["unit"]:
        return amount, unit
    beyond = _amount(inches, text, want)
    return 12 * amount + (-beyond if match["sign"] == "-" else beyond), "in"


def _amount(match: re.Match[str], text: str, want: _Wanted) -> Fraction:
    if match["word"]:
        raise QuantityError(seen(text), "is not finite", f"Write {want.noun} such as '{want.example}'")
    sign = -1 if match["sign"] == "-" else 1
    if match["decimal"]:
        _finite(float(match["decimal"]), text, want)
        return sign * Fraction(match["decimal"])
    if int(match["under"]) == 0:
        raise QuantityError(seen(text), "divides by zero", f"Write {want.noun} such as '{want.example}'")
    return sign * (int(match["whole"] or 0) + Fraction(int(match["over"]), int(match["under"])))


def _finite(value: float | Fraction, text: str, want: _Wanted) -> float:
    if abs(value) > 1e30:
        raise QuantityError(seen(text), "is not finite", f"Write {want.noun} such as '{want.example}'")
    return float(value)


def _conversion(unit: str, text: str, want: _Wanted) -> tuple[Fraction, Fraction]:
    """What to multiply an amount with and then to add."""
    try:
        root, size, zero = meaning(unit)
    except KeyError:
        raise _unknown(unit, text, want) from None
    base_root, base_size, base_zero = meaning(want.base)
    if root != base_root:
        raise QuantityError(seen(text), f"is {_noun(unit, root)}", f"Write {want.noun} here, as '{want.example}'")
    return size / base_size, (zero - base_zero) / base_size


def _noun(unit: str, root: object) -> str:
    """What kind of thing a unit measures."""
    alike = [kind for kind in KINDS.values() if meaning(kind.base)[0] == root]
    usual = [kind for kind in alike if unit in kind.known.split()]
    return (usual or alike)[0].noun if alike else f"in {unit}"


def _unknown(unit: str, text: str, want: _Wanted) -> QuantityError:
    if re.match(r"[\d.,e]", unit):
        return QuantityError(seen(text), "is no plain number", "Write 3000 for thousands and 25.5 for a half")
    if re.search(r"[\s'′]\s*\d", unit):
        return QuantityError(seen(text), "has several numbers", f"Write {want.noun} in one unit, as '{want.example}'")
    near = get_close_matches(unit, want.known, n=1, cutoff=0.4)
    remedy = f"Did you mean '{near[0]}'?" if near else f"Write {want.noun} in one of: {', '.join(want.known)}"
    return QuantityError(seen(text), f"has the unknown unit '{unit}'", remedy)
