"""What is solid, in flat pictures: rock by its true outline, sand, and the glass round the water."""

from collections.abc import Sequence

import numpy as np
from contourpy import FillType, contour_generator
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch, Polygon, Rectangle
from matplotlib.path import Path

from flowviz.assess.corals import CoralFigures
from flowviz.draw.flat.openings import FRAME
from flowviz.draw.flat.slices import SIDES, Plane, Raster, flat
from flowviz.draw.sheets.corals import coral_label
from flowviz.draw.sheets.labels import Label
from flowviz.draw.sheets.theme import GLASS, INK, PAPER, ROCK, ROCK_EDGE, SAND, SAND_EDGE
from flowviz.scene.model import Coral, Rock, Sand, Tank

CLOSED_TRIANGLE = (Path.MOVETO, Path.LINETO, Path.LINETO, Path.CLOSEPOLY)
NEARLY = 0.05  # of the greatest depth in rock: less than this from it is as deep


def outline(raster: Raster, low: float, high: float) -> Path | None:
    """Where values lie between two levels; None if nowhere."""
    lines = contour_generator(raster.right, raster.up, raster.values.T, fill_type=FillType.OuterCode)
    polygons, codes = lines.filled(low, high)
    return Path(np.concatenate(polygons), np.concatenate(codes)) if polygons else None


def is_rock_cut(rock: Rock, cut: Plane) -> bool:
    """Whether a plane runs through the box that holds a rock."""
    low, high = (corner[cut.axis] for corner in rock.solid.bounds)
    return low < cut.at < high


def rock_raster(rock: Rock, cut: Plane, step: float) -> Raster | None:
    """Signed distance to a rock on a plane about its box, at steps [m]; None if the plane misses it."""
    if not is_rock_cut(rock, cut):
        return None
    low, high = rock.solid.bounds
    sides = SIDES[cut.axis]
    rows = [np.array([cut.at])] * 3
    for side in sides:
        rows[side] = np.arange(low[side] - 2 * step, high[side] + 2 * step, step)
    distance = rock.solid.lattice_distance(*rows)
    return Raster(rows[sides[0]], rows[sides[1]], distance.squeeze(cut.axis))


def deepest(raster: Raster) -> tuple[float, float]:
    """Where a signed distance is lowest; of several such places the middle one [m]."""
    i, j = np.nonzero(raster.values <= (1 - NEARLY) * raster.values.min())
    nearest = np.argmin((i - i.mean()) ** 2 + (j - j.mean()) ** 2)
    return float(raster.right[i[nearest]]), float(raster.up[j[nearest]])


def draw_rock(axes: Axes, raster: Raster) -> None:
    """The cut face of a rock."""
    path = outline(raster, -np.inf, 0.0)
    if path is not None:
        axes.add_artist(PathPatch(path, facecolor=ROCK, edgecolor=ROCK_EDGE, linewidth=1.2, zorder=3))


def draw_rims_from_above(axes: Axes, rocks: Sequence[Rock]) -> None:
    """The edges of the shadows that rocks cast straight down."""
    for rock in rocks:
        points, triangles = rock.solid.triangles()
        rims = points[single_edges(facing_up(points[:, :2], triangles)), :2]
        axes.add_collection(LineCollection(rims, color=ROCK_EDGE, linewidth=2.4, zorder=1.2), autolim=False)


def draw_rocks_from_above(axes: Axes, rocks: Sequence[Rock]) -> None:
    """The shadows that rocks cast straight down."""
    draw_rims_from_above(axes, rocks)
    for rock in rocks:
        points, triangles = rock.solid.triangles()
        up = facing_up(points[:, :2], triangles)
        corners = points[up[:, (0, 1, 2, 0)], :2].reshape(-1, 2)
        codes = np.tile(CLOSED_TRIANGLE, len(up)).astype(Path.code_type)
        axes.add_artist(PathPatch(Path(corners, codes), facecolor=ROCK, edgecolor="none", zorder=1.3))


def facing_up(points: np.ndarray, triangles: np.ndarray) -> np.ndarray:
    """Those of the triangles (n, 3) that run counter-clockwise as seen from above; points (m, 2) [m]."""
    a, b, c = (points[corner] for corner in triangles.T)
    return triangles[(b - a)[:, 0] * (c - a)[:, 1] > (b - a)[:, 1] * (c - a)[:, 0]]


