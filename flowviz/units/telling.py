"""SI floats as people read them."""

from math import floor, isnan, log10

from flowviz.units.kinds import KINDS, System, steps
from flowviz.units.meaning import meaning

_LEAST_SHARE = 0.001  # that is told
_TENTHS = 0.0995  # share below which tenths of a percent are told: from there on it reads as 10 %
_SUREST, _SUREST_SHARE = 0.01, 0.001  # least half-widths that are told: of the value, and of a share
_NOTHING = 1e-9  # of the unit inside: what is less is the dust of sums, and is told as 0


def display_unit(kind: str, system: System) -> tuple[str, float]:
    """Label of the unit that a kind has on axes and scale bars, and what one SI unit comes to in it.

    A temperature is taken as a difference here: the two scales' zeros lie apart.
    """
    unit = next(iter(steps(kind, system)))
    return unit, float(meaning(KINDS[kind].base)[1] / meaning(unit)[1])


def shown(value: float, kind: str, system: System, digits: int | None = None, beside: float | None = None) -> str:
    """An SI value as people read it, in the unit that suits its size.

    digits   significant ones; None: as many as are usual for the kind
    beside   another SI value of the sentence or column, whose unit it has too: "above 50 cm/s, up to 170 cm/s"
    """
    unit = _suited(value if beside is None else beside, kind, system)
    _, base_size, base_zero = meaning(KINDS[kind].base)
    _, size, zero = meaning(unit)
    number = (value * float(base_size) + float(base_zero - zero)) / float(size)
    if abs(number * float(size)) < _NOTHING * float(base_size):
        number = 0.0
    gap = "" if unit == "°" else " "
    return f"{_written(number, digits or KINDS[kind].digits, system)}{gap}{unit}"


def within(value: float, doubt: float, kind: str, system: System) -> str:
    """An SI value with the half-width of its interval: "4.2 ± 1.3 %", "37 ± 5 cm/s"; NaN is what is not known.

    The half-width has two significant digits if it begins with 1 or 2, else one, and the value ends where it does; of
    a share neither goes beyond a tenth of a percent. It is never told below that, or below a hundredth of another
    value: nothing computed is as sure, and "± 0" would read as exact. Where the two would read alike, "10 ± 10 %", both
    are told to a digit more: whether the interval holds nothing is to be seen.
    """
    if isnan(value):
        return "not known"
    if isnan(doubt):
        return f"{shown(value, kind, system)}, interval not known"
    doubt = max(doubt, _SUREST_SHARE if kind == "share" else _SUREST * abs(value))
    if doubt == 0:
        return shown(value, kind, system)
    unit = _suited(max(abs(value), doubt), kind, system)
    in_unit = float(meaning(KINDS[kind].base)[1] / meaning(unit)[1])
    decimals = share_decimals(doubt) if kind == "share" else _decimals(doubt * in_unit)
    decimals += round(abs(value) * in_unit, decimals) == round(doubt * in_unit, decimals) and abs(value) != doubt
    number, width = (_grouped(part * in_unit, decimals, system) for part in (value, doubt))
    return f"{number} ± {width} {unit}"


def share_decimals(doubt: float) -> int:
    """Places after the point of a share in percent beside its half-width; negative ones are left out before it."""
    return min(_decimals(100 * doubt), 1)


def percent(share: float) -> str:
    """A share of a whole, or a multiple, no finer than it matters: "4.2 %", "37 %", "130 %"."""
    if isnan(share):
        return "an unknown share"
    if share == 0:
        return "0 %"
    if 0 < share < _LEAST_SHARE:
        return f"under {100 * _LEAST_SHARE:.1f} %"
    return f"{100 * share:.1f} %" if share < _TENTHS else f"{100 * share:.0f} %"


def counted(number: int, system: System) -> str:
    """How many there are of something, long numbers in groups of three."""
    return _grouped(number, 0, system)


def _suited(value: float, kind: str, system: System) -> str:
    """The unit that suits the size of an SI value."""
    return next(unit for unit, up_to in steps(kind, system).items() if abs(value) < up_to)


def _decimals(doubt: float) -> int:
    """Places after the point that a half-width has; negative ones are left out before it."""
    exponent = floor(log10(doubt))
    places = (1 if doubt < 3 * 10.0**exponent else 0) - exponent
    ends_in_nought = places > 0 and round(doubt, places) == round(doubt, places - 1)
    return places - ends_in_nought


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
