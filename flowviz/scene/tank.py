"""The inside of the glass: its floor plan and its panels."""

from collections import Counter
from collections.abc import Iterator
from math import hypot

from flowviz.errors import InputError
from flowviz.scene.model import Panel, Tank
from flowviz.scene.schema.tank import TankTable
from flowviz.scene.schema.values import nearest
from flowviz.shapes.plans import Disc, FloorPlan, Point, Polygon, crossing, rectangle

MOST_CORNERS = 500


def tank(table: TankTable, file: str) -> Tank:
    """The tank of a scene file."""
    plan = _plan(table, f"{file}: tank.outline")
    walls = list(plan.panel_names)
    for name in table.panels:
        if name not in (*walls, "floor"):
            raise InputError(
                f"{file}: tank.panels.{name}", "is no panel of this tank", nearest(name, [*walls, "floor"])
            )
    for name in table.seen_from or ():
        if name not in (*walls, "above"):
            raise InputError(f"{file}: tank.seen_from", f"{name!r} is no wall", nearest(name, [*walls, "above"]))
    panels = {name: Panel(**panel.model_dump()) for name, panel in table.panels.items()}
    front = "front" if "front" in walls else walls[0]
    return Tank(plan, table.height, table.depth, panels, table.seen_from or (front,))


def _plan(table: TankTable, where: str) -> FloorPlan:
    if table.diameter is not None:
        return Disc(table.diameter)
    if table.outline is None:
        return rectangle(table.length, table.width)
    _simple(table.outline, where)
    return Polygon(table.outline, _wall_names(table.outline))


def _simple(corners: tuple[Point, ...], where: str) -> None:
    """Refuse a floor plan that touches itself, encloses nothing or does not start at the axes."""
    if not 3 <= len(corners) <= MOST_CORNERS:
        raise InputError(where, f"has {len(corners)} corners", f"Write three to {MOST_CORNERS}")
    for number, (before, corner, after) in enumerate(_triples(corners), start=1):
        if corner == before:
            raise InputError(f"{where}[{number}]", "is the same corner as the one before", "Write each corner once")
        if _folds_back(before, corner, after):
            raise InputError(f"{where}[{number}]", "turns straight back on its own wall", "Leave this corner out")
    crossed = crossing(corners)
    if crossed is not None:
        fault = f"crosses itself: its edges {crossed[0] + 1} and {crossed[1] + 1} meet"
        raise InputError(where, fault, "Write the corners in their order round the tank")
    for axis, name in enumerate("xy"):
        lowest = min(corner[axis] for corner in corners)
        if lowest != 0:
            fault = f"begins at {name} = {1000 * lowest:g} mm"
            raise InputError(where, fault, f"Shift the corners so that the lowest {name} is 0 mm")


def _triples(corners: tuple[Point, ...]) -> Iterator[tuple[Point, Point, Point]]:
    """Each corner between its neighbours."""
    return zip((corners[-1], *corners[:-1]), corners, (*corners[1:], corners[0]), strict=True)


def _folds_back(before: Point, corner: Point, after: Point) -> bool:
    ax, ay = corner[0] - before[0], corner[1] - before[1]
    bx, by = after[0] - corner[0], after[1] - corner[1]
    return abs(ax * by - ay * bx) <= 1e-9 * hypot(ax, ay) * hypot(bx, by) and ax * bx + ay * by < 0


def _wall_names(corners: tuple[Point, ...]) -> tuple[str, ...]:
    """left, right, front and back for the edges that alone lie on that side of the outline; the others by number."""
    edges = list(zip(corners, (*corners[1:], corners[0]), strict=True))
    sides = [_side(edge, corners) for edge in edges]
    counts = Counter(sides)
    return tuple(side if side and counts[side] == 1 else f"wall {number}" for number, side in enumerate(sides, start=1))


def _side(edge: tuple[Point, Point], corners: tuple[Point, ...]) -> str | None:
    for axis, low, high in ((0, "left", "right"), (1, "front", "back")):
        values = {end[axis] for end in edge}
        if values == {min(corner[axis] for corner in corners)}:
            return low
        if values == {max(corner[axis] for corner in corners)}:
            return high
    return None
