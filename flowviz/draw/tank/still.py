"""The three-dimensional still: the tank as the client sees it, with the bodies of dead and too-strong water."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import degrees

import numpy as np
from matplotlib.axes import Axes

from flowviz.draw.sheets.corals import coral_label
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.theme import DPI, INK, PAPER, QUIET
from flowviz.draw.sheets.wording import badges, named, pocket, worst
from flowviz.draw.tank.camera import ANGLE, Camera, Sought, Standpoint, best_standpoint, framed, in_sight, sample
from flowviz.draw.tank.stage import parts, trouble
from flowviz.scene.model import Outlet, Scene, Tank
from flowviz.study import Study


@dataclass(frozen=True, slots=True, eq=False)
class Shot:
    """A still that is set up and not yet rendered."""

    standpoint: Standpoint
    camera: Camera
    width: float  # of the picture [in]

    @property
    def height(self) -> float:
        """Of the picture [in]."""
        return self.width / self.camera.aspect

    def view(self, study: Study) -> dict[str, object]:
        """What the renderer must know (renderer.py tells)."""
        return {
            "size": (round(self.width * DPI), round(self.height * DPI)),
            "eye": tuple(self.camera.eye),
            "focus": tuple(self.camera.focus),
            "angle": degrees(ANGLE),
            "parts": parts(study, self.standpoint.direction),
        }


def set_up(study: Study, widest: float, tallest: float) -> Shot:
    """The still of a study from where most is seen, no larger than it may be [in]."""
    standpoint = best_standpoint(study.scene.tank, in_trouble(study))
    return shot_from(standpoint, study.scene.tank, widest, tallest)


def in_trouble(study: Study) -> Sought:
    """Where water is dead or too strong."""
    return Sought(sample(np.logical_or(*trouble(study).values()), study.grid), study.grid)


def shot_from(standpoint: Standpoint, tank: Tank, widest: float, tallest: float) -> Shot:
    """The still of a tank from a place, no larger than it may be [in]."""
    camera = framed(standpoint.direction, corners(tank))
    return Shot(standpoint, camera, min(widest, tallest * camera.aspect))


def corners(tank: Tank) -> np.ndarray:
    """Points (n, 3) of the rims of the glass, below and above [m]."""
    outline = tank.plan.outline()
    return np.concatenate([np.column_stack((outline, np.full(len(outline), z))) for z in (0.0, tank.height)])


def draw_still(axes: Axes, study: Study, shot: Shot, image: np.ndarray, further: Sequence[Label] = ()) -> None:
    """The rendered picture with the names of what is in it, and further labels."""
    axes.imshow(image, extent=(-1, 1, -1, 1), aspect="auto")
    axes.axis("off")
    scene = study.scene
    labels = [
        *opening_labels(scene, shot),
        *further,
        *zone_labels(study, shot),
        *thing_labels(study, shot),
        *wall_labels(scene.tank, shot),
    ]
    place(axes, labels, axes.get_window_extent())


def opening_labels(scene: Scene, shot: Shot) -> Iterator[Label]:
    """Badges of outlets (round) and intakes (square)."""
    for name, at, opening in zip(
        badges(scene).values(), seen([opening.centre for opening in scene.openings], shot), scene.openings, strict=True
    ):
        box = "circle,pad=0.25" if isinstance(opening, Outlet) else "square,pad=0.3"
        yield Label(name, at, box, weight="bold", ink=PAPER, paper=INK, edge=PAPER, nearest=4.0)


def zone_labels(study: Study, shot: Shot) -> Iterator[Label]:
    """How large the worst pockets are, at a point of each that is in sight if any is."""
    for number in worst(study.measures.zones):
        points = sample(study.measures.labels == number + 1, study.grid)
        free = in_sight(points, shot.standpoint.direction, study.grid)
        points = points[free] if free.any() else points
        middle = points[np.argmin(np.linalg.norm(points - points.mean(axis=0), axis=1))]
        words = pocket(study.measures.zones[number], study.scene.show)
        yield Label(words, seen([middle], shot)[0], weight="bold", nearest=12.0)


def thing_labels(study: Study, shot: Shot) -> Iterator[Label]:
    """Names of rocks and corals, and what is wrong with these."""
    for rock in named(study.scene.rocks):
        yield Label(short(rock.name), seen([np.mean(rock.solid.bounds, axis=0)], shot)[0])
    for coral in study.scene.corals:
        at = seen([np.add(coral.centre, (0.0, 0.0, coral.size[2] / 2))], shot)[0]
        yield coral_label(coral.name, study.measures.corals[coral.name], at)


def wall_labels(tank: Tank, shot: Shot) -> Iterator[Label]:
    """Names of the walls with nothing of the tank between them and the onlooker, at their feet."""
    for wall in tank.plan.walls:
        foot, outward = np.add(wall.start, wall.end) / 2, -np.array(wall.normal)
        if in_front(foot, outward, shot.standpoint.direction[:2], tank):
            inner, outer = seen([(*foot, 0.0), (*(foot + wall.length * outward), 0.0)], shot)
            way = np.subtract(outer, inner) * (shot.camera.aspect, 1)
            look = {"ink": QUIET, "paper": "none", "edge": "none", "nearest": 4.0}
            yield Label(short(wall.name), inner, lean=tuple((way / np.linalg.norm(way)).tolist()), **look)


def in_front(foot: np.ndarray, outward: np.ndarray, direction: np.ndarray, tank: Tank) -> bool:
    """Whether the way from a wall's foot (2,) to an eye in a direction (2,) leaves the tank at once and for good."""
    way = np.linspace(0.02, 1.0, 50)[:, None] * 2 * max(tank.plan.size) * direction
    return bool(outward @ direction > 0 and (tank.plan.distance(foot + way) > 0).all())


def seen(points: list, shot: Shot) -> list[tuple[float, float]]:
    """Where points [m] come to lie in the picture."""
    return [tuple(at) for at in shot.camera.project(np.array(points)).tolist()] if points else []
