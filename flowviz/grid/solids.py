"""How far into the water each corner and middle of the cells lies from glass, rock and sand."""

from collections.abc import Iterable

import numpy as np

from flowviz.scene.model import Scene
from flowviz.shapes.solids import Solid

Rows = tuple[np.ndarray, np.ndarray, np.ndarray]  # rising coordinates along x, y, z [m]

TOUCH = 1e-9  # what lies nearer to a surface than this lies on it [m]
REACH = 2.0  # cells round a rock in which the distance from it is worked out


def corner_distances(scene: Scene, rows: Rows) -> np.ndarray:
    """Distance into the water from glass, rock and sand (3, len x, len y, len z) float32 [m], negative where solid."""
    x, y, z = rows
    across = np.stack(np.meshgrid(x, y, indexing="ij"), axis=-1).reshape(-1, 2)
    distances = np.empty((3, len(x), len(y), len(z)), dtype=np.float32)
    distances[0] = -scene.tank.plan.distance(across).reshape(len(x), len(y), 1)
    distances[1] = rock_distances((rock.solid for rock in scene.rocks), rows)
    distances[2] = z - (scene.sand.depth if scene.sand else 0.0)
    distances[np.abs(distances) < TOUCH] = 0.0
    return distances


def rock_distances(solids: Iterable[Solid], rows: Rows) -> np.ndarray:
    """Distance from the nearest of solids (len x, len y, len z) float32 [m], worked out near them only."""
    reach = REACH * max(row[1] - row[0] for row in rows)
    distances = np.full(tuple(map(len, rows)), reach, dtype=np.float32)
    for solid in solids:
        window = near(solid, rows, reach)
        if all(part.start < part.stop for part in window):
            own = solid.lattice_distance(*(row[part] for row, part in zip(rows, window, strict=True)))
            np.minimum(distances[window], own, out=distances[window])
    distances[np.abs(distances) < TOUCH] = 0.0
    return distances


def near(solid: Solid, rows: Rows, reach: float) -> tuple[slice, slice, slice]:
    """The part of a lattice within reach [m] of the box that holds a solid."""
    low, high = solid.bounds
    return tuple(
        slice(int(np.searchsorted(row, start - reach)), int(np.searchsorted(row, end + reach, side="right")))
        for row, start, end in zip(rows, low, high, strict=True)
    )
