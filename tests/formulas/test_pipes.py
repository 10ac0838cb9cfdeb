"""Friction in pipes against the equation itself, other authors' forms and printed examples."""

from math import log10, pi, sqrt

import pytest
from fluids.friction import Churchill_1977, Colebrook
from hypothesis import example, given
from hypothesis import strategies as st

from flowviz.formulas.pipes import (
    friction,
    laminar_friction_factor,
    reynolds_number,
    turbulent_friction_factor,
    turbulent_friction_slope,
)

ROUGH = [0.0, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 0.05]
ANY = st.floats(10, 1e7) | st.floats(1900, 4200)  # numbers up to 1e7 seldom meet the transition
TURBULENT = [4e3, 1e4, 1e5, 1e6, 1e8]


@pytest.mark.parametrize("roughness", ROUGH)
@pytest.mark.parametrize("reynolds", TURBULENT)
def test_colebrook_satisfies_its_own_equation(reynolds, roughness):
    """C. F. Colebrook, J. Inst. Civ. Eng. 11 (1939) 133-156; rounding grows with the slope of the logarithm."""
    x = 1 / sqrt(turbulent_friction_factor(reynolds, roughness))
    assert x == pytest.approx(-2 * log10(roughness / 3.7 + 2.51 * x / reynolds), rel=1e-12)


@pytest.mark.parametrize("roughness", ROUGH)
@pytest.mark.parametrize("reynolds", TURBULENT)
def test_colebrook_agrees_with_an_independent_solution(reynolds, roughness):
    """Colebrook by Lambert's W function in the fluids library."""
    assert turbulent_friction_factor(reynolds, roughness) == pytest.approx(Colebrook(reynolds, roughness), rel=1e-9)


@pytest.mark.parametrize(
    ("reynolds", "roughness", "printed", "spread"),
    [
        (248624.7, 3.0e-4, 0.0173031, 5e-4),  # R package hydraulics, README: its own solver stops early
        (100600, 0.0, 0.0179, 5e-3),  # Crane Co., TP-410, example 7-1: read off a chart
        (126432, 4.2e-5, 0.0174, 3e-3),  # Scilab text book companion 3942, example 8.3: three digits
    ],
)
def test_printed_friction_factors(reynolds, roughness, printed, spread):
    assert turbulent_friction_factor(reynolds, roughness) == pytest.approx(printed, rel=spread)


@pytest.mark.parametrize("roughness", [0.0, 1e-5, 1e-4, 1e-3])
@pytest.mark.parametrize(
    ("reynolds", "spread"),
    [(100, 1e-6), (1000, 1e-5), (1900, 2e-3), (1e4, 0.01), (1e5, 0.01), (1e6, 0.01)],
)
def test_churchill_agrees_within_its_accuracy(reynolds, spread, roughness):
    """S. W. Churchill, Chem. Eng. 84 (24) (1977) 91, one formula for all Re, by the fluids library.

    Its own distance from the laws that it joins: nothing in laminar flow until the transition begins, 1 % from Re 1e4
    on.
    """
    assert friction(reynolds, roughness)[0] == pytest.approx(Churchill_1977(reynolds, roughness), rel=spread)


@given(ANY, st.sampled_from(ROUGH))
@example(2000.0, 0.0)
@example(4000.0, 0.0)
@example(4000.0, 0.05)
def test_friction_has_neither_jump_nor_kink(reynolds, roughness):
    """Value and slope on both sides of any point: the tolerance is the curvature over the step."""
    below, above = friction(reynolds * (1 - 1e-7), roughness), friction(reynolds * (1 + 1e-7), roughness)
    assert above[0] == pytest.approx(below[0], rel=1e-6)
    assert above[1] == pytest.approx(below[1], abs=1e-5)


@given(ANY, st.sampled_from(ROUGH))
def test_slope_is_the_derivative(reynolds, roughness):
    """Against a central difference, whose error is its step squared."""
    step = 1e-5
    below, above = friction(reynolds * (1 - step), roughness)[0], friction(reynolds * (1 + step), roughness)[0]
    factor, slope = friction(reynolds, roughness)
    assert slope == pytest.approx((above - below) / (2 * step * factor), abs=1e-4)


def test_laminar_friction():
    """64/Re, with the slope of a power of -1."""
    assert laminar_friction_factor(1600) == 0.04
    assert friction(1600, 0.01) == (0.04, -1.0)


@pytest.mark.parametrize("roughness", [0.0, 1e-3])
def test_laws_end_where_they_are_printed_to(roughness):
    """EPANET 2 Users Manual (2000), chapter 3: laminar below Re = 2000, turbulent above 4000, neither between."""
    assert friction(1990, roughness)[0] == 64 / 1990
    assert friction(2100, roughness)[0] > 1.001 * 64 / 2100
    assert friction(3900, roughness)[0] < 0.9999 * turbulent_friction_factor(3900, roughness)
    assert friction(4050, roughness)[0] == turbulent_friction_factor(4050, roughness)


def test_turbulent_slope_goes_to_nothing_in_rough_pipes_and_to_that_of_blasius_in_smooth_ones():
    """f ∝ Re^-¼ (H. Blasius, 1913) holds of smooth pipes from Re of 4e3 to 1e5; Colebrook's slope passes through it."""
    rough = turbulent_friction_factor(1e8, 0.05)
    assert turbulent_friction_slope(1e8, 0.05, rough) == pytest.approx(0.0, abs=1e-5)
    start, end = (turbulent_friction_slope(Re, 0.0, turbulent_friction_factor(Re, 0.0)) for Re in (4e3, 1e5))
    assert start < -0.25 < end < -0.15


def test_reynolds_number_by_its_definition():
    """Re = V D/ν with V = Q/A, a sum done here."""
    flow, diameter, viscosity = 1e-3, 0.05, 1e-6
    assert reynolds_number(-flow, diameter, viscosity) == pytest.approx(
        flow / (pi / 4 * diameter**2) * diameter / viscosity
    )
