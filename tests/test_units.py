"""Quantities to and from SI.

Expected values are sums of exact definitions: 1 in = 25.4 mm, 1 ft = 12 in, 1 US gal = 231 in³, 1 lb = 0.453 592 37 kg,
1 hp = 550 ft lbf/s with g = 9.806 65 m/s², t/°C = (t/°F - 32)/1.8; NIST Special Publication 811 (2008), appendix B,
from memory. The tolerance 1e-15 is one rounding of a double; where it is 0, the float is the nearest one there is.
"""

import subprocess
import sys
from contextlib import suppress
from math import nan, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flowviz.errors import InputError
from flowviz.units import QuantityError, counted, display_unit, shown, to_si, within

INCH = 0.0254
FOOT = 12 * INCH
GALLON = 231 * INCH**3
POUND = 0.45359237
BTU = 4186.8 * POUND * 5 / 9  # that warms a pound of water of 4186.8 J/(kg K) by 1 °F (International Table)
NARROW = "\N{NARROW NO-BREAK SPACE}"


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("25 mm", "length", 0.025),
        ("35 mm", "length", 0.035),
        ("25mm", "length", 0.025),
        ("2.5 cm", "length", 0.025),
        ("+1.2 m", "length", 1.2),
        ("-300 mm", "length", -0.3),
        ("1e3 mm", "length", 1.0),
        (".5 m", "length", 0.5),
        ("1 in", "length", INCH),
        ("1 1/4 in", "length", 0.03175),
        ("1-1/4 in", "length", 0.03175),
        ("1¼ in", "length", 0.03175),
        ("½ in", "length", 0.0127),
        ("1 3\N{FRACTION SLASH}8 in", "length", 1.375 * INCH),
        ("3/4 in", "length", 0.01905),
        ('24"', "length", 0.6096),
        ("2 feet", "length", 0.6096),
        ("8'", "length", 2.4384),
        ("6 ft 2 in", "length", 74 * INCH),
        ("7 feet 0 inches", "length", 7 * FOOT),
        ("-1 ft 6 in", "length", -18 * INCH),
        ("5' 6\"", "length", 66 * INCH),
        ("5'-6 1/2\"", "length", 66.5 * INCH),
        ("5' 6½\"", "length", 66.5 * INCH),
        ("5′ .5″", "length", 60.5 * INCH),
        ("1000 \N{MICRO SIGN}m", "length", 0.001),
        ("1000 \N{GREEK SMALL LETTER MU}m", "length", 0.001),
        ("250 micron", "length", 0.00025),
        ("5.6 m", "head", 5.6),
        ("20 ft", "head", 6.096),
        ("3000 L/h", "flow", 3 / 3600),
        ("3 m3/h", "flow", 3 / 3600),
        ("3 m³/h", "flow", 3 / 3600),
        ("3 m^3/h", "flow", 3 / 3600),
        ("3 m**3 / h", "flow", 3 / 3600),
        ("50 l/min", "flow", 3 / 3600),
        ("3000 lph", "flow", 3 / 3600),
        ("900 gph", "flow", 900 * GALLON / 3600),
        ("900 GPH", "flow", 900 * GALLON / 3600),
        ("15 gpm", "flow", 15 * GALLON / 60),
        ("15 gal/min", "flow", 15 * GALLON / 60),
        ("3 cm/s", "speed", 0.03),
        ("0.5 ft/s", "speed", 0.1524),
        ("25.5 degC", "temperature", 25.5),
        ("25.5 °C", "temperature", 25.5),
        ("78 degF", "temperature", (78 - 32) / 1.8),
        ("78 °F", "temperature", (78 - 32) / 1.8),
        ("300 K", "temperature", 26.85),
        ("35 g/kg", "salinity", 35.0),
        ("35 ppt", "salinity", 35.0),
        ("35 ‰", "salinity", 35.0),
        ("35 PSU", "salinity", 35.0),
        ("3.5 %", "salinity", 35.0),
        ("240 W", "power", 240.0),
        ("1 hp", "power", 550 * FOOT * POUND * 9.80665),
        ("4000 BTU/h", "power", 4000 * BTU / 3600),
        ("4000 Btu/hr", "power", 4000 * BTU / 3600),
        ("30 deg", "angle", pi / 6),
        ("30°", "angle", pi / 6),
        ("288 gal", "volume", 288 * GALLON),
        ("120 L", "volume", 0.12),
        ("80 cm2", "area", 0.008),
        ("1 1/2 h", "time", 5400.0),
        ("10 lb", "mass", 10 * POUND),
        ("1 psi", "pressure", POUND * 9.80665 / INCH**2),
        ("40 %", "share", 0.4),
        ("0.4", "share", 0.4),
    ],
)
def test_a_quantity_is_read(text, kind, value):
    assert to_si(text, kind) == pytest.approx(value, rel=1e-15)


