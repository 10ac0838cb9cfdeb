"""A jet out of a bore of several cells, as large returns are in a fine run: its core, and what it has come to beyond.

Straight lines from 10 bores on, as in test_free_jet.py, would tell where such a jet's core ends more than how it fares
beyond: each figure is asked for at one place.
"""

from dataclasses import dataclass
from math import pi

import numpy as np
import pytest

from flowviz.formulas.jets import DECAY, SPREAD

MARCHES = {2.0: 4, 3.0: 2}  # by bore in cells
AROUND = np.linspace(0, 2 * pi, 24, endpoint=False)
FAR = 25  # bores; the water goes back round such a jet in a tank 20 bores wide
RETURN = 1 + 16 / (pi * DECAY**2) * FAR**2 * (pi / 4) / 20**2  # momentum over what is left: Hussein, Capp & George 1994


@dataclass(frozen=True)
class Across:
    """Mean speeds over the outlet's on rings round the axis of a jet, at one distance."""

    radii: np.ndarray  # [bores]
    speeds: np.ndarray  # [-]

    @property
    def half_width(self) -> float:
        """Radius where the speed is half of that on the axis [bores]."""
        below = np.argmax(self.speeds < self.speeds[0] / 2)
        pair = slice(below - 1, below + 1)
        return float(np.interp(-self.speeds[0] / 2, -self.speeds[pair], self.radii[pair]))

    @property
    def flow(self) -> float:
        """Within 2.5 half-widths, over the outlet's [-]."""
        inner = self.radii <= 2.5 * self.half_width
        return float(8 * np.trapezoid((self.speeds * self.radii)[inner], self.radii[inner]))


@pytest.fixture(scope="module", params=list(MARCHES))
def across(request, tank, marched, mean):
    """Looks across the mean of all marches at a distance [bores]."""
    bore = request.param
    wide = 4 * round(5 * bore)
    middle = wide / 2 + 0.5
    jet = mean(marched(tank(bore, (4 * round(8 * bore), wide, wide), (0, middle, middle)), 150, 600, MARCHES[bore]))

    def at(distance: float) -> Across:
        radii = np.linspace(0, 0.3 * distance, 61)
        ring = np.stack([np.zeros(24), np.cos(AROUND), np.sin(AROUND)], axis=-1)
        points = jet.tank.start + jet.tank.bore * (distance * jet.tank.direction + radii[:, None, None] * ring)
        return Across(radii, jet.along(points, jet.tank.direction).mean(axis=-1))

    return at


@pytest.mark.slow
def test_speed_in_the_core(across):
    """U0, exactly, at 3 bores; 10 % for us, since a bore of 2 cells has an edge of half its width."""
    assert across(3).speeds[0] == pytest.approx(1, rel=0.1)


@pytest.mark.slow
def test_core(across):
    """U0 holds for 4 to 7 bores (Albertson et al. 1950 and others, from memory), so that at 10 it is 0.4 to 0.7 U0.

    10 % for us. Reached: 0.71 with 1.8 cells, 0.74 with 2, 0.75 with 3.
    """
    assert 0.9 * 0.4 < across(10).speeds[0] < 1.1 * 0.7


@pytest.mark.slow
def test_speed_beyond(across):
    """As test_speed_far_from_the_outlet in test_free_jet.py, by the same bounds."""
    assert 5.2 < FAR * across(FAR).speeds[0] * RETURN**0.5 < 8.3


@pytest.mark.slow
def test_half_width_beyond(across):
    """S (x - x0), S 0.094 to 0.102, x0 0 to 4 bores, from the same sources: 1.97 to 2.55 bores; 10 % for us."""
    assert 0.9 * 1.97 < across(FAR).half_width < 1.1 * 2.55


@pytest.mark.slow
def test_flow_beyond(across):
    """0.32 a bore: F. P. Ricou & D. B. Spalding, J. Fluid Mech. 11 (1961) 21-32; within 20 %, as what counts as jet."""
    assert across(FAR).flow * RETURN**0.5 == pytest.approx(0.32 * FAR, rel=0.2)


def test_shape_of_the_law():
    """What the figures above are taken by, on the published profile itself: exact but for the rings' steps."""
    radii = np.linspace(0, 0.3 * FAR, 61)
    law = Across(radii, DECAY / FAR * np.exp(-np.log(2) * (radii / (SPREAD * FAR)) ** 2))
    assert law.half_width == pytest.approx(SPREAD * FAR, rel=1e-3)
    assert law.flow == pytest.approx(2 / DECAY * FAR, rel=0.02)
