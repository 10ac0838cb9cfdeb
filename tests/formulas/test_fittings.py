"""Changes of section and the friction factor that loss coefficients are scaled by, against printed values."""

from math import sqrt

import pytest
from fluids.fittings import contraction_conical_Crane, entrance_distance, entrance_sharp, exit_normal

from flowviz.formulas.fittings import (
    FLUSH_ENTRANCE,
    INWARD_ENTRANCE,
    SUBMERGED_EXIT,
    fully_turbulent_friction_factor,
    rounded_entrance,
    sudden_contraction,
    sudden_expansion,
)

INCH = 0.0254


@pytest.mark.parametrize(
    ("wide", "printed"),
    [(1.1, 0.01), (1.2, 0.04), (1.5, 0.25), (1.7, 0.49), (2.0, 1.00), (3.0, 4.00), (5.0, 16.00), (8.0, 49.0)],
)
def test_sudden_expansion(wide, printed):
    """W. C. Unwin, Hydraulics, Encyclopaedia Britannica 14 (1911), by area ratio, there on the velocity in the
    wide pipe.

    Printed to 0.01.
    """
    assert sudden_expansion(1 / wide) * wide**2 == pytest.approx(printed, abs=0.0051)


@pytest.mark.parametrize(("narrow", "other"), [(0.5, 0.4030), (0.7, 0.3018), (0.9, 0.1439)])
def test_sudden_contraction_lies_among_the_authors(narrow, other):
    """By diameter ratio, against I. E. Idelchik's 0.5 (1 - a)^0.75; authors differ by 10 to 30 % where K is not
    small.
    """
    assert sudden_contraction(narrow**2) == pytest.approx(other, abs=0.05)


@pytest.mark.parametrize("area", [0.1, 0.5, 0.9, 1.0])
def test_sudden_contraction_is_cranes(area):
    """Crane Co., Technical Paper 410, as the fluids library codes it, with a mouth that opens all at once."""
    assert sudden_contraction(area) == pytest.approx(contraction_conical_Crane(1.0, area**0.5, angle=180), abs=1e-12)


@pytest.mark.parametrize(
    ("inside", "printed"),
    [
        (0.622, 0.026),
        (0.824, 0.024),
        (1.049, 0.022),
        (1.380, 0.021),
        (1.610, 0.020),
        (2.067, 0.019),
        (3.068, 0.017),
        (4.026, 0.016),
        (6.065, 0.015),
    ],
)
def test_fully_turbulent_friction_factor(inside, printed):
    """Crane Co., Technical Paper 410 (2009), A-27, by inside diameter of schedule 40 pipe [in] (from memory).

    Printed to 0.001.
    """
    assert fully_turbulent_friction_factor(inside * INCH) == pytest.approx(printed, abs=6e-4)


@pytest.mark.parametrize(
    ("ratio", "printed"), [(0.02, 0.28), (0.04, 0.24), (0.06, 0.15), (0.10, 0.09), (0.15, 0.04), (0.30, 0.04)]
)
def test_rounded_entrance(ratio, printed):
    """Crane Co., Technical Paper 410 (2009), A-30, by radius over diameter; the last is for 0.15 and more."""
    assert rounded_entrance(ratio) == pytest.approx(printed, abs=1e-12)


def test_between_the_printed_entrances():
    """Halfway between 0.24 and 0.15; and a sharp edge is a flush entrance."""
    assert rounded_entrance(0.05) == pytest.approx(0.195, abs=1e-12)
    assert rounded_entrance(0.0) == FLUSH_ENTRANCE


def test_water_that_enters_a_tank_loses_all_its_velocity_head():
    """A pipe that widens without end, by Borda and Carnot: exact; the fluids library has the same."""
    assert SUBMERGED_EXIT == sudden_expansion(0.0) == exit_normal()


def test_sharp_entrances_are_cranes():
    """Crane Co., Technical Paper 410, as the fluids library codes it: flush, and a thin pipe that stands out by its own
    diameter.
    """
    assert entrance_sharp(method="Crane") == pytest.approx(FLUSH_ENTRANCE, abs=1e-12)
    standing = entrance_distance(Di=0.05, t=0.002, l=0.05, method="Crane")
    assert standing == pytest.approx(INWARD_ENTRANCE, abs=1e-12)


def test_an_inward_pipe_that_runs_full_lets_through_what_is_printed():
    """C = 1/√(K + 1): 0.75, at the upper end of the 0.72 to 0.75 of text books (from memory)."""
    coefficient = 1 / sqrt(INWARD_ENTRANCE + 1)
    assert coefficient == pytest.approx(0.75, abs=0.005)
