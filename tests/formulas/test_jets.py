"""Jet laws against published measurements, and against the momentum that they must keep."""

from math import pi, sqrt

import pytest
from scipy.integrate import dblquad, quad

from flowviz.formulas.jets import (
    axis_speed,
    core_length,
    core_radius,
    edge_width,
    half_width,
    mean_speed,
    smeared_flat_speed,
    smeared_speed,
    turning,
)

DISTANCES = (0.0, 0.5, 3.0, 6.0, 6.2, 10.0, 40.0)  # in bores, on both sides of the core's end


def over_section(distance, power):
    """∫ U^power dA over the section of a jet of unit bore and speed, against that at its outlet."""

    def ring(radius):
        return 2 * pi * radius * mean_speed(distance, radius, 1.0, 1.0) ** power

    core, edge = core_radius(distance, 1.0), 8 * edge_width(distance, 1.0)
    return (quad(ring, 0, core)[0] + quad(ring, core, core + edge)[0]) / (pi / 4)


@pytest.mark.parametrize("distance", DISTANCES)
def test_jet_keeps_its_momentum(distance):
    """Exact: 1. What is left is the quadrature's error."""
    assert over_section(distance, 2) == pytest.approx(1.0, rel=1e-6)


def test_axis_speed_decays_as_measured():
    """B of Panchapakesan & Lumley (1993): 6.06, of Hussein, Capp & George (1994): 5.8; measurements differ by 8 %."""
    slope = axis_speed(80.0, 1.0, 1.0) * 80.0
    assert slope == pytest.approx(6.06, rel=0.08)
    assert slope == pytest.approx(5.8, rel=0.08)


def test_axis_speed_has_no_step_at_the_end_of_the_core():
    end = core_length(0.03)
    assert axis_speed(end * (1 + 1e-9), 0.03, 2.0) == pytest.approx(2.0, rel=1e-8)
    assert edge_width(end * (1 - 1e-9), 0.03) == pytest.approx(half_width(end), rel=1e-8)


def test_core_begins_as_wide_as_the_bore():
    """Exact: at the outlet all water has the full speed, halfway down the core that within half of it."""
    assert core_radius(0.0, 0.03) == pytest.approx(0.015, rel=1e-12)
    assert core_radius(core_length(0.03) / 2, 0.03) == pytest.approx(0.0075, rel=1e-12)


def test_core_is_as_long_as_published():
    """Albertson et al. (1950): 6.2 bores, from memory; textbooks give 4 to 7."""
    assert core_length(1.0) == pytest.approx(6.2, rel=0.05)


def test_entrainment_is_as_measured():
    """Ricou & Spalding (1961): slope 0.32; others 0.28 to 0.35."""
    assert over_section(20.0, 1) / 20.0 == pytest.approx(0.32, abs=0.03)


def test_profile_is_as_measured(published):
    """The band holds the curves of Panchapakesan & Lumley (1993) and Hussein, Capp & George (1994)."""
    for row in published("round_jet_profile.csv"):
        eta = float(row["eta"])
        share = mean_speed(40.0, 40.0 * eta, 1.0, 1.0) / axis_speed(40.0, 1.0, 1.0)
        assert float(row["low"]) <= share <= float(row["high"]), eta


def test_jet_far_from_a_wide_bore():
    """By hand: 40 mm at 3 m/s; after 2 m 6.13 x 0.04 x 3/2 = 0.37 m/s, half of it 0.19 m aside, 16 times the flow."""
    assert axis_speed(2.0, 0.04, 3.0) == pytest.approx(0.37, abs=0.005)
    assert half_width(2.0) == pytest.approx(0.19, abs=0.005)
    assert over_section(2.0 / 0.04, 1) == pytest.approx(16, abs=0.5)


def test_jet_is_turned_by_the_momentum_that_it_takes_in():
    """What its profile takes in over 40 bores of 20 mm, over what it has; exact, but for the quadrature's error."""
    taken = (over_section(80.0, 1) - over_section(40.0, 1)) / (40 * 0.02) * 0.3  # U₀ and the outlet's area left out
    assert turning(0.3, 0.02, 1.5) == pytest.approx(taken / 1.5, rel=1e-6)


