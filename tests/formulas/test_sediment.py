"""Threshold of motion and stress on the bed against worked tables and the laws themselves."""

from decimal import Decimal, getcontext
from math import log, sqrt

import pytest

from flowviz.formulas.sediment import (
    ARAGONITE,
    QUARTZ,
    dimensionless_grain,
    rough_friction_velocity,
    rough_speed,
    smooth_friction_velocity,
    smooth_speed,
    threshold_shields,
    threshold_stress,
)
from flowviz.formulas.water import density, kinematic_viscosity

WATER, VISCOSITY = 1023.3, 0.937e-6  # of the worked table


def doubt(printed: str) -> float:
    """How far a value may be from its printed form: half a unit in the last place, and 0.04 % for g of 9.80665 m/s²."""
    return 10.0 ** -len(printed.partition(".")[2]) / 2 + 4e-4 * float(printed)


def test_threshold_against_the_worked_table(published):
    """To a thousandth where it is printed with four digits; else to half a unit in the last place."""
    for row in published("sand_threshold.csv"):
        grain, density = float(row["grain"]) / 1000, float(row["density"])
        D = dimensionless_grain(grain, density / WATER, VISCOSITY)
        stress = threshold_stress(grain, density, WATER, VISCOSITY)
        friction = sqrt(stress / WATER)
        found = (D, threshold_shields(D), stress, friction, rough_speed(friction, 0.05, grain))
        for value, name in zip(found, ("D", "theta", "stress", "friction_velocity", "u_5cm"), strict=True):
            assert value == pytest.approx(float(row[name]), abs=doubt(row[name])), (row, name)


def test_threshold_of_one_grain_worked_in_full():
    """1 mm of aragonite by decimal arithmetic of 30 digits from the equations as printed, to a ten-thousandth of them.

    g is 9.80665 m/s² here, and 9.81 in the worked table: 0.03 %.
    """
    getcontext().prec = 30
    d, s, nu = Decimal("0.001"), Decimal("2930") / Decimal("1023.3"), Decimal("0.937e-6")
    D = d * (Decimal("9.80665") * (s - 1) / nu**2) ** (1 / Decimal(3))
    theta = Decimal("0.30") / (1 + Decimal("1.2") * D) + Decimal("0.055") * (1 - (Decimal("-0.020") * D).exp())
    tau = theta * Decimal("9.80665") * (Decimal("2930") - Decimal("1023.3")) * d
    assert threshold_stress(0.001, ARAGONITE, WATER, VISCOSITY) == pytest.approx(float(tau), rel=1e-9)


@pytest.mark.parametrize("height", [0.005, 0.01, 0.05])
@pytest.mark.parametrize("grain", [0.0002, 0.001, 0.004])
def test_log_law_over_grains(height, grain):
    """U = u*/0.40 ln(z/z0) with z0 = d/12, written out here."""
    friction = rough_friction_velocity(0.25, height, grain)
    assert friction / 0.40 * log(height / (grain / 12)) == pytest.approx(0.25, rel=1e-12)
    assert rough_speed(friction, height, grain) == pytest.approx(0.25, rel=1e-12)


@pytest.mark.parametrize("height", [0.005, 0.02, 0.1])
@pytest.mark.parametrize("speed", [0.03, 0.1, 0.3, 1.0])
def test_log_law_over_a_smooth_bed(height, speed):
    """U = u*/0.40 ln(z/z0) with z0 = ν/(9 u*), written out here; Newton's method ends at rounding."""
    friction = smooth_friction_velocity(speed, height, VISCOSITY)
    assert friction / 0.40 * log(height * 9 * friction / VISCOSITY) == pytest.approx(speed, rel=1e-12)
    assert smooth_speed(friction, height, VISCOSITY) == pytest.approx(speed, rel=1e-12)


def test_the_viscous_layer_of_a_smooth_bed():
    """τ = μ U/z, hence u* = √(ν U/z), and no jump where the log law takes over: 11.6 against ln(9 × 11.6)/0.40."""
    assert smooth_friction_velocity(0.001, 0.002, VISCOSITY) == pytest.approx(sqrt(VISCOSITY * 0.5), rel=1e-12)
    border = 11.6**2 * VISCOSITY / 0.01  # z+ is 11.6 at 1 cm
    below, above = (smooth_friction_velocity(border * factor, 0.01, VISCOSITY) for factor in (1 - 1e-9, 1 + 1e-9))
    assert above == pytest.approx(below, rel=5e-3)


def test_still_water_does_nothing():
    assert smooth_friction_velocity(0.0, 0.01, VISCOSITY) == 0.0
    assert rough_friction_velocity(0.0, 0.01, 0.001) == 0.0


def test_nearest_to_the_grains_the_current_is_that_at_three_roughness_heights():
    """z0 = d/12 (Soulsby): at a tenth of that height of a grain of 12 mm, and at 3 z0, u* = 0.40 U/ln 3."""
    assert rough_friction_velocity(0.1, 1e-4, 0.012) == pytest.approx(0.04 / log(3), rel=1e-12)
    assert rough_friction_velocity(0.1, 3e-3, 0.012) == pytest.approx(0.04 / log(3), rel=1e-12)


@pytest.mark.parametrize(
    ("stress", "smooth", "sand"), [(0.06, 0.16, 0.12), (0.12, 0.23, 0.17), (0.32, 0.40, 0.28), (0.018, 0.08, 0.07)]
)
def test_currents_that_stir_up_waste(stress, smooth, sand):
    """Thresholds of J. Carvajalino-Fernandez et al. (2020) and C. J. Cromey et al. (2002) as currents at 5 cm.

    Worked by the log law, over a smooth bed and over 1 mm sand, to a centimetre a second.
    """
    friction = sqrt(stress / WATER)
    assert smooth_speed(friction, 0.05, VISCOSITY) == pytest.approx(smooth, abs=0.005)
    assert rough_speed(friction, 0.05, 0.001) == pytest.approx(sand, abs=0.005)


@pytest.mark.parametrize(
    ("grain", "printed"), [(2.0, 1.17), (1.0, 0.48), (0.5, 0.26), (0.25, 0.19), (0.125, 0.15), (0.0625, 0.12)]
)
def test_threshold_of_sands_of_the_sea_floor(grain, printed):
    """U.S. Geological Survey, Sea Floor Stress and Sediment Mobility Database, table 5, after Soulsby (1997) [Pa].

    Printed to 0.01. Their water is not told; that of 10 °C and 35 g/kg is within 4 % of 5 and 15 °C.
    """
    found = threshold_stress(grain / 1000, QUARTZ, density(10, 35), kinematic_viscosity(10, 35))
    assert found == pytest.approx(printed, abs=0.005 + 0.04 * printed)
