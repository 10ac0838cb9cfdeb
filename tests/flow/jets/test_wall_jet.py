"""Jets beside walls: one along the water's surface, which a jet feels as a wall without friction, one onto a wall."""

from math import log, pi, sqrt

import numpy as np
import pytest

from flowviz.flow.solve import solve_flow
from flowviz.formulas.jets import DECAY, SPREAD

BORE = 1.4  # cells
CELL = 0.02  # [m]
X, Y, Z = np.eye(3)

SURFACE = (64, 44, 28), (0, 22.5, 28 - BORE / 2)  # cells of a tank, and where in it a jet leaves along the surface
PLACES = np.arange(10, 40.1, 2.5)  # along the surface [bores]


def over_the_sum(jets: list) -> np.ndarray:
    """Highest speeds along the surface over those of the jet and its image, on average of all (places,) [-].

    That lies half a bore behind the surface; the momenta of both add up: Reichardt's sum, as in test_two_jets.py. Far
    away it is √2 B d/x. The jets' origin is taken as 2 bores. The momentum that the return flow takes is allowed for by
    the formula of Hussein, Capp & George (1994).
    """
    bore, section, away = jets[0].tank.bore, jets[0].tank.section, PLACES - 2
    taken = 1 + 16 / (pi * DECAY**2) * PLACES**2 * (pi * bore**2 / 4) / section
    published = sqrt(2) * DECAY / away * np.exp(-log(2) * (0.5 / (SPREAD * away)) ** 2)
    fastest = np.mean([[fastest_below(jet, x * bore) for x in PLACES] for jet in jets], axis=0)
    return fastest * np.sqrt(taken) / published


@pytest.mark.slow
def test_speed_along_the_surface(tank, marched):
    """Within 15 %: what B and the jet's origin are not known by.

    Reached: 12 % less at 10 bores to 11 % more at 40.
    """
    assert over_the_sum(marched(tank(BORE, *SURFACE), 200, 1200, 4)) == pytest.approx(1, abs=0.15)


@pytest.mark.slow
@pytest.mark.parametrize("detail", ["sketch", "coarse"])
def test_speed_along_the_surface_as_a_client_gets_it(detail, tank, found):
    """In water that has gone round, where a jet away from walls is 8 to 15 % slow too (test_levels.py): within 20 %.

    Reached, by eight runs: 0.82 to 0.86 on coarse cells, 0.82 to 0.90 by the sketch.
    """
    jet = tank(BORE, *SURFACE)
    fields = (solve_flow(jet.grid, jet.rates, 1e-6, detail, seed=seed) for seed in range(8))
    assert over_the_sum([found(jet, field) for field in fields]) == pytest.approx(1, abs=0.2)


def fastest_below(jet, distance: float) -> float:
    """Highest mean speed along the surface at a distance [m] from the outlet, over the outlet's [-]."""
    depth = jet.tank.grid.shape[2] * jet.tank.grid.spacing[2]
    across, below = np.linspace(-0.3, 0.3, 41) * distance, np.arange(0.5, 12.0, 0.5) * CELL
    middle = np.array([distance, jet.tank.start[1], depth])
    return float(jet.along(middle + across[:, None, None] * Y - below[None, :, None] * Z, X).max())


@pytest.fixture(scope="module")
def struck(tank, marched):
    """A jet that strikes a wall 17 bores from its outlet; the intake is all of that wall, and takes next to nothing."""
    return marched(tank(BORE, (24, 52, 52), (0, 26.5, 26.5)), 250, 1000)[0]


@pytest.mark.slow
@pytest.mark.parametrize("radius", range(4, 13))
def test_radial_wall_jet(radius, struck):
    """Um/U0 = 1.03 d/r (N. Rajaratnam, Turbulent Jets, 1976), or 1.17 d/r (b/r)^0.1 from an outlet b away (M. Poreh,
    Y. G. Tsuei, J. E. Cermak, J. Appl. Mech. 34 (1967) 457-463), from memory; within 25 %, as measurements scatter.

    Reached: 0.80 d/r at 4 bores, where the layer is half a cell thick, to 1.30 d/r at 12.
    """
    simple, closer = 1.03, 1.32 * sqrt(pi) / 2 * (24 / BORE / radius) ** 0.1
    assert 0.75 * simple < radial_speed(struck, radius) * radius < 1.25 * closer


def radial_speed(jet, radius: float) -> float:
    """Highest mean speed along the wall at a radius [bores] from where the jet strikes it, over the outlet's [-]."""
    angles = np.linspace(0, 2 * pi, 24, endpoint=False)
    foot = jet.tank.start + jet.tank.grid.shape[0] * jet.tank.grid.spacing[0] * X
    away = np.arange(0.5, 8.1, 0.25)[:, None] * CELL * X
    rays = [np.cos(angle) * Y + np.sin(angle) * Z for angle in angles]
    layers = [jet.along(foot + radius * jet.tank.bore * ray - away, ray) for ray in rays]
    return float(np.mean(layers, axis=0).max())
