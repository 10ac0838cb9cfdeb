"""Where the still is seen from: the side the client stands on from which most of what matters shows."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, radians, sin, tan

import numpy as np

from flowviz.grid.grid import Grid, Kind
from flowviz.scene.model import Tank

TURN = radians(27)  # from square to the side, so that depth shows
RISE, STEEP_RISE = radians(18), radians(55)  # of the eye over the tank: standing before it, and looking in from above
ANGLE = radians(16)  # of view, upright
FILLED = 0.94  # of the picture, by the tank
ASPECTS = (1.0, 2.4)  # width over height of the picture, least and most
SAMPLE = 400  # cells that are looked for behind rock
STEPS = 40  # of the framing, which settles within
CLEARLY = 0.1  # more of the trouble must show for the client to be sent to another side


@dataclass(frozen=True, slots=True)
class Standpoint:
    """Where an onlooker stands."""

    side: str  # that the tank is seen from, in words
    direction: np.ndarray  # (3,) unit vector from the tank to the eye


@dataclass(frozen=True, slots=True, eq=False)
class Camera:
    """An eye and what it looks at."""

    eye: np.ndarray  # (3,) [m]
    focus: np.ndarray  # (3,) [m]
    aspect: float  # width over height of the picture

    def axes(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Unit vectors to the right, up and forward."""
        forward = (self.focus - self.eye) / np.linalg.norm(self.focus - self.eye)
        right = np.cross(forward, (0.0, 0.0, 1.0))
        right /= np.linalg.norm(right)
        return right, np.cross(right, forward), forward

    def project(self, points: np.ndarray) -> np.ndarray:
        """Where points (n, 3) [m] come to lie in the picture (n, 2): from -1 to 1, to the right and up."""
        right, up, forward = self.axes()
        relative = points - self.eye
        depth = relative @ forward * tan(ANGLE / 2)
        return np.stack((relative @ right / (depth * self.aspect), relative @ up / depth), axis=-1)


@dataclass(frozen=True, slots=True, eq=False)
class Sought:
    """Points of a tank that are to be seen."""

    points: np.ndarray  # (n, 3) [m]
    grid: Grid


def standpoints(tank: Tank) -> Iterator[Standpoint]:
    """Before each side that is open to view, a little to the right and a little to the left of its middle."""
    normals = {wall.name: wall.normal for wall in tank.plan.walls}
    sides = [name for name in tank.seen_from if name in normals] or ["front"]
    above = tank.seen_from[:1] == ("above",)
    rise = STEEP_RISE if above else RISE
    for side in sides:
        inward = normals.get(side, (0.0, 1.0))
        for turn in (TURN, -TURN):
            x, y = turned(-inward[0], -inward[1], turn)
            yield Standpoint(
                f"{side} and above" if above else side, np.array((x * cos(rise), y * cos(rise), sin(rise)))
            )


def turned(x: float, y: float, angle: float) -> tuple[float, float]:
    """A level vector turned counter-clockwise seen from above [rad]."""
    return x * cos(angle) - y * sin(angle), x * sin(angle) + y * cos(angle)


def best_standpoint(tank: Tank, *sought: Sought) -> Standpoint:
    """The first standpoint, or one from which clearly more of what is sought is seen, of each the same share counting
    for as much.
    """
    best, most = None, -np.inf
    for standpoint in standpoints(tank):
        shares = [in_sight(each.points, standpoint.direction, each.grid).mean() for each in sought if len(each.points)]
        share = float(np.mean(shares or 0.0))
        if share > most + CLEARLY:
            best, most = standpoint, share
    return best


def sample(cells: np.ndarray, grid: Grid) -> np.ndarray:
    """Middles (n, 3) of some of the cells (nx, ny, nz) bool [m]."""
    points = (np.argwhere(cells) + 0.5) * grid.spacing
    return points[:: max(1, len(points) // SAMPLE)]


def in_sight(points: np.ndarray, direction: np.ndarray, grid: Grid) -> np.ndarray:
    """Whether no rock stands between points (n, 3) [m] and an eye far off in a direction: (n,) bool."""
    step = min(grid.spacing)
    reach = np.linalg.norm(np.multiply(grid.shape, grid.spacing))
    way = np.arange(step, reach, step)[:, None] * direction
    cells = np.floor((points[:, None] + way) / grid.spacing).astype(int)
    inside = ((cells >= 0) & (cells < grid.shape)).all(axis=-1)
    kinds = grid.kind[tuple(np.moveaxis(np.where(inside[..., None], cells, 0), -1, 0))]
    return ~((kinds == Kind.ROCK) & inside).any(axis=1)


def framed(direction: np.ndarray, corners: np.ndarray) -> Camera:
    """The camera in a direction whose picture, shaped to suit, is filled by corners (n, 3) [m]."""
    focus, distance, aspect = corners.mean(axis=0), 4 * np.ptp(corners, axis=0).max(), 1.0
    for _ in range(STEPS):
        camera = Camera(focus + distance * direction, focus, aspect)
        seen = camera.project(corners)
        (left, low), (right, high) = seen.min(axis=0), seen.max(axis=0)
        across, up, _ = camera.axes()
        half = distance * tan(ANGLE / 2)
        focus = focus + ((left + right) / 2 * aspect * across + (low + high) / 2 * up) * half
        aspect = float(np.clip(aspect * (right - left) / (high - low), *ASPECTS))
        distance *= max(right - left, high - low) / 2 / FILLED
    return Camera(focus + distance * direction, focus, aspect)
