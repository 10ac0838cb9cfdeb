"""What is left of a window after whole steps: may be next to nothing, and must not become a step of its own."""

import numpy as np

from flowviz.flow.levels import FINE
from flowviz.flow.march import March
from flowviz.flow.statistics import gather
from flowviz.flow.velocity import still
from flowviz.flow.walls import TANK


def test_pressure_after_a_window_that_is_hardly_longer_than_its_steps(boulder, monkeypatch):
    """No more than the head of the jet, which is the most that water at rest can come to; within a tenth for eddies.

    The next step would take that pressure for true, and the march blow up.
    """
    march = March(boulder.grid, boulder.rates, 1e-6, TANK, FINE.closure, still(boulder.grid), 0)
    usual = [march.step() for _ in range(30)][-1]
    monkeypatch.setattr(march, "_stable", lambda: usual)
    gather(march, usual * (3 + 1e-6))
    assert march.steps == 34  # three and what is left over: four of equal length
    speeds = [boulder.rates[patch.name] / patch.area for patch in boulder.grid.patches if patch.inflow]
    assert np.ptp(march.pressure) < 1.1 * max(speeds) ** 2 / 2
