"""Warming of water against printed examples and a sum."""

import pytest

from flowviz.formulas.heat import rise_in_pump, warming

HORSEPOWER, POUND, FAHRENHEIT = 745.69987, 0.45359237, 5 / 9


@pytest.mark.parametrize(
    ("power", "efficiency", "hourly", "printed"), [(110, 0.28, 6.0, 0.011), (95, 0.15, 2.0, 0.035)]
)
def test_rise_in_a_pump(power, efficiency, hourly, printed):
    """Engineering ToolBox, pumps and temperature increase (d_313), water with 4.2 kJ/(kg K); two digits."""
    assert rise_in_pump(power, efficiency, hourly / 3600, 1000, 4200) == pytest.approx(printed, abs=5e-4)


def test_rise_in_a_large_pump():
    """A printed example of pump heat: 50000 lb/h, 20 hp at the shaft, 70 %: 0.31 °F; two digits."""
    flow = 50000 * POUND / 3600 / 1000
    rise = rise_in_pump(20 * HORSEPOWER, 0.70, flow, 1000, 4186.8)
    assert rise / FAHRENHEIT == pytest.approx(0.31, abs=0.005)


@pytest.mark.parametrize(("volume", "hourly"), [(1.0, 0.2639), (2.5, 0.1056)])
def test_warming_of_a_tank(volume, hourly):
    """300 W into 1000 and 2500 L of seawater of 25 °C, 1023.34 kg/m³ and 3999 J/(kg K), in K an hour, worked out apart:
    1.08 MJ over 4.0923 and 10.2308 MJ/K.
    """
    assert 3600 * warming(300, 1023.34, 3999.0, volume) == pytest.approx(hourly, abs=5e-5)
