"""Pump curves, affinity laws, power and suction against printed examples and an independent interpolation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from flowviz.formulas.atmosphere import air_pressure
from flowviz.formulas.pumps import GRAVITY, at_speed, curve_slopes, head_on_curve, hydraulic_power, npsh_available
from flowviz.formulas.water import density, vapour_pressure

FOOT, GALLON_MINUTE, HORSEPOWER, PSI = 0.3048, 6.30901964e-5, 745.69987, 6894.757


@st.composite
def falling_curves(draw):
    count = draw(st.integers(2, 8))
    steps = st.lists(st.floats(0.01, 10), min_size=count, max_size=count)
    flows, heads = np.cumsum(draw(steps)), np.cumsum(draw(steps))[::-1]
    return tuple(flows.tolist()), tuple(heads.tolist())


@given(falling_curves(), st.floats(0, 1))
def test_curve_is_the_monotone_cubic(curve, share):
    """Fritsch and Carlson (1980), Fritsch and Butland (1984), by scipy's own implementation."""
    flows, heads = curve
    flow = flows[0] + share * (flows[-1] - flows[0])
    head, slope = head_on_curve(flow, flows, heads, curve_slopes(flows, heads))
    other = PchipInterpolator(flows, heads)
    if len(flows) > 2:  # on two points scipy gives the same straight line by another road
        assert slope == pytest.approx(float(other.derivative()(flow)), rel=1e-9, abs=1e-9)
    assert head == pytest.approx(float(other(flow)), rel=1e-12)
    assert slope <= 1e-12


def test_curve_goes_through_its_printed_points():
    flows, heads = (0.0, 1.0, 3.0, 4.0), (6.5, 5.6, 3.4, 1.2)
    slopes = curve_slopes(flows, heads)
    assert [head_on_curve(flow, flows, heads, slopes)[0] for flow in flows] == pytest.approx(heads, rel=1e-14)


@pytest.mark.parametrize(
    ("ratio", "before", "after"),
    [
        (3600 / 1800, (400, 48, 45), (800, 192, 360)),  # DOE-HDBK-1012/3-92, HT-03 p. 50
        (1700 / 3500, (400, 126, 17.5), (194.29, 29.726, 2.0053)),  # Crane Co., TP-410, example 7-33
    ],
)
def test_affinity_laws(ratio, before, after):
    """Printed to five digits at most."""
    assert at_speed(*before, ratio) == pytest.approx(after, rel=5e-5)


def test_power_of_the_water():
    """Crane Co., TP-410, example 7-34: 700 gpm, 428 ft, 62.364 lb/ft3, at 70.7 % efficiency 107.056 hp at the shaft."""
    density = 62.364 * 0.45359237 / FOOT**3
    power = hydraulic_power(density, 700 * GALLON_MINUTE, 428 * FOOT) / 0.707
    assert power == pytest.approx(107.056 * HORSEPOWER, rel=1e-3)  # the example rounds its constant


def test_npsh_of_a_lifting_pump():
    """Crane Co., TP-410, example 7-32: a tank under 5 psi, water of 60 °F 25 ft below the pump, 6 ft lost: 13.887
    ft.
    """
    density = 62.364 * 0.45359237 / FOOT**3
    head = npsh_available((14.696 + 5) * PSI, 0.256 * PSI, density, -25 * FOOT, 6 * FOOT)
    assert head == pytest.approx(13.887 * FOOT, abs=0.01 * FOOT)  # printed with rounded constants


def test_npsh_of_a_flooded_pump():
    """Mackay, The Practical Pumping Handbook, 4.4.2.5: 45 ft above, 14.7 psi, 2.889 psi, density 0.985, 0.378 ft
    lost.
    """
    density = 0.985 * 1000
    head = npsh_available(14.7 * PSI, 2.889 * PSI, density, 45 * FOOT, 0.378 * FOOT)
    assert head == pytest.approx((45 + 34.474 - 6.775 - 0.378) * FOOT, rel=2e-3)  # its water weighs 62.4 lb/ft3


def test_npsh_of_an_aquarium():
    """By the formula with the numbers put in by hand: seawater of 25 °C at sea level, 0.30 m over the pump, 0.62 m
    lost.
    """
    by_hand = (101325 - 3105) / (1023.34 * GRAVITY) + 0.30 - 0.62
    assert npsh_available(101325, 3105, 1023.34, 0.30, 0.62) == pytest.approx(by_hand, rel=1e-12)
    assert by_hand == pytest.approx(9.467, abs=5e-4)


def test_npsh_of_a_lifting_pump_in_the_mountains():
    """L. Bachus and A. Custodio, Know and Understand Centrifugal Pumps: 7000 ft up, water of 50 °F 8 ft below the pump,
    1 and 2 ft lost: 26.2 - 8 - 0.411 - 1 - 2 = 14.789 ft. Air, vapour and density are flowviz's own here; the air's
    head is printed to 0.1 ft. That its water is of 50 °F is inferred from 0.411 ft.
    """
    air, vapour, weight = air_pressure(7000 * FOOT), vapour_pressure(10.0, 0.0), density(10.0, 0.0)
    head = npsh_available(air, vapour, weight, -8 * FOOT, 3 * FOOT)
    assert head == pytest.approx(14.789 * FOOT, abs=0.06 * FOOT)