@pytest.mark.parametrize("distance", [0.0, 0.1, 2.0])
@pytest.mark.parametrize("smear", [0.0, 0.01, 0.05])
def test_smeared_jet_keeps_its_momentum(distance, smear):
    """Exact: that of an outlet of 20 mm at 1.5 m/s. What is left is the quadrature's error."""

    def ring(radius):
        return 2 * pi * radius * smeared_speed(distance, radius, 0.02, 1.5, smear) ** 2

    found = quad(ring, 0, 8 * (0.02 + 0.1 * distance + smear))[0]
    assert found == pytest.approx(1.5**2 * pi / 4 * 0.02**2, rel=1e-6)


def test_jet_that_nothing_smears_is_the_jet():
    """Beyond its core, on the axis and off it; exact."""
    for radius in (0.0, 0.05, 0.2):
        assert smeared_speed(2.0, radius, 0.02, 1.5, 0.0) == pytest.approx(mean_speed(2.0, radius, 0.02, 1.5))


def test_what_smears_a_jet_adds_to_its_width_as_scatters_do():
    """Half of the axis's speed at the root of the squares' sum, 0.3 m by half_width and 0.4 m by the cells: 0.5 m."""
    distance = 0.3 / half_width(1.0)
    round_one = [smeared_speed(distance, radius, 0.02, 1.5, 0.4) for radius in (0.0, 0.5)]
    flat_one = [smeared_flat_speed(distance, 0.0, across, 1.0, 0.01, 1.5, 0.4) for across in (0.0, 0.5)]
    assert round_one[1] / round_one[0] == pytest.approx(0.5, rel=1e-12)
    assert flat_one[1] / flat_one[0] == pytest.approx(0.5, rel=1e-12)


@pytest.mark.parametrize("off", [(0.0, 0.0), (0.0, 1.0), (1.0, 0.0)])
def test_smeared_flat_jet_is_the_smeared_round_one_of_its_area_where_both_are_wide(off):
    """A slot of 40 mm by 10 mm, seen 0.9 m wide; its length is left out in the round one: (0.04/0.9)² of the speed."""
    bore = sqrt(4 * 0.04 * 0.01 / pi)
    found = smeared_flat_speed(5.0, *off, 0.04, 0.01, 1.5, 0.8)
    assert found == pytest.approx(smeared_speed(5.0, max(off), bore, 1.5, 0.8), rel=2e-3)


@pytest.mark.parametrize("distance", [0.0, 0.2, 2.0, 20.0])
@pytest.mark.parametrize("smear", [0.01, 0.05])
def test_smeared_flat_jet_keeps_its_momentum(distance, smear):
    """Exact: that of the slot. What is left is the quadrature's error."""
    out = 6 * (0.1 * distance + smear)

    def square(across, along):
        return smeared_flat_speed(distance, along, across, 1.0, 0.01, 1.0, smear) ** 2

    found = sum(dblquad(square, *ends, 0, out)[0] for ends in ((0, 0.5), (0.5, 0.5 + out)))
    assert 4 * found == pytest.approx(0.01, rel=1e-6)


@pytest.mark.parametrize("heights", [10, 20, 40])
def test_flat_jet_decays_as_a_plane_one_at_first(heights):
    """2.28 to 2.5: Albertson et al. (1950), Fischer et al. (1979), Rajaratnam (1976), from memory; 10 % for a spread
    that is that of round jets.
    """
    assert smeared_flat_speed(heights, 0.0, 0.0, 100.0, 1.0, 1.0, 0.0) * sqrt(heights) == pytest.approx(2.4, rel=0.1)


def test_flat_jet_is_the_round_one_of_its_area_far_away():
    """On the axis and off it; within 1 %, the slot being 0.05 of what is seen."""
    found = [smeared_flat_speed(200.0, *off, 4.0, 1.0, 1.0, 0.0) for off in ((0.0, 0.0), (0.0, 15.0), (15.0, 0.0))]
    bore = sqrt(4 * 4.0 / pi)
    assert found == pytest.approx([mean_speed(200.0, radius, bore, 1.0) for radius in (0.0, 15.0, 15.0)], rel=0.01)
