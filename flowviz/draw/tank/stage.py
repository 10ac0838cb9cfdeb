"""What stands in the still, as plain arrays for the renderer (renderer.py tells what a part may be)."""

from collections.abc import Iterator, Sequence

import numpy as np
from scipy.ndimage import label

from flowviz.draw.flat.openings import basket, rim
from flowviz.draw.sheets.theme import BODIES, GLASS, INK, ROCK, SAND, SCREEN
from flowviz.draw.tank.titles import discontent
from flowviz.flow.trace import paths
from flowviz.grid.grid import Grid
from flowviz.scene.apertures import CORNERS
from flowviz.scene.model import Coral, Intake, Outlet, Rock, Scene
from flowviz.study import Study

Part = dict[str, object]

FEWEST = 8  # cells of a body that is drawn
LARGE, VEIL = 0.1, 0.75  # share of the water from which on a body is a veil, and share of its own colour then
SHARP = 0.95  # cosine of the turn between two walls above which no edge of the glass is drawn
FLOOR = 0.004  # thickness that a bare floor is drawn with [m]
WATCHED = 3.0  # that the water of an outlet is followed [s]
STRANDS = 6  # lines of it that are followed
EDGE_WIDTH, SURFACE_WIDTH = 2.5, 1.0  # of lines [pixels]
CORAL_WIDTH, BOLD_WIDTH, JET_WIDTH = 1.6, 3.6, 2.0  # bold: of a group that has not the current it wants
HOOPS = (0.0, 0.33, 0.67, 1.0)  # of a basket, along its length
BARE, WATER, JET = "#eceae4", "#bcdcee", "#3d7ea6"


def parts(study: Study, direction: np.ndarray) -> list[Part]:
    """Everything in the still, the solid before the translucent; direction (3,) leads to the eye."""
    scene, tank = study.scene, study.scene.tank
    wrong = discontent(study)
    bodies = (body(kind, cells, study.grid) for kind, cells in trouble(study).items() if cells.any())
    return [
        *glass(scene, direction),
        *rockwork(scene.rocks),
        *bodies,
        *(
            line_part
            for coral in scene.corals
            for line_part in frame_of(coral, BOLD_WIDTH if coral.name in wrong else CORAL_WIDTH)
        ),
        *(plate(opening, bed(scene)) for opening in scene.openings),
        *(strainer_part for intake in scene.intakes if intake.strainer for strainer_part in strainer(intake)),
        *jets(study),
        prism(tank.plan.outline(), tank.depth, tank.depth, WATER, 0.15),
    ]


def trouble(study: Study) -> dict[str, np.ndarray]:
    """Cells of the bodies of dead and too-strong water that are large enough to be seen."""
    limits, speed, water = study.scene.limits, study.field.speed, study.grid.clear
    return {
        "dead": without_specks(water & (speed < limits.dead)),
        "over": without_specks(water & (speed > limits.over)),
    }


def without_specks(cells: np.ndarray) -> np.ndarray:
    """The cells (nx, ny, nz) bool that hang together in large enough numbers."""
    numbers, _ = label(cells)
    large = np.bincount(numbers.ravel()) >= FEWEST
    large[0] = False
    return large[numbers]


def body(kind: str, cells: np.ndarray, grid: Grid) -> Part:
    """A body of water beyond a limit; a large one is a veil, so that what stands in it is seen."""
    veiled = {"veil": VEIL} if np.count_nonzero(cells) > LARGE * np.count_nonzero(grid.clear) else {}
    return {"shape": "body", "cells": cells, "spacing": grid.spacing, **veiled, **BODIES[kind]}


def glass(scene: Scene, direction: np.ndarray) -> Iterator[Part]:
    """The edges of the glass, the water's surface as a line, and the floor."""
    tank, outline = scene.tank, scene.tank.plan.outline()
    for height, width in ((0.0, EDGE_WIDTH), (tank.height, EDGE_WIDTH), (tank.depth, SURFACE_WIDTH)):
        yield line(ring(np.column_stack((outline, np.full(len(outline), height)))), GLASS, width)
    for x, y in outline[sharp(outline) | outermost(outline, direction)]:
        yield line(np.array(((x, y, 0.0), (x, y, tank.height))), GLASS, EDGE_WIDTH)
    yield prism(outline, 0.0, bed(scene), SAND if scene.sand else BARE, 1.0)


def sharp(outline: np.ndarray) -> np.ndarray:
    """Which corners (n,) bool of a closed outline are edges of the glass, not parts of a curve."""
    ways = np.roll(outline, -1, axis=0) - outline
    ways /= np.linalg.norm(ways, axis=1, keepdims=True)
    return (ways * np.roll(ways, 1, axis=0)).sum(axis=1) < SHARP


