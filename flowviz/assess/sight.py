"""What stands between two places."""

from math import ceil

import numpy as np

from flowviz.assess.places import Surroundings, nearest_rock
from flowviz.flow.sample import locate
from flowviz.grid.grid import Grid, Kind
from flowviz.scene.model import Rock


def rock_between(start: np.ndarray, end: np.ndarray, around: Surroundings, grid: Grid) -> Rock | None:
    """The first rock on the straight line from start to end (3,) [m], to a cell of the grid; None: the way is clear."""
    count = ceil(2 * np.linalg.norm(end - start) / min(grid.spacing))
    line = start + (end - start) * np.linspace(0, 1, count + 1)[:, None]
    cells, _, _ = locate(grid, line)
    rock = grid.kind[tuple(cells.T)] == Kind.ROCK
    if not rock.any() or not around.scene.rocks:
        return None
    return around.scene.rocks[nearest_rock(line[np.argmax(rock)], around)[0]]
