"""What a unit as people spell it means: its root, its size in that, and where its zero lies."""

import re
from fractions import Fraction
from functools import cache

_DEFINITIONS = """
micro- = 1e-6
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
    "micrometer": "µm μm um micrometre micrometres micrometer micrometers micron microns",  # with either micro sign
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
    "gram / kilogram": "ppt ‰ psu",  # psu are less by 0.5 %, which no meter for aquaria tells
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
_FACTOR = re.compile(  # a power stands at its unit or after its sign: "ft 2 in" is none
    r"""\s*([/*·]?)\s*(°?[^\W\d_²³]+|[°%‰"″'′])((?:\s*(?:\^|\*\*)\s*)?[123²³])?\s*"""
)


@cache
def meaning(unit: str) -> tuple[object, Fraction, Fraction]:
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
        name = f"({_NAMES[spelling.lower()]})**{(power or '1')[-1].translate(_EXPONENTS)}"
        expression += f" {'/' if sign == '/' else '*'} {name}" if expression else name
        rest = rest[factor.end() :]
    return expression


@cache
def _registry():
    import pint  # a tenth of a second that "flowviz --help" need not wait for

    registry = pint.UnitRegistry(None, non_int_type=Fraction)
    registry.load_definitions(_DEFINITIONS.splitlines())
    return registry