def test_an_inch_and_its_millimetres_are_the_same_float():
    assert to_si("94.5 in", "length") == to_si("2400.3 mm", "length") == 2.4003


@given(st.integers(0, 99), st.integers(0, 63))
def test_a_mixed_fraction_is_its_sum(whole, sixty_fourths):
    assert to_si(f"{whole} {sixty_fourths}/64 in", "length") == pytest.approx(
        (whole + sixty_fourths / 64) * INCH, rel=1e-15
    )


@pytest.mark.parametrize(
    ("found", "kind", "fault", "remedy"),
    [
        (600, "length", "without a unit", "'600 mm'"),
        (2.5, "flow", "without a unit", "'2.5 L/h'"),
        ("600", "length", "without a unit", "'600 mm'"),
        ("1/4", "length", "without a unit", "'1/4 mm'"),
        (25, "temperature", "without a unit", "'25 degC'"),
        ("3 mn", "length", "unknown unit 'mn'", "Did you mean 'm"),
        ("3 L/hh", "flow", "unknown unit 'L/hh'", "'L/h'"),
        ("3 furlong", "length", "unknown unit 'furlong'", "mm, cm, m, in, ft"),
        ("3 mm/", "speed", "unknown unit 'mm/'", "'mm/s'"),
        ("3 cm", "flow", "is a length", "a flow here, as '3000 L/h'"),
        ("3 L/h", "length", "is a flow", "a length here, as '600 mm'"),
        ("3 bar", "head", "is a pressure", "a head here, as '5.6 m'"),
        ("30 deg", "salinity", "is an angle", "a salinity here, as '35 g/kg'"),
        ("35 ppt", "length", "is a salinity", "'600 mm'"),
        ("3 mm s", "length", "is in mm s", "'600 mm'"),
        ("nan mm", "length", "not finite", "'600 mm'"),
        ("inf L/h", "flow", "not finite", "'3000 L/h'"),
        ("1e400 mm", "length", "not finite", "'600 mm'"),
        ("1/0 in", "length", "divides by zero", "'600 mm'"),
        ("25,5 degC", "temperature", "no plain number", "25.5"),
        ("3,000 gph", "flow", "no plain number", "3000"),
        ("3 000 L/h", "flow", "no plain number", "3000"),
        ("1e-9999 mm", "length", "no plain number", "3000"),
        ("6 ft 2", "length", "several numbers", "a length in one unit, as '600 mm'"),
        ("5 ft 6 - 7 in", "length", "several numbers", "a length in one unit, as '600 mm'"),
        ("6 m 2 cm", "length", "several numbers", "a length in one unit, as '600 mm'"),
        ("6 ft 1/0 in", "length", "divides by zero", "'600 mm'"),
        ("6 ft 2 in", "flow", "is a length", "'3000 L/h'"),
        ("1 h 30 min", "time", "several numbers", "a time in one unit, as '30 min'"),
        ("mm", "length", "is not a length", "'600 mm'"),
        ("", "length", "is not a length", "'600 mm'"),
        ("long", "length", "is not a length", "'600 mm'"),
        (True, "length", "is not a length", "'600 mm'"),
        (float("nan"), "length", "is not a length", "'600 mm'"),
        (["600 mm"], "length", "is not a length", "'600 mm'"),
        ("9" * 5000 + " mm", "length", "is not a length", "'600 mm'"),
    ],
)
def test_what_is_no_quantity_is_refused_with_what_to_write(found, kind, fault, remedy):
    with pytest.raises(QuantityError) as caught:
        to_si(found, kind)
    assert fault in caught.value.fault
    assert remedy in caught.value.remedy
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 200


