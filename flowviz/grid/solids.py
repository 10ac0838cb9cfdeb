"""How far into the water each corner and middle of the cells lies from glass, rock and sand."""

import numpy as np

from flowviz.grid.thin import Bars, bar
from flowviz.scene.model import Scene
from flowviz.shapes.solids import Solid

Rows = tuple[np.ndarray, np.ndarray, np.ndarray]  # rising coordinates along x, y, z [m]
Window = tuple[slice, slice, slice]

TOUCH = 1e-9  # what lies nearer to a surface than this lies on it [m]
REACH = 2.0  # cells round a rock in which the distance from it is worked out


def corner_distances(scene: Scene, corners: Rows) -> np.ndarray:
    """Distance into the water from glass, rock and sand (3, len x, len y, len z) float32 [m], negative where solid."""
    x, y, z = corners
    across = np.stack(np.meshgrid(x, y, indexing="ij"), axis=-1).reshape(-1, 2)
    distances = np.empty((3, len(x), len(y), len(z)), dtype=np.float32)
    distances[0] = -scene.tank.plan.distance(across).reshape(len(x), len(y), 1)
    distances[1] = _reach(corners)
    distances[2] = z - (scene.sand.depth if scene.sand else 0.0)
    for rock in scene.solid_rocks:
        window, own = around(rock.solid, corners)
        np.minimum(distances[1][window], own, out=distances[1][window])
    distances[np.abs(distances) < TOUCH] = 0.0
    return distances


def middle_distances(scene: Scene, middles: Rows) -> tuple[np.ndarray, Bars]:
    """Distance from rock in the middle of cells (len x, len y, len z) float32 [m], and where rock is thin.

    middles   coordinates, with one cell beyond the tank at each end; what comes back is without them
    """
    shape = tuple(map(len, middles))
    distances = np.full(shape, _reach(middles), dtype=np.float32)
    bars = Bars(np.zeros(shape, bool), np.zeros((3, *shape), bool))
    for rock in scene.solid_rocks:
        window, own = around(rock.solid, middles)
        if own.size:
            np.minimum(distances[window], own, out=distances[window])
            bar(rock.solid, own, window, middles, bars)
    tank = (slice(1, -1),) * 3
    return distances[tank], Bars(bars.cells[tank], bars.faces[(slice(None), *tank)])


def _reach(rows: Rows) -> float:
    """Distance that is worked out round each rock [m]."""
    return REACH * max(row[1] - row[0] for row in rows)


def around(solid: Solid, rows: Rows) -> tuple[Window, np.ndarray]:
    """The part of a lattice that lies near a solid, and the distance from it there [m]."""
    low, high = solid.bounds
    reach = _reach(rows)
    window = tuple(
        slice(int(np.searchsorted(row, start - reach)), int(np.searchsorted(row, end + reach, side="right")))
        for row, start, end in zip(rows, low, high, strict=True)
    )
    if any(part.start >= part.stop for part in window):
        return window, np.empty(tuple(part.stop - part.start for part in window), dtype=np.float32)
    own = solid.lattice_distance(*(row[part] for row, part in zip(rows, window, strict=True)))
    own[np.abs(own) < TOUCH] = 0.0
    return window, own
