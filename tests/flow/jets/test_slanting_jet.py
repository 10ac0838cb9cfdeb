"""A jet that crosses the grid at a slant must reach as far as one along it."""

from math import cos, radians, sin

import numpy as np
import pytest


@pytest.fixture(scope="module")
def decay(tank, marched, law):
    """Decay constant of a jet of one cell's width by its angle in the plan [degrees]; tanks of the same size."""

    def at(angle: float, from_front: float) -> float:
        direction = (cos(radians(angle)), sin(radians(angle)), 0.0)
        jet = marched(tank(1.0, (48, 48, 32), (0, from_front, 16), direction), 250, 2000)
        return law(jet, np.zeros(1)).decay

    return at


@pytest.fixture(scope="module")
def aligned(decay) -> float:
    return decay(0, 24)


@pytest.mark.slow
@pytest.mark.parametrize(("angle", "from_front"), [(30, 12), (45, 9)])
def test_decay_at_a_slant(angle, from_front, decay, aligned):
    """Within 10 %, which is twice what averages of this length leave open. Reached: -5 and +8 %."""
    assert decay(angle, from_front) == pytest.approx(aligned, rel=0.1)
