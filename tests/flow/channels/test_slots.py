"""Plane jets out of full-width slots: free, and along the floor."""

import numpy as np
import pytest

SLOT, SPEED = 0.05, 0.5  # [m], [m/s]
LARGE = 60 * SLOT  # length and depth of the tank [m]
MIDDLE = (LARGE - SLOT) / 2, (LARGE + SLOT) / 2  # from and to which height the free jet's slot reaches [m]
THIN = 0.015  # height of a slot that is thinner than a cell [m]


@pytest.fixture
def constants(channel, profile, tmp_path):
    """U/U0 √(x/h) of a jet from a slot between two heights, at distances of so many slots."""

    def at(detail: str, slot: tuple[float, float], weir: float, places: np.ndarray) -> np.ndarray:
        tank = channel(LARGE, 5 * SLOT, LARGE, slot, (weir, LARGE), SPEED)
        study, height = tank.study(tmp_path, detail), slot[1] - slot[0]
        return np.array([profile(study, x * height).max() for x in places]) / SPEED * np.sqrt(places)

    return at


@pytest.mark.parametrize(
    ("detail", "places"),
    [("coarse", (12, 15)), pytest.param("fine", (12, 15, 20, 25, 30), marks=pytest.mark.slow)],
)
def test_free_plane_jet(detail, places, constants):
    """2.28 to 2.5: Albertson et al. (1950), Fischer et al. (1979), Rajaratnam (1976), from memory; 15 % for us.

    Reached: 2.6 to 2.7, and 2.2 to 2.5 in a fine run.
    """
    assert constants(detail, MIDDLE, 0.0, np.array(places)) == pytest.approx(2.4, rel=0.15)


def test_free_plane_jet_goes_on_as_it_began(constants):
    """The same constant at 30 slots as at 12, by any of the above; within 10 %, for averages scatter by 4 %."""
    began, went_on = constants("coarse", MIDDLE, 0.0, np.array([12, 30]))
    assert went_on == pytest.approx(began, rel=0.1)


def test_plane_jet_along_the_floor(constants):
    """3.5: N. Rajaratnam, Turbulent Jets (1976), from memory; within 15 %, as measurements scatter.

    Reached: 3.5 to 3.7.
    """
    assert constants("coarse", (0.0, SLOT), 2 / 3 * LARGE, np.array([20, 25, 30, 35])) == pytest.approx(3.5, rel=0.15)


@pytest.mark.parametrize("detail", ["sketch", "coarse"])
@pytest.mark.parametrize(
    ("slot", "weir", "published"),
    [((LARGE / 2, LARGE / 2 + THIN), 0.0, 2.4), ((0.0, THIN), 2 / 3 * LARGE, 3.5)],
    ids=["free", "floor"],
)
def test_slot_thinner_than_a_cell(detail, slot, weir, published, constants):
    """As above, 30 and 40 heights away; within 15 %.

    Reached: 2.5 to 2.7, 3.2 to 3.4.
    """
    assert constants(detail, slot, weir, np.array([30, 40])) == pytest.approx(published, rel=0.15)
