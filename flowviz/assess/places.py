"""Where something is in a tank, in the words of someone standing before it.

Left, right, front and back are always the tank's own, as its panels are called; only behind and in front of a rock are
as seen from the tank's main viewing side, the first that the scene names.
"""

from dataclasses import dataclass
from math import dist

import numpy as np

from flowviz.assess.words import named
from flowviz.grid.grid import Vector
from flowviz.scene.model import Outlet, Rock, Scene, Tank
from flowviz.scene.panels import frame

NEAR = 1 / 3  # of the tank's smallest extent: what is farther from any rock is open water (a choice of words)
WIDE = 2 / 3  # of the tank's length, width or depth: what spans more is on no side (a choice of words)
TAIL = 0.05  # of a pocket at either end, that is not looked at to tell what it spans (a choice of words)
LEVELS, ENDS, SIDES = ("low", "at mid-height", "high"), ("left", "", "right"), ("front", "", "back")  # by thirds
JET_EDGE = 0.2  # how far a jet, round or flat, widens over the way it goes: twice its half-width of 0.1
ROUNDED = 9  # decimals of a metre that are compared


@dataclass(frozen=True, slots=True, eq=False)
class Surroundings:
    """What places are told by."""

    scene: Scene
    boxes: np.ndarray  # (n, 2, 3) lowest and highest corner of each rock [m]
    forward: np.ndarray  # (2,) unit vector, in plan, the way one looks from the main viewing side


def surroundings(scene: Scene) -> Surroundings:
    """What stands in a tank, and from where it is seen."""
    boxes = np.array([rock.solid.bounds for rock in scene.rocks], np.float64).reshape(-1, 2, 3)
    return Surroundings(scene, boxes, forward(scene.tank))


def forward(tank: Tank) -> np.ndarray:
    """The way one looks from the main viewing side, in plan (2,); from the front if that is no flat wall."""
    normals = {wall.name: wall.normal for wall in tank.plan.walls}
    return np.array(normals.get(main_side(tank), (0.0, 1.0)))


def main_side(tank: Tank) -> str:
    """The panel, or "above", that the scene names first."""
    return tank.seen_from[0] if tank.seen_from else "front"


def place_in_words(points: np.ndarray, middle: np.ndarray, around: Surroundings) -> str:
    """Where the water around points (n, 3) [m] is: "behind the scanned arch, low, towards the back"."""
    where = region(points, around.scene)
    lengthways, crossways, _ = spans(points, around.scene)
    return where if lengthways or crossways else f"{beside_rock(middle, around)}, {where}"


def region(points: np.ndarray, scene: Scene) -> str:
    """Height and side of the water around points (n, 3) [m], by thirds: "low, towards the back left".

    What spans the tank is told by that: "along the back, low", "filling the right end", "low, over the whole
    length and width".
    """
    (length, width), bottom = scene.tank.plan.size, scene.sand.depth if scene.sand else 0.0
    x, y, z = points.mean(axis=0)
    lengthways, crossways, upright = spans(points, scene)
    height = "over most of the depth" if upright else LEVELS[third(z - bottom, scene.tank.depth - bottom)]
    end, side = ENDS[third(x, length)], SIDES[third(y, width)]
    match lengthways, crossways:
        case True, True:
            return "all through the tank" if upright else f"{height}, over the whole length and width"
        case False, True:
            where = f"the {end} end" if end else "the middle"
            return f"filling {where}" if upright else f"across {where}, {height}"
        case True, False:
            return f"along the {side or 'middle'}, {height}"
    towards = f"towards the {side} {end}".replace("  ", " ").rstrip() if side or end else "in the middle"
    return f"{height}, {towards}"


def spans(points: np.ndarray, scene: Scene) -> tuple[bool, bool, bool]:
    """Whether the water around points (n, 3) reaches along most of the tank's length, its width and its depth.

    By where nine tenths of it are, as if it went on evenly: a thin tail is not where a pocket is.
    """
    bottom = scene.sand.depth if scene.sand else 0.0
    low, high = np.quantile(points, (TAIL, 1 - TAIL), axis=0)
    reach = (high - low) / (1 - 2 * TAIL) > WIDE * np.array((*scene.tank.plan.size, scene.tank.depth - bottom))
    return bool(reach[0]), bool(reach[1]), bool(reach[2])


def few(points: np.ndarray, most: int) -> np.ndarray:
    """So many of points (n, 3), evenly from among them in their order; all where there are no more."""
    return points[np.linspace(0, len(points) - 1, min(len(points), most)).astype(int)]


def third(position: float, whole: float) -> int:
    """0, 1 or 2: which third of a whole a position is in; what is on a border is in the middle."""
    if round(position - whole / 3, ROUNDED) < 0:
        return 0
    return 1 if round(position - 2 * whole / 3, ROUNDED) <= 0 else 2


def jet_through(point: Vector, scene: Scene) -> Outlet | None:
    """The outlet whose free jet would pass through point [m]; of several the nearest."""
    reached = [(along, outlet) for outlet in scene.outlets if (along := along_jet(point, outlet)) is not None]
    return min(reached, key=lambda pair: pair[0])[1] if reached else None


