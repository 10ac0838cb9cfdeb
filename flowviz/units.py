"""Quantities with units, as people write them and read them, to and from SI floats.

Inside flowviz everything is an SI float; "25 mm" and "900 gph" live in files, on pages and in pictures. Gallons are US.
Conversions are exact fractions, so that 1 in and 25.4 mm are the same float.
"""

import re
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import cache
from math import floor, inf, isfinite, isnan, log10
from typing import Literal

from flowviz.errors import InputError, seen

System = Literal["metric", "us"]
Steps = dict[str, float]  # units that values are shown in: up to which SI value, in rising order

LEAST_SHARE = 0.001  # that is told


class QuantityError(InputError, ValueError):
    """A quantity that cannot be read; `where` is the quantity as it was written."""


@dataclass(frozen=True, slots=True)
class _Kind:
    noun: str
    base: str  # unit of the float inside
    example: str
    known: str  # units to suggest: metric, and after a bar US ones
    metric: Steps
    us: Steps
    digits: int = 3  # significant, when shown


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What is told of a kind where a quantity cannot be read, in one system's units first."""

    noun: str
    base: str
    example: str
    units: tuple[str, ...]  # for a bare number
    known: tuple[str, ...]


_LENGTHS = "mm cm m | in ft"
_FLOWS = "L/h L/min L/s m3/h m³/h | gph gpm"
_CLOCK = {"s": 120.0, "min": 7200.0, "h": 172800.0, "days": inf}

_SUREST, _SUREST_SHARE = 0.01, 0.001  # least half-widths that are told: of the value, and of a share
_NOTHING = 1e-9  # of the unit inside: what is less is the dust of sums, and is told as 0

