"""Quantities with units, as people write them and read them, to and from SI floats.

Inside flowviz everything is an SI float; "25 mm" and "900 gph" live in files, on pages and in pictures. Gallons are US.
Conversions are exact fractions, so that 1 in and 25.4 mm are the same float.
"""

from flowviz.units.kinds import System
from flowviz.units.reading import QuantityError, suggestion, to_si, typed
from flowviz.units.telling import counted, display_unit, percent, share_decimals, shown, within

__all__ = [
    "QuantityError",
    "System",
    "counted",
    "display_unit",
    "percent",
    "share_decimals",
    "shown",
    "suggestion",
    "to_si",
    "typed",
    "within",
]
