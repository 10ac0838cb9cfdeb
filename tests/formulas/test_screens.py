"""Losses, speeds and reach of screens against tables and closed forms of their own."""

from math import pi, sqrt

import pytest

from flowviz.formulas.pumps import GRAVITY
from flowviz.formulas.screens import bar_screen, disc_reach, perforated_plate, sink_reach, slot_speed

FOOT = 0.3048


@pytest.mark.parametrize(
    ("open_share", "square_edged"), [(0.2, 52.0), (0.3, 17.0), (0.4, 7.7), (0.5, 3.8), (0.6, 2.0), (0.7, 1.1)]
)
def test_perforated_plate(open_share, square_edged):
    """Square-edged screens as the fluids library tabulates them: the two sources differ by 13 % at most here."""
    assert perforated_plate(open_share) == pytest.approx(square_edged, rel=0.13)


def test_perforated_plate_without_a_plate():
    assert perforated_plate(1.0) == 0


def test_bar_screen():
    """Kirschmer's formula with β = 2.42, bars of 1.5 mm, gaps of 1.75 mm, 0.15 m/s, worked out apart: 2.26 mm."""
    assert bar_screen(1.75 / 3.25) * 0.15**2 / (2 * GRAVITY) == pytest.approx(2.26e-3, abs=5e-6)


@pytest.mark.parametrize(("fouled", "times"), [(0.0, 1.0), (0.25, 4 / 3), (0.5, 2.0), (0.75, 4.0), (0.9, 10.0)])
def test_fouling_speeds_the_water_up(fouled, times):
    """An identity: what passes the open rest is faster by 1/(1 - F)."""
    assert slot_speed(1e-3, 0.02, 0.4, fouled) == pytest.approx(times * 1e-3 / (0.02 * 0.4))


def test_screen_area_by_the_rule():
    """Cal. Fish and Game screening criteria (2000): 1.0 ft³/s at 0.33 ft/s of approach needs 3.0 ft², rounded there."""
    assert slot_speed(1.0 * FOOT**3, 3.0 * FOOT**2, 1.0, 0.0) == pytest.approx(0.33 * FOOT, rel=0.011)


@pytest.mark.parametrize("walls", [1, 2, 4, 8])
def test_reach_of_a_sink(walls):
    """All of the flow passes the part of the sphere that the walls leave open."""
    radius = sink_reach(2e-3, 0.05, walls)
    assert 4 * pi * radius**2 / walls * 0.05 == pytest.approx(2e-3)


@pytest.mark.parametrize(
    ("distance", "share"), [(0.25, 0.55279), (0.5, 0.29289), (1.0, 0.10557), (2.0, 0.02986), (5.0, 0.00496)]
)
def test_reach_of_a_disc(distance, share):
    """Closed form on the axis, by diameters from the face; the shares have five decimals, which is 0.1 % at the
    last.
    """
    radius, flow = 0.05, 1e-3
    face = flow / (pi * radius**2)
    assert disc_reach(flow, share * face, radius) == pytest.approx(2 * radius * distance, rel=2e-3)
    assert disc_reach(flow, 1.01 * face, radius) == 0.0


def test_disc_looks_like_a_sink_from_afar():
    """Their difference falls with the square of radius over distance."""
    assert disc_reach(1e-3, 1e-5, 0.01) == pytest.approx(sink_reach(1e-3, 1e-5, 2), rel=1e-4)
    assert sink_reach(1e-3, 1e-5, 2) == pytest.approx(sqrt(1e-3 / (2 * pi * 1e-5)))