_KINDS = {
    "length": _Kind("a length", "m", "600 mm", _LENGTHS, {"mm": 10.0, "m": inf}, {"in": 6.0, "ft": inf}, digits=4),
    "head": _Kind("a head", "m", "5.6 m", _LENGTHS, {"m": inf}, {"ft": inf}),
    "flow": _Kind("a flow", "m3/s", "3000 L/h", _FLOWS, {"L/h": inf}, {"gph": inf}),
    "speed": _Kind(
        "a speed", "m/s", "3 cm/s", "mm/s cm/s m/s | in/s ft/s", {"cm/s": 1.0, "m/s": inf}, {"in/s": 1.0, "ft/s": inf}
    ),
    "volume": _Kind("a volume", "m3", "120 L", "mL L m3 | gal", {"L": inf}, {"gal": inf}),
    "area": _Kind("an area", "m2", "12 m2", "mm2 cm2 m2 | in2 ft2", {"m²": inf}, {"ft²": inf}),
    "temperature": _Kind("a temperature", "degC", "25.5 degC", "degC °C K | degF °F", {"°C": inf}, {"°F": inf}),
    "share": _Kind("a share", "", "40 %", "%", {"%": inf}, {"%": inf}),
    "salinity": _Kind("a salinity", "g/kg", "35 g/kg", "g/kg ppt", {"g/kg": inf}, {"g/kg": inf}),
    "power": _Kind("a power", "W", "240 W", "W kW | hp BTU/h", {"W": inf}, {"W": inf}),
    "angle": _Kind("an angle", "rad", "30 deg", "deg ° rad", {"°": inf}, {"°": inf}),
    "time": _Kind("a time", "s", "30 min", "s min h day", _CLOCK, _CLOCK),
    "mass": _Kind("a mass", "kg", "12 kg", "g kg | oz lb", {"kg": inf}, {"lb": inf}),
    "stress": _Kind("a stress", "Pa", "0.5 Pa", "Pa", {"Pa": inf}, {"Pa": inf}),  # on a bed
    "pressure": _Kind("a pressure", "Pa", "20 kPa", "Pa kPa bar | psi", {"kPa": inf}, {"psi": inf}),
}
_DEFINITIONS = """
milli- = 1e-3
centi- = 1e-2
kilo- = 1e3
meter = [length]
inch = 0.0254 * meter
foot = 12 * inch
liter = 1e-3 * meter ** 3
gallon = 231 * inch ** 3
second = [time]
minute = 60 * second
hour = 60 * minute
day = 24 * hour
kelvin = [temperature]; offset: 0
degree_Celsius = kelvin; offset: 273.15
degree_Fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9
percent = 0.01
radian = []
degree = 3.1415926535897932384626433832795 / 180 * radian
gram = [mass]
pound = 453.59237 * gram
ounce = pound / 16
pascal = kilogram / meter / second ** 2
bar = 1e5 * pascal
pound_force_per_square_inch = pound * 9.80665 * meter / second ** 2 / inch ** 2
watt = pascal * meter ** 3 / second
horsepower = 550 * foot * pound * 9.80665 * meter / second ** 3
british_thermal_unit = 1055.05585262 * pascal * meter ** 3
"""  # the units library's own list of a thousand units takes it a fifth of a second to read
_SPELLINGS = {  # the units library's name: how people write it, in any case of letters
    "millimeter": "mm millimetre millimetres millimeter millimeters",
    "centimeter": "cm centimetre centimetres centimeter centimeters",
    "meter": "m metre metres meter meters",
    "inch": 'in inch inches " ″',
    "foot": "ft foot feet ' ′",
    "milliliter": "ml millilitre millilitres milliliter milliliters",
    "liter": "l litre litres liter liters",
    "gallon": "gal gals gallon gallons",
    "second": "s sec second seconds",
    "minute": "min minute minutes",
    "hour": "h hr hour hours",
    "day": "d day days",
    "liter / hour": "lph",
    "liter / minute": "lpm",
    "gallon / hour": "gph",
    "gallon / minute": "gpm",
    "degree_Celsius": "degc °c c celsius",
    "degree_Fahrenheit": "degf °f f fahrenheit",
    "kelvin": "k kelvin",
    "percent": "%",
    "gram / kilogram": "ppt",
    "gram": "g gram grams",
    "kilogram": "kg kilogram kilograms",
    "ounce": "oz ounce ounces",
    "pound": "lb lbs pound pounds",
    "watt": "w watt watts",
    "kilowatt": "kw kilowatt kilowatts",
    "horsepower": "hp horsepower",
    "british_thermal_unit": "btu btus",
    "british_thermal_unit / hour": "btuh",
    "degree": "deg ° degree degrees",
    "radian": "rad radian radians",
    "pascal": "pa pascal",
    "kilopascal": "kpa kilopascal",
    "bar": "bar",
    "pound_force_per_square_inch": "psi",
}
_NAMES = {spelling: name for name, spellings in _SPELLINGS.items() for spelling in spellings.split()}
_EXPONENTS = str.maketrans("²³", "23")
_FACTOR = re.compile(r"""\s*([/*·]?)\s*(°?[^\W\d_²³]+|[°%"″'′])\s*(?:(?:\^|\*\*)?\s*([123²³]))?\s*""")
_NUMBER = re.compile(
    r"""\s*(?P<sign>[-+]?)\s*
    (?: (?: (?P<whole>\d+) [\s-]+ )? (?P<over>\d+) \s* / \s* (?P<under>\d+)      # 3/4, 1 1/4 and 1-1/4
      | (?P<decimal> (?: \d+ (?:\.\d*)? | \.\d+ ) (?: e [-+]? \d{1,3} )? )
      | (?P<word> nan | inf | infinity ) \b )
    \s* (?P<unit>.*)""",
    re.VERBOSE | re.IGNORECASE | re.DOTALL,
)


def to_si(text: object, kind: str, system: System = "metric") -> float:
    """The SI value of a quantity written with its unit of any system; temperatures come in °C, salinities in g/kg.

    Raises QuantityError, which tells what to write instead, in the system's units first.
    """
    want = _wanted(kind, system)
    match = _NUMBER.fullmatch(text) if isinstance(text, str) and len(text) < 100 else None
    if match is None:
        raise _no_quantity(text, want)
    unit = match["unit"].strip()
    if not unit and want.base:
        raise _no_unit(text.strip(), want)
    amount = _amount(match, text, want)
    size, zero = _conversion(unit, text, want)
    return _finite(amount * size + zero, text, want)


