"""A jet along the grid in a large tank, by the law of free jets."""

import numpy as np
import pytest

from flowviz.formulas.jets import SPREAD

MISSED = {  # by bore in cells
    0.6: "0.22 reached: near its outlet such a jet is wider than its law, and draws in less water from there on",
    1.4: "0.35 to 0.37 reached: the fringe is a tenth too wide",
}


@pytest.fixture(scope="module", params=[0.6, 1.0, 1.4])
def jet(request, tank, marched):
    """Bore in cells; marched for long enough to know the constants to some 5 %.

    The narrowest is what coarse and sketch have to march: fine cells are never wider than a bore.
    """
    bore = request.param
    wide = max(24, 4 * round(7.5 * bore))
    middle = wide / 2 + 0.5
    return marched(tank(bore, (4 * round(11.5 * bore), wide, wide), (0, middle, middle)), 200, 1200)


@pytest.mark.slow
def test_decay(jet, law):
    """Published B 5.8 to 6.3 (Panchapakesan & Lumley 1993; Hussein, Capp & George 1994); a tenth for our average.

    Reached: 6.1, 5.9 and 5.7 for bores of 0.6, 1 and 1.4 cells.
    """
    assert 5.5 <= law(jet, np.zeros(1)).decay <= 6.6


@pytest.mark.slow
def test_growth(jet, law):
    """Published half-width slope 0.094 to 0.102 (as above), and what an average of this length leaves open."""
    assert 0.088 <= law(jet, np.zeros(1)).growth <= 0.105


@pytest.mark.slow
def test_entrainment(jet, law, request):
    """0.32 a bore: F. P. Ricou & D. B. Spalding, J. Fluid Mech. 11 (1961) 21-32; a tenth for our average."""
    short = MISSED.get(round(jet.tank.bore / jet.tank.grid.spacing[0], 1))
    if short:
        request.applymarker(pytest.mark.xfail(strict=True, reason=short))
    assert 0.28 <= law(jet, np.zeros(1)).entrainment <= 0.35


@pytest.mark.slow
def test_momentum_is_handed_on(jet):
    """Momentum and pressure over cross-sections are the same from 10 to 40 bores: within 5 %; exact without walls."""
    first, last = (int(bores * jet.tank.bore / jet.tank.grid.spacing[0]) for bores in (10, 40))
    assert np.ptp(jet.momentum[first:last]) < 0.05


@pytest.mark.slow
def test_profile(jet, law, published):
    """Scaled to the half-width; 0.05 of the axis speed beyond the published band, for cells as wide as the jet."""
    rows = published("round_jet_profile.csv")
    eta, low, high = (np.array([float(row[name]) for row in rows]) for name in ("eta", "low", "high"))
    profile = law(jet, eta / SPREAD).profile
    assert (profile > low - 0.05).all()
    assert (profile < high + 0.05).all()
