"""What is solid, in flat pictures: rock by its true outline, sand, and the glass round the water."""

import numpy as np
from contourpy import FillType, contour_generator
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch, Polygon, Rectangle
from matplotlib.path import Path

from flowviz.draw.labels import Label
from flowviz.draw.lettering import short
from flowviz.draw.slices import SIDES, Plane, Raster, flat
from flowviz.draw.theme import GLASS, INK, PAPER, ROCK, ROCK_EDGE, SAND, SAND_EDGE
from flowviz.scene.model import Coral, Rock, Sand, Tank

NEARLY = 0.05  # of the greatest depth in rock: less than this from it is as deep
CUT = 400  # steps along the longer side of the box of a rock in a section


def outline(raster: Raster, low: float, high: float) -> Path | None:
    """Where values lie between two levels; None if nowhere."""
    lines = contour_generator(raster.right, raster.up, raster.values.T, fill_type=FillType.OuterCode)
    polygons, codes = lines.filled(low, high)
    return Path(np.concatenate(polygons), np.concatenate(codes)) if polygons else None


def rock_raster(rock: Rock, cut: Plane) -> Raster | None:
    """Signed distance to a rock on a plane about its box [m]; None if the plane misses it."""
    low, high = (np.array(corner) for corner in rock.solid.bounds)
    if not low[cut.axis] < cut.at < high[cut.axis]:
        return None
    sides = list(SIDES[cut.axis])
    step = (high - low)[sides].max() / CUT
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


def draw_rock_from_above(axes: Axes, rock: Rock) -> None:
    """The shadow that a rock casts straight down: its triangles that face up."""
    points, triangles = rock.solid.triangles()
    flat_triangles = points[triangles][..., :2]
    (a, b, c) = np.moveaxis(flat_triangles, 1, 0)
    up = flat_triangles[(b - a)[:, 0] * (c - a)[:, 1] > (b - a)[:, 1] * (c - a)[:, 0]]
    closed = np.concatenate((up, up[:, :1]), axis=1).reshape(-1, 2)
    codes = np.tile((Path.MOVETO, Path.LINETO, Path.LINETO, Path.CLOSEPOLY), len(up))
    shadow = Path(closed, codes.astype(Path.code_type))
    for colour, width, layer in ((ROCK_EDGE, 2.4, 1.2), (ROCK, 0.4, 1.3)):
        axes.add_artist(
            PathPatch(shadow, facecolor=colour, edgecolor=colour, linewidth=width, joinstyle="round", zorder=layer)
        )


def is_cut(coral: Coral, cut: Plane) -> bool:
    """Whether a plane runs through the box that holds a group of corals."""
    return abs(cut.at - coral.centre[cut.axis]) <= coral.size[cut.axis] / 2


def draw_coral(axes: Axes, coral: Coral, axis: int) -> Label:
    """The frame of the box that holds a group of corals, in a picture square to axis, and the group's name."""
    (x, y), (width, height) = flat(coral.centre, axis), flat(coral.size, axis)
    corner = (x - width / 2, y - height / 2)
    for colour, line in ((INK, 2.6), (PAPER, 1.2)):
        axes.add_patch(Rectangle(corner, width, height, fill=False, edgecolor=colour, linewidth=line, zorder=5))
    return Label(short(coral.name), (x, y + height / 2), nearest=4.0)


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