def display_unit(kind: str, system: System) -> tuple[str, float]:
    """Label of the unit that a kind has on axes and scale bars, and what one SI unit comes to in it.

    A temperature is taken as a difference here: the two scales' zeros lie apart.
    """
    unit = next(iter(_steps(kind, system)))
    return unit, float(_meaning(_KINDS[kind].base)[1] / _meaning(unit)[1])


def shown(value: float, kind: str, system: System, digits: int | None = None) -> str:
    """An SI value as people read it, in the unit that suits its size.

    digits   significant ones; None: as many as are usual for the kind
    """
    unit = _suited(value, kind, system)
    _, base_size, base_zero = _meaning(_KINDS[kind].base)
    _, size, zero = _meaning(unit)
    number = (value * float(base_size) + float(base_zero - zero)) / float(size)
    if abs(number * float(size)) < _NOTHING * float(base_size):
        number = 0.0
    gap = "" if unit == "°" else " "
    return f"{_written(number, digits or _KINDS[kind].digits, system)}{gap}{unit}"


def within(value: float, doubt: float, kind: str, system: System) -> str:
    """An SI value with the half-width of its interval: "4.2 ± 1.3 %", "37 ± 5 cm/s"; NaN is what is not known.

    The half-width has two significant digits if it begins with 1 or 2, else one, and the value ends where it does; of
    a share neither goes beyond a tenth of a percent. It is never told below that, or below a hundredth of another
    value: nothing computed is as sure, and "± 0" would read as exact.
    """
    if isnan(value):
        return "not known"
    if isnan(doubt):
        return f"{shown(value, kind, system)}, interval not known"
    doubt = max(doubt, _SUREST_SHARE if kind == "share" else _SUREST * abs(value))
    if doubt == 0:
        return shown(value, kind, system)
    unit = _suited(max(abs(value), doubt), kind, system)
    in_unit = float(_meaning(_KINDS[kind].base)[1] / _meaning(unit)[1])
    decimals = min(_decimals(doubt * in_unit), 1) if kind == "share" else _decimals(doubt * in_unit)
    number, width = (_grouped(part * in_unit, decimals, system) for part in (value, doubt))
    return f"{number} ± {width} {unit}"


def _suited(value: float, kind: str, system: System) -> str:
    """The unit that suits the size of an SI value."""
    return next(unit for unit, up_to in _steps(kind, system).items() if abs(value) < up_to)


def percent(share: float) -> str:
    """A share of a whole, or a multiple, no finer than it matters: "4.2 %", "37 %", "130 %"."""
    if isnan(share):
        return "an unknown share"
    if share == 0:
        return "0 %"
    if 0 < share < LEAST_SHARE:
        return f"under {100 * LEAST_SHARE:.1f} %"
    return f"{100 * share:.1f} %" if share < 0.1 else f"{100 * share:.0f} %"


def _decimals(doubt: float) -> int:
    """Places after the point that a half-width has; negative ones are left out before it."""
    exponent = floor(log10(doubt))
    places = (1 if doubt < 3 * 10.0**exponent else 0) - exponent
    ends_in_nought = places > 0 and round(doubt, places) == round(doubt, places - 1)
    return places - ends_in_nought


def _steps(kind: str, system: System) -> Steps:
    return {"metric": _KINDS[kind].metric, "us": _KINDS[kind].us}[system]


def _written(number: float, digits: int, system: System) -> str:
    """A number to so many significant digits, long ones in groups of three."""
    if number == 0:
        return "0"
    decimals = digits - 1 - floor(log10(abs(number)))
    text = _grouped(number, decimals, system)
    return text.rstrip("0").rstrip(".") if "." in text else text


def _grouped(number: float, decimals: int, system: System) -> str:
    """A number to so many places after the point, long ones in groups of three."""
    rounded = round(number, decimals) + 0.0  # which turns -0.0 into 0.0
    text = f"{rounded:,.{max(decimals, 0)}f}"
    if system == "us":
        return text
    return text.replace(",", "" if abs(rounded) < 10_000 else "\N{NARROW NO-BREAK SPACE}")