def test_the_refusal_is_both_the_users_fault_and_a_value_error():
    assert issubclass(QuantityError, InputError)
    assert issubclass(QuantityError, ValueError)


@given(st.text(max_size=30))
def test_any_text_gives_a_value_or_the_refusal(text):
    with suppress(QuantityError):
        assert isinstance(to_si(text, "length"), float)


@pytest.mark.parametrize(
    ("value", "kind", "metric", "us"),
    [
        (2.4, "length", "2400 mm", "94.49 in"),
        (0.03175, "length", "31.75 mm", "1.25 in"),
        (12.5, "length", "12.5 m", "41.01 ft"),
        (-0.05, "length", "-50 mm", "-1.969 in"),
        (5.6, "head", "5.6 m", "18.4 ft"),
        (3 / 3600, "flow", "3000 L/h", "793 gph"),
        (12.345 / 3600, "flow", f"12{NARROW}300 L/h", "3,260 gph"),
        (0.03, "speed", "3 cm/s", "1.18 in/s"),
        (0.4567, "speed", "45.7 cm/s", "18 in/s"),
        (2.0, "speed", "2 m/s", "6.56 ft/s"),
        (0.0, "speed", "0 cm/s", "0 in/s"),
        (1.0939, "volume", "1090 L", "289 gal"),
        (99.4, "volume", f"99{NARROW}400 L", "26,300 gal"),
        (1660.0, "volume", "1660 m³", "439,000 gal"),
        (25.5, "temperature", "25.5 °C", "77.9 °F"),
        (35.0, "salinity", "35 g/kg", "35 g/kg"),
        (0.1234, "share", "12.3 %", "12.3 %"),
        (240.0, "power", "240 W", "240 W"),
        (pi / 6, "angle", "30°", "30°"),
        (90.0, "time", "90 s", "90 s"),
        (5400.0, "time", "90 min", "90 min"),
    ],
)
def test_a_value_is_shown_in_the_units_of_the_trade(value, kind, metric, us):
    assert shown(value, kind, "metric") == metric
    assert shown(value, kind, "us") == us


@pytest.mark.parametrize("kind", ["length", "head", "flow", "speed", "volume", "share", "power", "time", "mass"])
@pytest.mark.parametrize("dust", [-3e-20, -4e-12, 5e-10, -0.0])
def test_the_dust_of_sums_is_told_as_nothing(kind, dust):
    """Below a thousand-millionth of the unit inside."""
    assert shown(dust, kind, "us").split()[0] == shown(dust, kind, "metric").split()[0] == "0"


def test_values_of_one_sentence_share_a_unit():
    """5.5 ft/s is 66 in/s, and 1.7 m/s is 170 cm/s."""
    assert shown(5.5 * 12 * 0.0254, "speed", "us", 2, beside=20 * 0.0254) == "66 in/s"
    assert shown(1.7, "speed", "metric", 2, beside=0.5) == "170 cm/s"
    assert shown(0.5, "speed", "metric", 2, beside=1.7) == "0.5 m/s"


def test_the_dust_of_a_change_of_units_is_told_as_nothing():
    """0 °F are -160/9 °C, which no float is."""
    assert shown(-160 / 9, "temperature", "us") == "0 °F"


@given(st.floats(-1e4, 1e4), st.sampled_from(["length", "flow", "speed", "volume", "temperature", "share"]))
def test_no_quantity_has_more_than_its_digits(value, kind):
    number = shown(value, kind, "us").split()[0].replace(",", "")
    significant = number.replace(".", "").lstrip("-0").rstrip("0") if "." in number else number.strip("-0")
    assert len(significant) <= (4 if kind == "length" else 3)
    assert number != "-0"
    assert len(number) <= 15  # a nanometre in inches, to four digits


