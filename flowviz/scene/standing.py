"""What hardly stands as it is meant: rocks sunk into the floor, corals in open water.

Mostly the foot of a thing was written where its middle is asked for.
"""

from collections.abc import Iterator

import numpy as np

from flowviz.scene.doubts import lattice
from flowviz.scene.model import Caution, Coral, Rock, Scene
from flowviz.shapes.solids import Box, Cylinder, Turned
from flowviz.units import shown

SUNK = 0.25  # of the height of a box or a cylinder that may lie under the floor without a word [-] (judgement)
CLEAR = 0.05  # of water between a group and all that it could stand on or hang from [m] (judgement)


def misplaced(scene: Scene) -> Iterator[Caution]:
    """Rocks, then corals; not what lies wholly under the sand or reaches out of the water, which is told as that."""
    for rock in scene.rocks:
        yield from _sunk(rock, scene)
    for coral in scene.corals:
        if _hangs(coral, scene):
            clear = shown(CLEAR, "length", scene.show, 2)
            what = f"it hangs in open water, more than {clear} from all rock, sand and glass"
            yield Caution(f"coral {coral.name}", what, "Check its centre, which is its middle, and what it stands on.")


def _sunk(rock: Rock, scene: Scene) -> Iterator[Caution]:
    """Of a box or a cylinder; what is round is sunk on purpose, to make a dome."""
    solid = rock.solid.solid if isinstance(rock.solid, Turned) else rock.solid
    (_, _, low), (_, _, high) = solid.bounds
    if isinstance(solid, Box | Cylinder) and high > _bed(scene) and -low > SUNK * (high - low):
        below, half = (shown(each, "length", scene.show) for each in (-low, (high - low) / 2))
        what = f"its lower {below} lie under the floor of the tank and are left out"
        why = f"Its centre is its middle: at {half} over the floor it stands on it."
        yield Caution(f"rock {rock.name}", what, why)


def _hangs(coral: Coral, scene: Scene) -> bool:
    """Whether nothing is near that a group could stand on or hang from."""
    points = lattice(coral.centre, coral.size)
    low, high = points[:, 2].min(), points[:, 2].max()
    beside_glass = scene.tank.plan.distance(points[:, :2]).max() >= -CLEAR
    if beside_glass or low - _bed(scene) <= CLEAR or high > scene.tank.depth:
        return False
    return not any(_near(points, rock) for rock in scene.rocks)


def _near(points: np.ndarray, rock: Rock) -> bool:
    """Whether one of some places (n, 3) [m] is near to a rock, or in it."""
    low, high = rock.solid.bounds
    beside = points[((points > np.array(low) - CLEAR) & (points < np.array(high) + CLEAR)).all(axis=1)]
    return len(beside) > 0 and bool(rock.solid.distance(beside).min() <= CLEAR)


def _bed(scene: Scene) -> float:
    """How high the sand lies over the floor [m]."""
    return scene.sand.depth if scene.sand else 0.0
