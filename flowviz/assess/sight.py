"""What stands between two places."""

from math import ceil

import numpy as np

from flowviz.assess.places import Surroundings, nearest_rock
from flowviz.assess.words import named
from flowviz.flow.sample import locate
from flowviz.grid.grid import Grid, Kind

CORNER = "a corner of the tank"  # that reaches into it


def screen(start: np.ndarray, end: np.ndarray, around: Surroundings, grid: Grid) -> str | None:
    """What the straight line from start to end (3,) [m] meets first, to a cell of the grid; None: the way is clear.

    It is told in the middle of a sentence: a rock by its name, the glass of a tank that is not convex as its corner.
    """
    count = ceil(2 * np.linalg.norm(end - start) / min(grid.spacing))
    line = start + (end - start) * np.linspace(0, 1, count + 1)[:, None]
    cells, _, _ = locate(grid, line)
    rock = (grid.kind[tuple(cells.T)] == Kind.ROCK) & bool(around.scene.rocks)
    glass = around.scene.tank.plan.distance(line[:, :2]) > max(grid.spacing)
    if not (rock | glass).any():
        return None
    first = np.argmax(rock | glass)
    return CORNER if glass[first] else named(around.scene.rocks[nearest_rock(line[first], around)[0]].name)
