"""Losses of tees against an independent coding of the same authors, and printed worked examples."""

import pytest
from fluids.fittings import (
    K_branch_converging_Crane,
    K_branch_diverging_Crane,
    K_run_converging_Crane,
    K_run_diverging_Crane,
)

from flowviz.formulas.tees import combining_branch, combining_run, dividing_branch, dividing_run, meeting, splitting

SHARES = [0.0, 0.1, 0.3, 0.5, 0.52, 0.7, 0.9, 1.0]
AREAS = [0.25, 0.4, 0.42, 0.5, 1.0]
GARDEL_DIVIDING_BRANCH = {0.2: 0.788, 0.5: 0.7625, 0.8: 0.998, 1.0: 1.3}  # A. Gardel (1957), equal legs, from memory


def crane(formula, share, area):
    """A formula of the fluids library at a share of the flow and a ratio of areas, at right angles."""
    return formula(D_run=1.0, D_branch=area**0.5, Q_run=1.0 - share, Q_branch=share, angle=90)


@pytest.mark.parametrize("area", AREAS)
@pytest.mark.parametrize("share", SHARES)
def test_run_and_combining_branch_are_cranes(share, area):
    """Crane Co., Technical Paper 410 (2009), as the fluids library codes it; the same formulas, so to rounding."""
    assert dividing_run(share, area) == pytest.approx(crane(K_run_diverging_Crane, share, area), abs=1e-12)
    assert combining_branch(share, area) == pytest.approx(crane(K_branch_converging_Crane, share, area), abs=1e-12)
    assert combining_run(share) == pytest.approx(crane(K_run_converging_Crane, share, area), abs=1e-12)


def test_printed_combining_tee():
    """Crane Co., Technical Paper 410, example 7-35: 300 gpm along the run, 100 gpm from the branch.

    The book rounds the velocities: -0.0403 for -0.0422.
    """
    assert combining_branch(0.25, 1.0) == pytest.approx(-0.0403, abs=0.002)
    assert combining_run(0.25) == pytest.approx(0.325, abs=5e-4)


@pytest.mark.parametrize("area", [0.25, 0.44, 0.45, 0.5])
@pytest.mark.parametrize("share", SHARES)
def test_dividing_branch_narrower_than_the_run_is_cranes(share, area):
    """As the test above. Of equal legs that library makes (1 + 0.3 q²)², 1.69 at q = 1; no author is that high."""
    assert dividing_branch(share, area) == pytest.approx(crane(K_branch_diverging_Crane, share, area), abs=1e-12)


@pytest.mark.parametrize(("share", "other"), GARDEL_DIVIDING_BRANCH.items())
def test_dividing_branch_lies_in_the_band_of_the_authors(share, other):
    """The authors differ by 30 % here and no print was seen: a band, not a check."""
    assert dividing_branch(share, 1.0) == pytest.approx(other, rel=0.42)


def test_the_run_of_a_dividing_tee_can_gain_head():
    """-0.072 at q = 0.3, by the formula in the head."""
    assert dividing_run(0.3, 1.0) == pytest.approx(2 * (0.6 - 1) * 0.09)


def test_cases_meet_where_a_leg_comes_to_rest():
    """One end of the run at rest: all turns. Published cases differ by 0.2 in K between combining and splitting."""
    assert meeting(1.0, 1.0, 1.0) == pytest.approx(combining_branch(1.0, 1.0))
    assert splitting(1.0, 1.0) == pytest.approx(dividing_branch(1.0, 1.0))


def test_splitting_costs_more_the_faster_the_end():
    """K = 1 + 0.3 (w/w_c)², an end that takes half of the flow through the same or half of the area: by hand."""
    assert splitting(0.5, 1.0) == pytest.approx(1.075)
    assert splitting(0.5, 0.5) == pytest.approx(1.3)


@pytest.mark.parametrize("area", [0.36, 0.6, 1.0])
@pytest.mark.parametrize("share", SHARES)
def test_ends_of_one_area_meet_as_printed(share, area):
    """I. E. Idelchik, Handbook of Hydraulic Resistance (2006), diagram 7-29, as a public library of flow resistances
    codes it, K = A [1 + a⁻² + 3 a⁻² (q² - q)]; A of table 7-1: 0.9 (1 - q) up to q = 0.4, then 0.55.
    """
    constant = 0.9 * (1 - share) if share < 0.4 else 0.55
    printed = constant * (1 + area**-2 + 3 * area**-2 * (share**2 - share))
    assert meeting(share, area, area) == pytest.approx(printed, rel=1e-12)


def test_a_narrow_end_feels_what_the_stream_from_the_wide_end_brings():
    """At rest a wall before that stream, whatever its own bore: no more than its head and that in the branch."""
    assert meeting(0.0, 0.05, 0.5) == pytest.approx(1 + 0.5**-2)
    assert meeting(0.0, 0.05, 0.5) == meeting(0.0, 0.01, 0.5)
