"""Pipes: how rough they are, what a reducer costs either way, and what is throttled."""

from math import inf, pi

import pytest

from flowviz.plumbing.catalogue import pipe_size
from flowviz.plumbing.laws import PipeLaw, Shut
from flowviz.plumbing.pipes import PLASTIC_ROUGHNESS, BothWays, fitting_losses, straight_law, whole_law
from flowviz.scene.model import Pipe

WIDE, NARROW = "2 in sch 40", "1 in sch 40"
FOOT = 0.3048


def pipe(size: str, *fittings: str) -> Pipe:
    return Pipe("a", "b", size, None, 1.0, 0.0, dict.fromkeys(fittings, 1), 0.0)


def test_plastic_is_as_rough_as_printed():
    """0.005 thousandths of a foot, EPANET 2 Users Manual (2000), table 3.2; rounded to a tenth of a micrometre."""
    assert pytest.approx(0.005e-3 * FOOT, abs=0.05e-6) == PLASTIC_ROUGHNESS


@pytest.mark.parametrize(
    ("size", "reducer", "widens"),
    [
        (WIDE, f"reducer to {NARROW}", False),
        (WIDE, f"reducer from {NARROW}", True),
        (NARROW, f"reducer to {WIDE}", True),
        (NARROW, f"reducer from {WIDE}", False),
    ],
)
def test_a_reducer_costs_by_the_speed_in_the_narrow_pipe(size, reducer, widens):
    """Widening (V₁ - V₂)²/2g by Borda and Carnot, narrowing 0.5 (1 - a) V₁²/2g by Crane, V₁ in the narrow pipe and
    V₂ in the wide one, over the velocity head in the pipe that has the reducer; backwards the other. Sums done here.
    """
    wide, narrow, own = (pipe_size(name, "pipe").inside for name in (WIDE, NARROW, size))
    fast, slow = (own / narrow) ** 2, (own / wide) ** 2  # speeds over that in the pipe
    widening, narrowing = (fast - slow) ** 2, 0.5 * (1 - slow / fast) * fast**2
    (found,) = fitting_losses(pipe(size, reducer), {}).values()
    assert found == pytest.approx((widening, narrowing) if widens else (narrowing, widening))


def test_a_throttle_costs_the_same_both_ways():
    """Beside a fitting of 2 forwards and 3 backwards, one of 10 comes to 12 and 13."""
    law = straight_law(pipe(WIDE), 1e-6, {"odd": BothWays(2.0, 3.0)}, 10.0)
    assert (law.forward, law.backward) == (12.0, 13.0)
    assert isinstance(whole_law(pipe(WIDE), straight_law(pipe(WIDE), 1e-6, {}, inf)), Shut)


def test_fittings_that_cost_otherwise_backwards_do():
    """2 forwards and 3 backwards, on the velocity head of 1 L/s in 40 mm; friction is alike both ways: sums by hand."""
    law = PipeLaw(0.04, 2.0, 0.0, 1e-6, 2.0, 3.0)
    bare = PipeLaw(0.04, 2.0, 0.0, 1e-6, 0.0, 0.0).loss(1e-3)[0]
    dynamic = (1e-3 / (pi / 4 * 0.04**2)) ** 2 / (2 * 9.80665)
    assert law.loss(1e-3)[0] == pytest.approx(bare + 2 * dynamic)
    assert law.loss(-1e-3)[0] == pytest.approx(-bare - 3 * dynamic)