def along_jet(point: Vector, outlet: Outlet) -> float | None:
    """How far along its axis an outlet's free jet reaches point [m]; None: it passes by."""
    along = float(np.subtract(point, outlet.centre) @ outlet.direction)
    return along if along > -2 * jet_radius(outlet) and jet_gap(point, outlet) <= 0 else None


def jet_gap(point: Vector, outlet: Outlet) -> float:
    """How far an outlet's free jet passes by a point [m]; not above 0 within it."""
    along, aside = from_axis(point, outlet)
    beyond = dist(aside, outlet.aperture.nearest(*aside))
    return beyond - jet_radius(outlet) - JET_EDGE * max(along, 0.0)


def from_axis(point: Vector, outlet: Outlet) -> tuple[float, tuple[float, float]]:
    """How far along an outlet's jet a point lies, and how far across and up from its axis [m].

    A jet at a slant is as wide and as high as its opening: its cross-section is turned into the opening's plane.
    """
    direction, normal = np.array(outlet.direction), np.array(outlet.normal)
    offset = np.subtract(point, outlet.centre)
    along = float(offset @ direction)
    aside = offset - along * direction
    turned = aside - aside @ normal / (1 + direction @ normal) * (direction + normal)
    across, up = frame(outlet.normal)
    return along, (float(turned @ across), float(turned @ up))


def mouth_before(point: Vector, outlet: Outlet) -> np.ndarray:
    """The place in an outlet's opening from which its jet comes to a point [m]: (3,) [m]."""
    _, aside = from_axis(point, outlet)
    return outlet.centre + np.array(outlet.aperture.nearest(*aside)) @ frame(outlet.normal)


def jet_radius(outlet: Outlet) -> float:
    """Radius of the circle with the opening's area [m]."""
    return float(np.sqrt(outlet.aperture.area / np.pi))


def beside_rock(point: np.ndarray, around: Surroundings) -> str:
    """Which side of the nearest rock a point (3,) [m] is on: "behind the scanned arch", or "in open water"."""
    tank = around.scene.tank
    index, distance = nearest_rock(point, around)
    if distance > NEAR * min(*tank.plan.size, tank.depth):
        return "in open water"
    rock = around.scene.rocks[index]
    if distance < 0:
        return f"around {named(rock.name)}"
    return relation(point, rock, around.boxes[index], around)


def nearest_rock(point: np.ndarray, around: Surroundings) -> tuple[int, float]:
    """Number of the rock whose surface is nearest to a point (3,), and how far it is [m]; infinitely far if none."""
    low, high = around.boxes[:, 0], around.boxes[:, 1]
    to_box = np.linalg.norm(np.maximum(np.maximum(low - point, point - high), 0), axis=-1)
    nearest = (np.inf, -1)
    for number in np.argsort(to_box, kind="stable"):
        if to_box[number] > max(nearest[0], 0.0):
            break  # no rock is nearer than its box
        nearest = min(nearest, (float(around.scene.rocks[number].solid.distance(point[None])[0]), int(number)))
    distance, index = nearest
    return index, distance


def relation(point: np.ndarray, rock: Rock, box: np.ndarray, around: Surroundings) -> str:
    """Which side of a rock a point outside it is on."""
    ahead, right = around.forward, np.array((around.forward[1], -around.forward[0]))
    offset, half = point - box.mean(axis=0), np.ptp(box, axis=0) / 2
    sides = np.array(
        [
            offset[:2] @ ahead / (half[:2] @ abs(ahead)),
            offset[:2] @ right / (half[:2] @ abs(right)),
            offset[2] / half[2],
        ]
    )
    worst = int(np.argmax(abs(sides)))
    if abs(sides[worst]) <= 1:
        return f"{under_or_against(point, rock, box)} {named(rock.name)}"
    if worst == 2:
        return f"{'above' if sides[2] > 0 else 'under'} {named(rock.name)}"
    if worst == 1:
        return f"{beside(right * np.sign(sides[1]))} {named(rock.name)}"
    return f"{'behind' if sides[0] > 0 else 'in front of'} {named(rock.name)}{viewpoint(around.scene.tank)}"


def under_or_against(point: np.ndarray, rock: Rock, box: np.ndarray) -> str:
    """Under, if within the rock's box there is rock straight above the point; else against."""
    heights = np.linspace(point[2], box[1, 2], 17)
    column = np.column_stack((np.full(17, point[0]), np.full(17, point[1]), heights))
    return "under" if (rock.solid.distance(column) < 0).any() else "against"


def beside(way: np.ndarray) -> str:
    """To which side a horizontal way (2,) leads, by the tank's own sides."""
    if abs(way[0]) >= abs(way[1]):
        return "to the right of" if way[0] > 0 else "to the left of"
    return "on the back side of" if way[1] > 0 else "on the front side of"


def viewpoint(tank: Tank) -> str:
    """From where behind and in front are meant, unless that is the front."""
    side = main_side(tank)
    return "" if side in ("front", "above") else f" (seen from {named(side)})"
