"""Density, viscosity, vapour pressure and heat capacity of water against published values."""

import csv
from pathlib import Path

import gsw
import pytest

from flowviz.formulas import water

SEAWATER = Path(__file__).parents[1] / "published" / "seawater.csv"
LINES = [line for line in SEAWATER.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
ROWS = [{name: float(value) for name, value in row.items()} for row in csv.DictReader(LINES)]
GRAMS = 35.16504 / 35  # of salt in a kilogram of seawater for each unit of practical salinity (TEOS-10)


@pytest.mark.parametrize(
    ("practical", "t68", "printed"),
    [(0, 5, 999.96675), (0, 25, 997.04796), (35, 5, 1027.67547), (35, 25, 1023.34306)],
)
def test_density_meets_the_check_values_of_the_standard(practical, t68, printed):
    """Fofonoff and Millard, UNESCO technical papers in marine science 44 (1983) 19: printed to 1e-5."""
    assert water.density(t68 / 1.00024, practical * GRAMS) == pytest.approx(printed, abs=1e-5)


@pytest.mark.parametrize("salinity", [0, 10, 35, 42])
@pytest.mark.parametrize("temperature", [0, 10, 18, 25, 32, 40])
def test_density_and_heat_capacity_agree_with_teos_10(temperature, salinity):
    """IOC, SCOR and IAPSO (2010) by the gsw library; the density's tolerance is the distance of EOS-80 from it."""
    assert water.density(temperature, salinity) == pytest.approx(gsw.rho_t_exact(salinity, temperature, 0), abs=0.01)
    assert water.heat_capacity(temperature, salinity) == pytest.approx(
        gsw.cp_t_exact(salinity, temperature, 0), rel=1e-12
    )


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['temperature']:g} degC")
def test_published_table(row):
    """tests/published/seawater.csv: to its last digit, and as near to the independent forms as the authors claim."""
    place = (row["temperature"], row["salinity"])
    assert water.density(*place) == pytest.approx(row["density_eos80"], abs=6e-5)  # printed to 1e-4
    assert 1e3 * water.viscosity(*place) == pytest.approx(row["viscosity_sharqawy"], abs=6e-6)  # printed to 1e-5
    assert 1e3 * water.viscosity(*place) == pytest.approx(
        row["viscosity_millero"], rel=0.015
    )  # Sharqawy's own accuracy
    assert water.vapour_pressure(*place) == pytest.approx(row["vapour_sharqawy"], abs=0.06)  # printed to 0.1
    assert water.vapour_pressure(*place) == pytest.approx(
        row["vapour_weiss_price"], rel=0.001
    )  # distance of the two forms


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['temperature']:g} degC")
def test_fresh_water_is_salinity_zero(row):
    """tests/published/seawater.csv, to its last digit."""
    assert 1e3 * water.viscosity(row["temperature"], 0) == pytest.approx(row["viscosity_fresh"], abs=6e-6)
    assert water.vapour_pressure(row["temperature"], 0) == pytest.approx(row["vapour_fresh"], abs=0.06)


def test_kinematic_viscosity_of_seawater():
    """Sharqawy et al. (2010) over EOS-80 at 25 °C: 0.959185e-3/1023.3412, the quotient taken here."""
    assert water.kinematic_viscosity(25, 35.16504) == pytest.approx(0.959185e-3 / 1023.3412, rel=1e-6)


def test_fresh_water_boils_at_one_atmosphere():
    """At 99.974 °C: H. Preston-Thomas, Metrologia 27 (1990) 3-10; the tolerance is that of Hyland and Wexler."""
    assert water.vapour_pressure(99.974, 0) == pytest.approx(101_325, rel=1e-3)


@pytest.mark.parametrize(
    ("temperature", "fresh", "salt"),
    [
        (0, (999.8, 1.787), (1028.0, 1.828)),
        (10, (999.6, 1.306), (1026.9, 1.354)),
        (20, (998.1, 1.004), (1024.7, 1.054)),
        (30, (995.6, 0.801), (1021.7, 0.849)),
    ],
)
def test_naval_architects_water(temperature, fresh, salt):
    """E. C. Tupper, Introduction to Naval Architecture, table 5.1, salinity 3.5 %: density to 0.1 kg/m³, viscosity to
    0.001 mm²/s. Its fresh water is up to 0.13 kg/m³ off the standard's; the viscosity's tolerance is Sharqawy's.
    """
    for salinity, (density, viscosity) in ((0, fresh), (35, salt)):
        assert water.density(temperature, salinity) == pytest.approx(density, abs=0.2)
        assert 1e6 * water.kinematic_viscosity(temperature, salinity) == pytest.approx(viscosity, rel=0.015)