def single_edges(triangles: np.ndarray) -> np.ndarray:
    """Edges (n, 2) that belong to one triangle only."""
    low, high = np.sort(triangles[:, ((0, 1), (1, 2), (2, 0))].reshape(-1, 2).astype(np.int64), axis=1).T
    most = int(triangles.max()) + 1
    found, count = np.unique(low * most + high, return_counts=True)
    return np.column_stack(np.divmod(found[count == 1], most))


def is_cut(coral: Coral, cut: Plane) -> bool:
    """Whether a plane runs through the box that holds a group of corals, or its layer through one that is thinner."""
    return abs(cut.at - coral.centre[cut.axis]) <= max(coral.size[cut.axis] / 2, cut.half)


def draw_coral(axes: Axes, coral: Coral, axis: int, found: CoralFigures | None) -> Label:
    """The frame of the box that holds a group of corals, in a picture square to axis, and the group's name.

    With what is wrong with its current, where that is given.
    """
    (x, y), (width, height) = flat(coral.centre, axis), flat(coral.size, axis)
    corner = (x - width / 2, y - height / 2)
    for colour, line in ((INK, 2.6), (PAPER, 1.2)):
        axes.add_patch(Rectangle(corner, width, height, fill=False, edgecolor=colour, linewidth=line, zorder=FRAME))
    return coral_label(coral.name, found, (x, y + height / 2))


def draw_tank(axes: Axes, tank: Tank, cut: Plane) -> None:
    """The glass round the water, and paper over what is beyond it."""
    if cut.axis == 2:
        draw_floor_plan(axes, tank)
    else:
        draw_upright(axes, tank, cut)


def draw_floor_plan(axes: Axes, tank: Tank) -> None:
    """The walls cut by a level plane."""
    corners = tank.plan.outline()
    border = 2 * max(tank.plan.size)
    frame = np.array(((-border, -border), (-border, border), (border, border), (border, -border)))
    axes.add_patch(PathPatch(ring(frame, corners), facecolor=PAPER, edgecolor="none", zorder=4))
    axes.add_patch(Polygon(corners, closed=True, fill=False, edgecolor=GLASS, linewidth=3, zorder=5))


def ring(outer: np.ndarray, inner: np.ndarray) -> Path:
    """The area between two closed lines of opposite turn."""
    return Path.make_compound_path(*(Path(np.vstack((line, line[:1])), closed=True) for line in (outer, inner)))


def draw_upright(axes: Axes, tank: Tank, cut: Plane) -> None:
    """The walls and the floor cut by an upright plane, and the water's surface."""
    spans = wet(tank, cut)
    border = max(tank.plan.size)
    edges = [-border, *(edge for span in spans for edge in span), border + max(tank.plan.size)]
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        axes.add_patch(Rectangle((start, -border), end - start, 3 * border, facecolor=PAPER, zorder=4))
    axes.add_patch(Rectangle((-border, -border), 3 * border, border, facecolor=PAPER, zorder=4))
    for start, end in spans:
        corners = ((start, tank.height), (start, 0), (end, 0), (end, tank.height))
        axes.add_line(Line2D(*zip(*corners, strict=True), color=GLASS, linewidth=3, solid_joinstyle="miter", zorder=5))
        axes.add_line(Line2D((start, end), (tank.depth, tank.depth), color=GLASS, linewidth=1, zorder=5))


def wet(tank: Tank, cut: Plane) -> list[tuple[float, float]]:
    """Where an upright plane runs through the tank: from wall to wall [m]."""
    corners = np.roll(tank.plan.outline(), -cut.axis, axis=1)  # the coordinate that is cut first
    ends = np.roll(corners, -1, axis=0)
    cut_edges = (corners[:, 0] <= cut.at) != (ends[:, 0] <= cut.at)
    (a, b), (c, d) = corners[cut_edges].T, ends[cut_edges].T
    crossings = np.sort(b + (cut.at - a) / (c - a) * (d - b)).tolist()
    return list(zip(crossings[::2], crossings[1::2], strict=True))


def draw_sand(axes: Axes, sand: Sand, tank: Tank, cut: Plane) -> None:
    """The bed in an upright section."""
    for start, end in wet(tank, cut):
        axes.add_patch(Rectangle((start, 0), end - start, sand.depth, facecolor=SAND, edgecolor=SAND_EDGE, zorder=3.5))
