"""What no single table can show: names, rock and corals against the tank, openings against rock and each other."""

from collections.abc import Iterator, Sequence
from itertools import combinations
from math import ceil

import numpy as np

from flowviz.errors import InputError
from flowviz.scene.doubts import doubts
from flowviz.scene.faults import placed
from flowviz.scene.model import Caution, Coral, Intake, Measured, Outlet, Rock, Scene, Tank
from flowviz.scene.neighbours import gap
from flowviz.scene.panels import SLACK, frame
from flowviz.scene.schema.stock import MeshTable, RockTable
from flowviz.scene.standing import misplaced
from flowviz.scene.strainers import strainer_doubts
from flowviz.shapes.solids import Bounds
from flowviz.units import shown

LARGEST = 10.0  # longest side of a rock, in longest sides of the tank; beyond it a length is wrong
SMALLEST = 1e-3
DOUBTFUL = (0.01, 1.2)  # of a mesh, where its scale is to be looked at
BEFORE = 2e-3  # depth of the water that an opening needs before it [m]
PLACED = {"mesh": "at", "capsule": "from"}  # keys that say where a rock is, where it is not centre
ACROSS = 9  # places that are looked at along a spray bar
APART = 0.02  # of the places of a rock that are looked at in the floor plan [m]
MOST_PARTS = 200  # of a side of one of its triangles: of a rock far larger than the tank they are coarser
DIGITS = 2  # of how far a rock reaches through the glass: places that far apart tell no more
THROUGH = 0.02  # how far a rock may reach through the glass without a word [m]


def check(scene: Scene, rocks: tuple[RockTable, ...], file: str) -> tuple[Caution, ...]:
    """Refuse a scene that contradicts itself; what is only doubtful comes back as cautions.

    rocks   the tables that the scene's rocks were made from
    """
    _water_comes_and_goes(scene, file)
    _names_differ(scene, file)
    _air_gets_in(scene, file)
    cautions = []
    for (rock, where), table in zip(placed(scene.rocks, "rock", file), rocks, strict=True):
        cautions += _rock_cautions(rock, table, scene, where)
    for coral, where in placed(scene.corals, "coral", file):
        _coral_is_in_water(coral, scene, where)
    for point, where in placed(scene.measured, "measured", file):
        _point_is_in_water(point, scene, where)
    openings = [*placed(scene.outlets, "outlet", file), *placed(scene.intakes, "intake", file)]
    _openings_are_free(openings, scene.rocks)
    for (first, _), (second, where) in combinations(openings, 2):
        if gap(first, second) < -SLACK:
            raise InputError(f"{where}.at", f"lies on top of {first.name!r}", "Move one of them, or make them smaller")
    cautions += (*doubts(scene), *misplaced(scene), *strainer_doubts(scene))
    bare = (intake.name for intake in scene.intakes if intake.strainer is None)
    return (*cautions, *(_without_strainer(name) for name in bare))


def _water_comes_and_goes(scene: Scene, file: str) -> None:
    for kind, found in (("outlet", scene.outlets), ("intake", scene.intakes)):
        if not found:
            raise InputError(f"{file}: {kind}", "is missing", f"Write at least one [[{kind}]]")


def _air_gets_in(scene: Scene, file: str) -> None:
    if scene.site.siphon_break >= scene.tank.depth:
        below, deep = (shown(each, "length", scene.show) for each in (scene.site.siphon_break, scene.tank.depth))
        remedy = "Write how far below the surface it lets air in, less than tank.depth"
        raise InputError(f"{file}: site.siphon_break", f"{below} below the surface of water {deep} deep", remedy)


def _names_differ(scene: Scene, file: str) -> None:
    seen: dict[str, str] = {}
    parts = {
        "rock": scene.rocks,
        "coral": scene.corals,
        "outlet": scene.outlets,
        "intake": scene.intakes,
        "pump": scene.pumps,
        "junction": scene.junctions,
        "animal": scene.animals,
        "measured": scene.measured,
    }
    for kind, members in parts.items():
        for number, member in enumerate(members):
            place = f"{kind}[{number + 1}]"
            if member.name in seen:
                fault = f"{member.name!r} is the name of {seen[member.name]} too"
                raise InputError(f"{file}: {place}.name", fault, "Give each part of the scene a name of its own")
            seen[member.name] = place


def _rock_cautions(rock: Rock, table: RockTable, scene: Scene, where: str) -> Iterator[Caution]:
    """What is doubtful about a rock's size and place; what is impossible is refused."""
    low, high = rock.solid.bounds
    tank = (*scene.tank.plan.size, scene.tank.height)
    longest = max(b - a for a, b in zip(low, high, strict=True))
    sizes = f"{shown(longest, 'length', scene.show)} long in a tank of {shown(max(tank), 'length', scene.show)}"
    mesh = isinstance(table, MeshTable)
    if not SMALLEST <= longest / max(tank) <= LARGEST:
        remedy = 'Write what one unit of its file is, as scale = "1 mm"' if mesh else "Check the units of its sizes"
        raise InputError(f"{where}.{'scale' if mesh else 'shape'}", f"makes a rock {sizes}", remedy)
    if any(b <= 0 or a >= edge for a, b, edge in zip(low, high, tank, strict=True)) or _all_outside(rock, scene.tank):
        fault = f"lies outside the tank: it spans {_span(rock.solid.bounds, scene)}"
        raise InputError(f"{where}.{PLACED.get(table.shape, 'centre')}", fault, "Move it into the tank")
    if mesh and not DOUBTFUL[0] <= longest / max(tank) <= DOUBTFUL[1]:
        yield Caution(f"rock {rock.name}", f"it is {sizes}", "Check scale, which is what one unit of its file is.")
    beyond = _through_the_glass(rock, scene.tank)
    if beyond > THROUGH:
        what = f"it reaches {shown(beyond, 'length', scene.show, DIGITS)} through the glass"
        yield Caution(f"rock {rock.name}", what, "What lies outside is left out. Check its place and size.")