@pytest.mark.parametrize(
    ("value", "doubt", "kind", "metric"),
    [
        (0.0421, 0.0132, "share", "4.2 ± 1.3 %"),
        (0.0421, 0.0296, "share", "4 ± 3 %"),
        (0.0421, 0.0301, "share", "4 ± 3 %"),
        (0.374, 0.1249, "share", "37 ± 12 %"),
        (0.374, 0.0961, "share", "37 ± 10 %"),
        (0.9, 0.6, "share", "90 ± 60 %"),
        (0.9, 1.6, "share", "90 ± 160 %"),
        (0.0, 0.0, "share", "0.0 ± 0.1 %"),
        (-0.00001, 0.004, "share", "0.0 ± 0.4 %"),
        (0.123, 0.0, "speed", "12.30 ± 0.12 cm/s"),
        (0.123, 0.05, "speed", "12 ± 5 cm/s"),
        (0.12, 0.02, "speed", "12 ± 2 cm/s"),
        (0.0421, 0.0096, "share", "4 ± 1 %"),
        (-0.104, 0.101, "share", "-10.4 ± 10.1 %"),  # beyond its half-width, as "-10 ± 10 %" would not show
        (0.101, 0.104, "share", "10.1 ± 10.4 %"),
        (0.1, 0.1, "share", "10 ± 10 %"),
        (0.3, 1.2, "speed", "0.3 ± 1.2 m/s"),
        (0.0, 0.0, "speed", "0 cm/s"),
        (14.0, 2.6, "flow", f"50{NARROW}000{NARROW}000 ± 9{NARROW}000{NARROW}000 L/h"),
        (0.05, nan, "share", "5 %, interval not known"),
        (nan, 0.1, "share", "not known"),
    ],
)
def test_a_value_ends_where_its_half_width_does(value, doubt, kind, metric):
    assert within(value, doubt, kind, "metric") == metric


def test_a_value_within_its_interval_in_us_units():
    assert within(0.0254, 0.0127, "speed", "us") == "1.0 ± 0.5 in/s"
    assert within(12000 / 3600, 1200 / 3600, "flow", "us") == "3,200,000 ± 300,000 gph"


@given(st.floats(0, 1), st.floats(0, 1))
def test_no_share_reads_as_exact(value, doubt):
    """The half-width that is told is no smaller than the true one to its own rounding, and never nothing."""
    told = float(within(value, doubt, "share", "metric").split("± ")[1].removesuffix(" %"))
    assert told >= 0.1
    assert told == pytest.approx(max(100 * doubt, 0.1), rel=0.17, abs=0.05)  # 3.5 is told as 3 or 4


@pytest.mark.parametrize(
    ("kind", "system", "unit", "factor"),
    [
        ("length", "metric", "mm", 1000.0),
        ("length", "us", "in", 1 / INCH),
        ("flow", "metric", "L/h", 3.6e6),
        ("flow", "us", "gph", 3600 / GALLON),
        ("speed", "metric", "cm/s", 100.0),
        ("speed", "us", "in/s", 1 / INCH),
        ("volume", "us", "gal", 1 / GALLON),
        ("head", "us", "ft", 1 / FOOT),
        ("temperature", "us", "°F", 1.8),
    ],
)
def test_axes_have_one_unit(kind, system, unit, factor):
    assert display_unit(kind, system) == (unit, pytest.approx(factor, rel=1e-15))


@given(st.floats(1e-6, 1e4), st.sampled_from(["length", "flow", "speed", "volume", "temperature", "time"]))
def test_what_is_shown_reads_back_as_the_value(value, kind):
    """Within the rounding to three digits, which is half a degree Fahrenheit for temperatures above 100 °F."""
    text = shown(value, kind, "us").replace(",", "")
    assert to_si(text, kind) == pytest.approx(value, rel=5.1e-3, abs=0.28 if kind == "temperature" else 0)


def test_importing_units_waits_for_no_library():
    """The units library takes a third of a second to load, which is left until a quantity is read."""
    code = "import sys, flowviz.units; sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize(
    ("number", "system", "told"),
    [(9_999, "metric", "9999"), (140_000, "metric", "140\N{NARROW NO-BREAK SPACE}000"), (140_000, "us", "140,000")],
)
def test_counts_are_grouped_as_quantities_are(number, system, told):
    assert counted(number, system) == told
