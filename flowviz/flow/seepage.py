"""What the stones of rubble take from the water that seeps through them."""

import numpy as np

from flowviz.flow.seeping.kernels import ease, resist
from flowviz.flow.velocity import Velocity
from flowviz.grid.grid import Grid


class Seepage:
    """The drag of all rubble of a grid, implicit in time: it may be far stiffer than a step is long.

    The flow through stones is a balance of drag and pressure, so the drag acts on the velocity as the pressure that is
    still to come will leave it; were it to act on what the step has come to so far, its size would depend on the step.
    """

    def __init__(self, grid: Grid, viscosity: float) -> None:
        self._spacing = grid.spacing
        self._opened = tuple(share > 0 for share in grid.shares)
        laws = np.stack((viscosity * grid.rubble.laminar, grid.rubble.turbulent), axis=-1)
        self._sides = tuple(_side(axis, opened, laws) for axis, opened in enumerate(self._opened))

    def act(self, velocity: Velocity, pressure: np.ndarray, dt: float, ahead: float) -> None:
        """Take from the velocity what the stones take within dt [s].

        pressure    over density (nx, ny, nz) [m²/s²], which is still to act for a time of ahead [s]
        """
        push = tuple(np.float32(ahead / h) for h in self._spacing)
        around = pressure, self._opened, push
        for axis, (faces, laws, resistance) in enumerate(self._sides):
            resist(axis, faces, laws, velocity, *around, np.float32(dt), resistance)
        for axis, (faces, _, resistance) in enumerate(self._sides):
            ease(axis, faces, resistance, *around, velocity[axis])


def _side(axis: int, opened: np.ndarray, laws: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The open faces (n, 3) across an axis with rubble on either side, their laws (n, 2), and room for a resistance."""
    across = np.moveaxis(laws, axis, 0)
    both = np.zeros((*opened.shape, 2), np.float32)
    np.moveaxis(both, axis, 0)[1:-1] = (across[:-1] + across[1:]) / 2
    faces = np.argwhere(opened & both.any(axis=-1))
    return faces, both[tuple(faces.T)], np.empty(len(faces), np.float32)
