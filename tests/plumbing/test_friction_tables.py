"""The program's pipe against printed friction tables, within the spread that separates them from Colebrook."""

import pytest

from flowviz.formulas.pipes import reynolds_number
from flowviz.plumbing.laws import PipeLaw

INCH, FOOT, GPM = 0.0254, 0.3048, 6.30901964e-5
WATER_60_F = 1.1215e-6  # kinematic viscosity [m²/s], W. Wagner, A. Pruß (2002)
SPREAD = (  # up to Re: Colebrook over Hazen-Williams with C = 150, which the tables are, least and most
    (1e4, 1.19, 1.30),
    (2e4, 1.10, 1.18),
    (4e4, 1.04, 1.10),
    (7e4, 1.00, 1.04),
    (1.2e5, 0.98, 1.01),
    (1e7, 0.94, 0.97),
)
ROUNDING = 0.04  # of the printed losses


def test_printed_tables(published):
    """A smooth pipe loses more than Hazen-Williams with C = 150 at low Re and less at high Re; the print is rounded.

    Losses below 0.5 ft have one digit; those rows are left out.
    """
    for row in published("pvc_friction_tables.csv"):
        if float(row["loss"]) < 0.5:
            continue
        diameter, flow = float(row["inside"]) * INCH, float(row["flow"]) * GPM
        loss = PipeLaw(diameter, 100 * FOOT, 0.0, WATER_60_F, 0.0, 0.0).friction(flow)[0] / FOOT
        reynolds = reynolds_number(flow, diameter, WATER_60_F)
        low, high = next((low, high) for end, low, high in SPREAD if reynolds <= end)
        assert low - ROUNDING <= loss / float(row["loss"]) <= high + ROUNDING, row


def test_a_worked_example():
    """Scilab text book companion 3942, example 8.3: 2 in, 0.2 ft³/s, 200 ft, 60 °F, ε/D 4.2e-5: 27.3 ft of head."""
    pipe = PipeLaw(2 * INCH, 200 * FOOT, 4.2e-5 * 2 * INCH, 4 * 0.2 * FOOT**3 / (3.14159 * 2 * INCH * 126432), 0.0, 0.0)
    assert pipe.friction(0.2 * FOOT**3)[0] == pytest.approx(27.3 * FOOT, rel=5e-3)  # the book reads f as 0.0174


@pytest.mark.parametrize("flow", [0.0, 1e-9, 1e-6, 2e-5, 1e-4, 1e-3, -1e-3])
def test_slope_is_the_derivative_of_the_loss(flow):
    """Against a central difference, whose error is its step squared."""
    pipe = PipeLaw(0.03, 2.0, 1.5e-6, 1e-6, 1.5, 2.5)
    step = max(abs(flow) * 1e-5, 1e-12)
    difference = (pipe.loss(flow + step)[0] - pipe.loss(flow - step)[0]) / (2 * step)
    assert pipe.loss(flow)[1] == pytest.approx(difference, rel=1e-5)
