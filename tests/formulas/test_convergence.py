"""Grid convergence against the worked example of the procedure's own paper."""

from math import inf

import pytest

from flowviz.formulas.convergence import grid_convergence

CELIK = [  # table 1: φ1, φ2, φ3, r21, r32, order, extrapolated, index; from memory
    (6.063, 5.972, 5.863, 1.5, 1.333, 1.53, 6.1685, 0.022),
    (10.7880, 10.7250, 10.6050, 2.0, 2.143, 0.75, 10.8801, 0.011),
    (6.0042, 5.9624, 6.0909, 2.0, 2.143, 1.51, 6.0269, 0.005),
]


@pytest.mark.parametrize(("fine", "middle", "coarse", "r", "coarse_r", "order", "extrapolated", "index"), CELIK)
def test_worked_example(fine, middle, coarse, r, coarse_r, order, extrapolated, index):
    """I. B. Celik and others, J. Fluids Eng. 130 (2008) 078001, to the digits of the print."""
    found = grid_convergence(fine, middle, coarse, r, coarse_r)
    assert found.order == pytest.approx(order, abs=0.02)
    assert found.extrapolated == pytest.approx(extrapolated, rel=5e-4)
    assert found.index == pytest.approx(index, abs=0.0006)


@pytest.mark.parametrize(("r", "coarse_r"), [(1.5, 2.0), (3.0, 1.2), (1.2, 3.0)])
def test_exact_order_is_found(r, coarse_r):
    """φ = 3 + 2 h²: exact. With the second pair the last step is the larger one, which is no sign of trouble there."""
    found = grid_convergence(3 + 2 * 1.0, 3 + 2 * r**2, 3 + 2 * (r * coarse_r) ** 2, r, coarse_r)
    assert found.order == pytest.approx(2.0, rel=1e-6)
    assert found.extrapolated == pytest.approx(3.0, rel=1e-6)


@pytest.mark.parametrize(("r", "coarse_r"), [(1.5, 2.0), (2.0, 1.5), (1.2, 3.0)])
def test_exact_order_is_found_of_figures_to_and_fro(r, coarse_r):
    """φ = 3 ± 2 h², below and above by turns: the equation of the order holds exactly, with s = -1."""
    found = grid_convergence(3 + 2 * 1.0, 3 - 2 * r**2, 3 + 2 * (r * coarse_r) ** 2, r, coarse_r)
    assert found.order == pytest.approx(2.0, rel=1e-6)


def test_figures_that_do_not_move_are_converged():
    assert grid_convergence(0.3, 0.3, 0.2, 1.5, 1.5) == (inf, 0.3, 0.0)


def test_figures_that_move_the_more_the_finer_are_not():
    """Equal steps, a last step that is the largest, and one that is the only one."""
    for coarse in (0.1, 0.15, 0.2):
        found = grid_convergence(0.3, 0.2, coarse, 1.5, 1.5)
        assert found.order == pytest.approx(0.0, abs=1e-12)
        assert (found.extrapolated, found.index) == (0.3, inf)
