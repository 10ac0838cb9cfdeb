"""Pressure of the air against the printed standard atmosphere."""

import pytest

from flowviz.formulas.atmosphere import air_pressure


def test_printed_standard_atmosphere(published):
    """COESA (1976), printed to four digits; the formula claims 0.02 %, the print's last digit is another 0.06 %."""
    for row in published("standard_atmosphere.csv"):
        assert air_pressure(float(row["altitude"])) == pytest.approx(1000 * float(row["pressure"]), rel=6e-4)