def _all_outside(rock: Rock, tank: Tank) -> bool:
    """Whether a rock lies beside the floor plan, as far as a lattice over its box tells."""
    return bool((tank.plan.distance(_below(rock)) > 0).all())


def _through_the_glass(rock: Rock, tank: Tank) -> float:
    """How far a rock reaches through the walls [m], also across a notch of the plan; not above 0 where it does not."""
    low, high = rock.solid.bounds
    rectangle = max(max(-a, b - edge) for a, b, edge in zip(low[:2], high[:2], tank.plan.size, strict=True))
    if tank.plan.distance(_below(rock)).max() <= 0:
        return rectangle
    return max(rectangle, float(tank.plan.distance(_skin(rock)).max()))


def _below(rock: Rock) -> np.ndarray:
    """Places of the floor plan below a rock's box, its corners among them (n, 2) [m]."""
    low, high = rock.solid.bounds
    counts = (ceil((high[axis] - low[axis]) / APART) + 1 for axis in (0, 1))
    rows = np.meshgrid(*(np.linspace(low[axis], high[axis], count) for axis, count in enumerate(counts)))
    return np.stack(rows, axis=-1).reshape(-1, 2)


def _skin(rock: Rock) -> np.ndarray:
    """Places on a rock's surface in the floor plan, the corners of its triangles among them (n, 2) [m]."""
    corners, triangles = rock.solid.triangles()
    flat = corners[triangles][:, :, :2]
    longest = np.linalg.norm(flat - np.roll(flat, 1, axis=1), axis=2).max(axis=1)
    parts = np.clip(np.ceil(longest / APART), 1, MOST_PARTS).astype(int)
    return np.concatenate([(_shares(count) @ flat[parts == count]).reshape(-1, 2) for count in np.unique(parts)])


def _shares(parts: int) -> np.ndarray:
    """Places of a triangle with its sides in so many parts, as shares of its three corners (n, 3) [-]."""
    return np.array([(a, b, parts - a - b) for a in range(parts + 1) for b in range(parts + 1 - a)]) / parts


def _span(bounds: Bounds, scene: Scene) -> str:
    low, high = ([shown(value, "length", scene.show) for value in corner] for corner in bounds)
    return ", ".join(f"{axis} {a} to {b}" for axis, a, b in zip("xyz", low, high, strict=True))


def _coral_is_in_water(coral: Coral, scene: Scene, where: str) -> None:
    tank = scene.tank
    room = (*tank.plan.size, tank.depth)
    if any(size > edge + SLACK for size, edge in zip(coral.size, (*room[:2], tank.height), strict=True)):
        sizes = " x ".join(shown(size, "length", scene.show) for size in coral.size)
        raise InputError(f"{where}.size", f"{sizes} is larger than the tank", "Check the units of its edges")
    low = [middle - size / 2 for middle, size in zip(coral.centre, coral.size, strict=True)]
    high = [middle + size / 2 for middle, size in zip(coral.centre, coral.size, strict=True)]
    if any(b <= 0 or a >= edge for a, b, edge in zip(low, high, room, strict=True)):
        fault = f"puts the group outside the water: it spans {_span((low, high), scene)}"
        raise InputError(f"{where}.centre", fault, "Move it into the water")


def _point_is_in_water(point: Measured, scene: Scene, where: str) -> None:
    x, y, z = point.at
    if not 0 <= z <= scene.tank.depth or scene.tank.plan.distance(np.array([[x, y]]))[0] > SLACK:
        at = ", ".join(
            f"{axis} {shown(value, 'length', scene.show)}" for axis, value in zip("xyz", point.at, strict=True)
        )
        remedy = "Write where it was measured, from the tank's corner"
        raise InputError(f"{where}.at", f"{at} is outside the water", remedy)


def _openings_are_free(openings: Sequence[tuple[Outlet | Intake, str]], rocks: tuple[Rock, ...]) -> None:
    """Refuse openings with rock right before them."""
    mouths = [(_before(opening), where) for opening, where in openings]
    for rock in rocks:
        low, high = rock.solid.bounds
        for points, where in mouths:
            near = points[((points > low) & (points < high)).all(axis=1)]
            if len(near) and rock.solid.distance(near).min() < 0:
                raise _buried(rock, where)


def _before(opening: Outlet | Intake) -> np.ndarray:
    """Places right before an opening (n, 3) [m]: its middle, and of a spray bar some along it."""
    across, _ = frame(opening.normal)
    half = opening.aperture.extent[0] / 2 if getattr(opening, "bar", None) else 0.0
    along = np.linspace(-half, half, ACROSS)[:, None] * np.array(across)
    return np.array(opening.centre) + BEFORE * np.array(opening.normal) + along


def _buried(rock: Rock, where: str) -> InputError:
    """An opening in a rock: a jet among stones, which breaks up at once, is not reckoned either."""
    if rock.heap is None:
        return InputError(f"{where}.at", f"lies inside the rock {rock.name!r}", "Move one of them")
    fault = f"lies inside the heap of rubble {rock.name!r}"
    return InputError(f"{where}.at", fault, "Heaps too must leave an opening free: move one of them, or part the heap")


def _without_strainer(name: str) -> Caution:
    why = "Animals, sand and hands can be drawn in. Put a strainer over it, or a comb before a weir."
    return Caution(f"intake {name}", "it has no strainer", why)
