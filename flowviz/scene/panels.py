"""Where a point or an opening stands on the panels of a tank."""

from math import hypot

import numpy as np

from flowviz.scene.apertures import Aperture
from flowviz.scene.model import Intake, Outlet, Tank, Vector
from flowviz.shapes.plans import Wall

SLACK = 1e-3  # what a tape measure may be off [m]
UP = (0.0, 0.0, 1.0)


def panel_names(tank: Tank) -> tuple[str, ...]:
    """Of all panels, the floor last."""
    return (*tank.plan.panel_names, "floor")


def outside(tank: Tank, point: Vector) -> tuple[float, str] | None:
    """How far outside the tank a point lies [m], and on which side of what; None if it is inside."""
    x, y, z = point
    beyond = {
        "beyond the glass": _beyond_the_walls(tank, x, y),
        "below the floor": -z,
        "above the rim": z - tank.height,
    }
    side, distance = max(beyond.items(), key=lambda entry: entry[1])
    return (distance, side) if distance > SLACK else None


def lies_on(tank: Tank, panel: str, point: Vector) -> bool:
    """Whether a point of the tank lies on a panel."""
    if panel == "floor":
        return abs(point[2]) <= SLACK
    wall = flat_wall(tank, panel)
    if wall is None:
        return abs(_beyond_the_walls(tank, point[0], point[1])) <= SLACK
    along, away = on_wall(wall, point)
    return abs(away) <= SLACK and -SLACK <= along <= wall.length + SLACK


def inward(tank: Tank, panel: str, point: Vector) -> Vector:
    """Unit normal of a panel at a point on it, into the water."""
    if panel == "floor":
        return UP
    wall = flat_wall(tank, panel)
    if wall is not None:
        return (*wall.normal, 0.0)
    radius = tank.plan.size[0] / 2
    x, y = radius - point[0], radius - point[1]
    return (x / hypot(x, y), y / hypot(x, y), 0.0)


def frame(normal: Vector) -> tuple[Vector, Vector]:
    """Unit vectors across and up in the plane of an opening; on the floor they are x and y."""
    x, y, z = normal
    level = hypot(x, y)
    if level < 1e-9:
        return (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)
    across = (-y / level, x / level, 0.0)
    return across, (-across[1] * z, across[0] * z, level)


def rise(aperture: Aperture, normal: Vector) -> float:
    """Half the height that an opening takes up [m]."""
    return aperture.extent[1] / 2 * hypot(normal[0], normal[1])


def skims(tank: Tank, opening: Outlet | Intake) -> bool:
    """Whether an opening reaches up to the surface of the water, as a weir does."""
    return opening.centre[2] + rise(opening.aperture, opening.normal) > tank.depth - SLACK


def panel_size(tank: Tank, panel: str) -> tuple[float, float]:
    """Of a panel, across and up [m]."""
    if panel == "floor":
        return tank.plan.size
    wall = flat_wall(tank, panel)
    return (wall.length if wall else tank.plan.size[0], tank.height)


def overhang(tank: Tank, panel: str, centre: Vector, aperture: Aperture) -> float:
    """How far an opening on a panel reaches beyond its edges [m]."""
    across, up = (edge / 2 for edge in aperture.extent)
    if panel == "floor":
        return _floor_overhang(tank, centre, aperture)
    vertical = max(up - centre[2], centre[2] + up - tank.height)
    wall = flat_wall(tank, panel)
    if wall is None:
        return vertical
    along, _ = on_wall(wall, centre)
    return max(vertical, across - along, along + across - wall.length)


def _floor_overhang(tank: Tank, centre: Vector, aperture: Aperture) -> float:
    x, y, _ = centre
    if aperture.round:
        return _beyond_the_walls(tank, x, y) + aperture.extent[0] / 2
    return float(tank.plan.distance(np.add(aperture.outline(), (x, y))).max())


def foot_on(tank: Tank, panel: str | None, point: Vector) -> Vector | None:
    """The place on the inside of a flat panel straight before or behind a point [m]; None where there is none."""
    x, y, z = point
    wall = None if panel is None else flat_wall(tank, panel)
    if wall is not None:
        _, away = on_wall(wall, point)
        x, y = (round(part - away * along, 9) + 0.0 for part, along in zip((x, y), wall.normal, strict=True))
    foot = (x, y, 0.0 if panel == "floor" else z)
    return foot if panel in panel_names(tank) and lies_on(tank, panel, foot) else None


def _beyond_the_walls(tank: Tank, x: float, y: float) -> float:
    return float(tank.plan.distance(np.array([[x, y]]))[0])


def flat_wall(tank: Tank, panel: str) -> Wall | None:
    """The flat wall of that name; None for the one wall of a cylinder."""
    return next((wall for wall in tank.plan.walls if wall.name == panel), None)


def on_wall(wall: Wall, point: Vector) -> tuple[float, float]:
    """How far along a wall a point stands, and how far away from it into the water [m]."""
    x, y = point[0] - wall.start[0], point[1] - wall.start[1]
    nx, ny = wall.normal
    return x * ny - y * nx, x * nx + y * ny