def outermost(outline: np.ndarray, direction: np.ndarray) -> np.ndarray:
    """Which corners (n,) bool are farthest to the left and right for an eye in a direction (3,)."""
    across = outline @ (-direction[1], direction[0])
    return (across == across.min()) | (across == across.max())


def rockwork(rocks: Sequence[Rock]) -> Iterator[Part]:
    """All rock as one surface."""
    meshes = [rock.solid.triangles() for rock in rocks]
    if meshes:
        starts = np.cumsum([0, *(len(points) for points, _ in meshes[:-1])])
        triangles = [found + start for (_, found), start in zip(meshes, starts, strict=True)]
        yield surface(np.concatenate([points for points, _ in meshes]), np.concatenate(triangles), ROCK)


def frame_of(coral: Coral, width: float) -> Iterator[Part]:
    """The edges of the box that holds a group of corals, as lines of a width [pixels]."""
    low, high = (np.add(coral.centre, np.multiply(sign / 2, coral.size)) for sign in (-1, 1))
    square = np.array(((low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1])))
    for height in (low[2], high[2]):
        yield line(ring(np.column_stack((square, np.full(4, height)))), INK, width)
    for x, y in square:
        yield line(np.array(((x, y, low[2]), (x, y, high[2]))), INK, width)


def plate(opening: Outlet | Intake, bed: float) -> Part:
    """The mouth of an opening, above the bed [m]."""
    points = rim(opening)
    points[:, 2] += max(0.0, bed + FLOOR - points[:, 2].max())
    fan = np.arange(1, len(points) - 1)
    return surface(points, np.column_stack((np.zeros_like(fan), fan, fan + 1)), INK)


def strainer(intake: Intake) -> Iterator[Part]:
    """The screen over an intake: a basket with hoops round it, or a flat cover."""
    hoop, far = basket(intake)
    here = np.arange(CORNERS)
    there = np.roll(here, -1)
    side = np.vstack(
        (np.column_stack((here, there, here + CORNERS)), np.column_stack((there, there + CORNERS, here + CORNERS)))
    )
    end = CORNERS + np.column_stack((np.zeros(CORNERS - 2, int), here[1:-1], here[2:]))
    yield surface(np.vstack((hoop, far)), np.vstack((side, end)), SCREEN)
    for share in HOOPS:
        yield line(ring(hoop + share * (far - hoop)), INK, SURFACE_WIDTH)


def bed(scene: Scene) -> float:
    """Height of what is drawn as the floor [m]."""
    return scene.sand.depth if scene.sand else FLOOR


def jets(study: Study) -> Iterator[Part]:
    """Where the water of each outlet goes first."""
    blowing = [outlet for outlet in study.scene.outlets if study.loop.rates[outlet.name] > 0]
    starts = [start for outlet in blowing for start in mouth(outlet, max(study.grid.spacing))]
    for path in paths(study.grid, study.field, np.array(starts).reshape(-1, 3), WATCHED):
        if len(path) > 1:
            yield line(path[:, :3], JET, JET_WIDTH)


def mouth(outlet: Outlet, ahead: float) -> np.ndarray:
    """Points (n, 3) spread over the mouth of an outlet and a little ahead of it [m]."""
    edge = ring(rim(outlet))
    gone = np.linalg.norm(np.diff(edge, axis=0, prepend=edge[:1]), axis=1).cumsum()
    stops = np.linspace(0, gone[-1], STRANDS, endpoint=False)
    points = np.column_stack([np.interp(stops, gone, part) for part in edge.T])
    return outlet.centre + (points - outlet.centre) / 2 + np.multiply(ahead, outlet.normal)


def ring(points: np.ndarray) -> np.ndarray:
    """A line (n + 1, 3) closed round points (n, 3)."""
    return np.vstack((points, points[:1]))


def line(points: np.ndarray, colour: str, width: float) -> Part:
    """A line through points (n, 3) [m]."""
    return {"shape": "line", "points": points, "colour": colour, "width": width}


def surface(points: np.ndarray, triangles: np.ndarray, colour: str) -> Part:
    """Triangles between points (n, 3) [m]."""
    return {"shape": "surface", "points": points, "triangles": triangles, "colour": colour}


def prism(outline: np.ndarray, low: float, high: float, colour: str, opacity: float) -> Part:
    """A floor plan (n, 2) raised from one height to another [m]."""
    return {"shape": "prism", "outline": outline, "low": low, "high": high, "colour": colour, "opacity": opacity}