@cache
def _wanted(kind: str, system: System) -> _Wanted:
    """What is told of a kind where a quantity cannot be read."""
    want = _KINDS[kind]
    metric, _, us = (tuple(half.split()) for half in want.known.partition("|"))
    units = tuple(dict.fromkeys((want.example.rpartition(" ")[2], next(iter(want.us)))))
    if system == "metric":
        return _Wanted(want.noun, want.base, want.example, units, metric + us)
    return _Wanted(want.noun, want.base, suggestion(want.example, kind, system), units[::-1], us + metric)


def suggestion(example: str, kind: str, system: System) -> str:
    """A metric quantity as an example of what to write in a system: "600 mm", or "24 in"."""
    return example if system == "metric" else shown(to_si(example, kind), kind, system, 2).replace(",", "")


def _no_quantity(found: object, want: _Wanted) -> QuantityError:
    number = str(found)
    if len(number) < 20 and (type(found) is int or (type(found) is float and isfinite(found))):
        return _no_unit(number, want)
    remedy = f"Write a number and a unit in quotes, as '{want.example}'"
    return QuantityError(seen(found), f"is not {want.noun}", remedy)


def _no_unit(number: str, want: _Wanted) -> QuantityError:
    examples = " or ".join(f"'{number} {unit}'" for unit in want.units)
    return QuantityError(number, "is a number without a unit", f"Write the unit too, as {examples}")


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
        root, size, zero = _meaning(unit)
    except KeyError:
        raise _unknown(unit, text, want) from None
    base_root, base_size, base_zero = _meaning(want.base)
    if root != base_root:
        raise QuantityError(seen(text), f"is {_noun(unit, root)}", f"Write {want.noun} here, as '{want.example}'")
    return size / base_size, (zero - base_zero) / base_size


def _noun(unit: str, root: object) -> str:
    """What kind of thing a unit measures."""
    alike = [kind for kind in _KINDS.values() if _meaning(kind.base)[0] == root]
    usual = [kind for kind in alike if unit in kind.known.split()]
    return (usual or alike)[0].noun if alike else f"in {unit}"


def _unknown(unit: str, text: str, want: _Wanted) -> QuantityError:
    if re.match(r"[\d.,e]", unit):
        return QuantityError(seen(text), "is no plain number", "Write 3000 for thousands and 25.5 for a half")
    near = get_close_matches(unit, want.known, n=1, cutoff=0.4)
    remedy = f"Did you mean '{near[0]}'?" if near else f"Write {want.noun} in one of: {', '.join(want.known)}"
    return QuantityError(seen(text), f"has the unknown unit '{unit}'", remedy)


@cache
def _meaning(unit: str) -> tuple[object, Fraction, Fraction]:
    """Root unit, size in it, and where zero lies in it; KeyError if the unit is unknown."""
    registry = _registry()
    parsed = registry.parse_units(_expression(unit))
    size, root = registry.get_root_units(parsed)
    zero = registry.Quantity(Fraction(0), parsed).to_root_units().magnitude if root == registry.kelvin else 0
    return root, Fraction(size), Fraction(zero)


def _expression(unit: str) -> str:
    """A unit in the words of the units library."""
    expression, rest = "", unit
    while rest:
        factor = _FACTOR.match(rest)
        if factor is None:
            raise KeyError(unit)
        sign, spelling, power = factor.groups()
        name = f"({_NAMES[spelling.lower()]})**{(power or '1').translate(_EXPONENTS)}"
        expression += f" {'/' if sign == '/' else '*'} {name}" if expression else name
        rest = rest[factor.end() :]
    return expression


@cache
def _registry():
    import pint  # a tenth of a second that "flowviz --help" need not wait for

    registry = pint.UnitRegistry(None, non_int_type=Fraction)
    registry.load_definitions(_DEFINITIONS.splitlines())
    return registry
