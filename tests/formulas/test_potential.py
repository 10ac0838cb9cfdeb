"""Potential flow against its own limits."""

from math import cos, pi, sin

import pytest

from flowviz.formulas.potential import hood_speed, sink_speed, sphere_velocity, suction_disc_speed


@pytest.mark.parametrize(("walls", "part"), [(0, 1), (1, 2), (2, 4), (3, 8)])
def test_what_a_sink_draws_passes_the_sphere_about_it(walls, part):
    """Area of the part of a sphere that the walls leave, times the speed on it, is the flow (exact)."""
    assert sink_speed(0.002, 0.1, walls) * 4 * pi * 0.1**2 / part == pytest.approx(0.002, rel=1e-12)


def test_suction_disc():
    """Its own speed in the opening; far away the point sink on a wall (next term -3/4 a²/z², under 1e-4 here)."""
    assert suction_disc_speed(0.3, 0.02, 0.0) == 0.3
    far = sink_speed(0.3 * pi * 0.02**2, 2.0, 1)
    assert suction_disc_speed(0.3, 0.02, 2.0) == pytest.approx(far, rel=1e-4)


def test_hood_one_diameter_away():
    """9.7 % of the speed in the opening: A = π D²/4 in the formula gives π/4/(0.75 (10 + π/4)) = 0.09709."""
    diameter = 0.05
    area = pi / 4 * diameter**2
    assert hood_speed(0.4 * area, area, diameter) / 0.4 == pytest.approx(0.09709, abs=5e-6)


def test_sphere():
    """1.5 U at the equator, none in front; two radii out 0.875 U on the axis, 1.0625 U at the equator (exact)."""
    assert sphere_velocity(0.2, 0.1, (0.0, 0.1, 0.0)) == pytest.approx((0.3, 0.0, 0.0), abs=1e-15)
    assert sphere_velocity(0.2, 0.1, (-0.1, 0.0, 0.0)) == pytest.approx((0.0, 0.0, 0.0), abs=1e-15)
    assert sphere_velocity(0.2, 0.1, (0.2, 0.0, 0.0))[0] == pytest.approx(0.175)
    assert sphere_velocity(0.2, 0.1, (0.0, 0.0, 0.2))[0] == pytest.approx(0.2125)


@pytest.mark.parametrize("round_the_axis", [0.7, 2.0, 4.0, 5.5])
def test_sphere_off_its_axes(round_the_axis):
    """At 1 radian from the stream and 2 radii out: u_r = U cos θ (1 - a³/r³), u_θ = -U sin θ (1 + a³/2r³), all of it in
    the plane of the axis; at four places round the axis, one in each quarter (exact).
    """
    aside = (cos(round_the_axis), sin(round_the_axis))
    out, along = -0.2 * sin(1.0) * (1 + 1 / 16), 0.2 * cos(1.0) * (1 - 1 / 8)
    expected = (along * cos(1.0) - out * sin(1.0), *((along * sin(1.0) + out * cos(1.0)) * part for part in aside))
    place = (0.2 * cos(1.0), *(0.2 * sin(1.0) * part for part in aside))
    assert sphere_velocity(0.2, 0.1, place) == pytest.approx(expected, abs=1e-15)
