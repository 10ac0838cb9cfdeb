"""Plane jets out of full-width slots: free, and along the floor."""

import numpy as np
import pytest

SLOT, SPEED = 0.05, 0.5  # [m], [m/s]
LARGE = 60 * SLOT  # length and depth of the tank [m]


@pytest.fixture
def constants(channel, profile, tmp_path):
    """U/U0 √(x/h) of a jet from a slot between two heights, at distances of so many slots."""

    def at(detail: str, slot: tuple[float, float], weir: float, places: np.ndarray) -> np.ndarray:
        tank = channel(LARGE, 5 * SLOT, LARGE, slot, (weir, LARGE), SPEED)
        study = tank.study(tmp_path, detail)
        return np.array([profile(study, x * SLOT).max() for x in places]) / SPEED * np.sqrt(places)

    return at


THIN = pytest.mark.xfail(
    strict=True, reason="2.8 to 3.0 from 20 slots on: on cells as high as the slot it spreads too late"
)


@pytest.mark.parametrize("detail", [pytest.param("coarse", marks=THIN), pytest.param("fine", marks=pytest.mark.slow)])
def test_free_plane_jet(detail, constants):
    """2.28 to 2.5: Albertson et al. (1950), Fischer et al. (1979), Rajaratnam (1976), from memory; 15 % for us.

    Reached in a fine run: 2.4 to 2.6.
    """
    middle = (LARGE - SLOT) / 2, (LARGE + SLOT) / 2
    assert constants(detail, middle, 0.0, np.array([12, 15, 20, 25, 30])) == pytest.approx(2.4, rel=0.15)


@pytest.mark.xfail(
    strict=True,
    reason="3.9 growing to 4.6 on cells as high as the slot; 4.1 falling to 3.9 in a fine run",
)
def test_plane_jet_along_the_floor(constants):
    """3.5: N. Rajaratnam, Turbulent Jets (1976), from memory; within 15 %, as measurements scatter."""
    assert constants("coarse", (0.0, SLOT), 2 / 3 * LARGE, np.array([20, 25, 30, 35])) == pytest.approx(3.5, rel=0.15)
