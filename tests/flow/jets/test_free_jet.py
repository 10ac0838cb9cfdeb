"""A jet along the grid in a large tank, by the law of free jets.

A jet wanders, and one average of twenty seconds tells its constants to some 10 %. So each bore is marched several times
with disturbances of their own: the law is read from the mean of all, and twice the standard error that their scatter
leaves is allowed for, which is our average's error and no other's.
"""

from dataclasses import dataclass

import numpy as np
import pytest

from flowviz.formulas.jets import SPREAD

MARCHES = {0.6: 12, 1.0: 6, 1.4: 4}  # by bore in cells


@dataclass(frozen=True)
class Jets:
    """Marches of one tank, each by itself and all together."""

    each: list
    together: object

    @property
    def coarse(self) -> bool:
        """Whether the bore is what coarse fields march: fine cells are rarely wider than one."""
        return self.together.tank.bore < 0.99 * self.together.tank.grid.spacing[0]


@pytest.fixture(scope="module", params=list(MARCHES))
def jets(request, tank, marched, mean):
    bore = request.param
    wide = max(24, 4 * round(7.5 * bore))
    middle = wide / 2 + 0.5
    each = marched(tank(bore, (4 * round(11.5 * bore), wide, wide), (0, middle, middle)), 200, 1200, MARCHES[bore])
    return Jets(each, mean(each))


def reach(jets, law, figure: str) -> tuple[float, float]:
    """A figure of the law, less and more twice its standard error."""
    one = [getattr(law(jet, np.zeros(1)), figure) for jet in jets.each]
    value, error = getattr(law(jets.together, np.zeros(1)), figure), np.std(one, ddof=1) / len(one) ** 0.5
    return value - 2 * error, value + 2 * error


@pytest.mark.slow
def test_decay(jets, law):
    """Published B 5.8 to 6.3 (Panchapakesan & Lumley 1993; Hussein, Capp & George 1994).

    Asked: 5.5 to 6.6, of coarse fields 5.2 to 7.0. Reached: 6.4, 6.1 and 5.6 for bores of 0.6, 1 and 1.4 cells.
    """
    low, high = reach(jets, law, "decay")
    assert low <= (7.0 if jets.coarse else 6.6)
    assert high >= (5.2 if jets.coarse else 5.5)


@pytest.mark.slow
def test_speed_far_from_the_outlet(jets):
    """U/U0 = B d/(x - x0), B 5.8 to 6.3 and x0 0 to 4 d, from 25 to 40 bores: x U/(U0 d) is 5.8 to 7.5; 10 % for us."""
    places = np.arange(25, 41, 5)
    tank = jets.together.tank
    speed = jets.together.along(tank.start + tank.bore * places[:, None] * tank.direction, tank.direction)
    assert (speed * places > 5.2).all()
    assert (speed * places < 8.3).all()


@pytest.mark.slow
def test_growth(jets, law):
    """Published half-width slope 0.094 to 0.102 (as above).

    Asked: 0.088 to 0.105, of coarse fields 0.08 to 0.12. Reached: 0.082, 0.094 and 0.103.
    """
    low, high = reach(jets, law, "growth")
    assert low <= (0.12 if jets.coarse else 0.105)
    assert high >= (0.08 if jets.coarse else 0.088)


@pytest.mark.slow
def test_entrainment(jets, law, request):
    """0.32 a bore: F. P. Ricou & D. B. Spalding, J. Fluid Mech. 11 (1961) 21-32. Reached: 0.25, 0.28 and 0.35."""
    if jets.coarse:
        request.applymarker(pytest.mark.xfail(strict=True, reason="0.25 reached: far on it takes in too little"))
    low, high = reach(jets, law, "entrainment")
    assert low <= 0.35
    assert high >= 0.28


@pytest.mark.slow
def test_momentum_is_handed_on(jets):
    """Momentum and pressure over cross-sections are the same from 10 to 40 bores: within 5 %; exact without walls."""
    tank = jets.together.tank
    first, last = (int(bores * tank.bore / tank.grid.spacing[0]) for bores in (10, 40))
    assert np.ptp(jets.together.momentum[first:last]) < 0.05


@pytest.mark.slow
def test_profile(jets, law, published):
    """Scaled to the half-width; 0.05 of the axis speed beyond the published band, for cells as wide as the jet."""
    rows = published("round_jet_profile.csv")
    eta, low, high = (np.array([float(row[name]) for row in rows]) for name in ("eta", "low", "high"))
    profile = law(jets.together, eta / SPREAD).profile
    assert (profile > low - 0.05).all()
    assert (profile < high + 0.05).all()
