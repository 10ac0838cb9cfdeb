"""A section through the tank: speed on a plane, what is beyond the limits, and what stands there."""

from collections.abc import Iterator
from math import sqrt

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import PathPatch, Rectangle
from scipy.ndimage import distance_transform_edt

from flowviz.draw.labels import Label, place
from flowviz.draw.lettering import short
from flowviz.draw.openings import badge, badges, draw_opening, flat
from flowviz.draw.scale import draw_ends, draw_scale_bar, wall_names
from flowviz.draw.slices import SIDES, Plane, Raster, in_plane_velocity, layer_of, rows, speed_raster
from flowviz.draw.solid import draw_rock, draw_sand, draw_tank, outline, rock_raster
from flowviz.draw.theme import INK, MARKS, PAPER, SPEEDS, Mark, speed_scale
from flowviz.draw.wording import pocket
from flowviz.scene.model import Limits, Scene, Tank
from flowviz.study import Study

THIN = 1.5  # cells: what is nowhere farther from its edge in a plane is not named there
ARROW, EVERY = 0.3, 0.34  # length of an arrow of the fastest water, and distance between arrows [in]
NEAR = 1.5  # bores: openings whose middle is no farther from a plane are in it


def draw_section(axes: Axes, study: Study, cut: Plane) -> None:
    """All that is to be seen on a plane."""
    scene = study.scene
    draw_speed(axes, speed_raster(cut, study.grid, study.field), scene.limits)
    draw_arrows(axes, study, cut)
    names = [*draw_rocks(axes, scene, cut), *draw_corals(axes, scene, cut)]
    if scene.sand and cut.axis != 2:
        draw_sand(axes, scene.sand, scene.tank, cut)
    draw_tank(axes, scene.tank, cut)
    scale_bar = draw_scale_bar(axes, scene.tank.plan.size[SIDES[cut.axis][0]], scene.show)
    labels = [*draw_openings(axes, scene, cut), *zone_labels(study, cut), *names, *side_names(axes, scene.tank, cut)]
    place(axes, labels, axes.get_window_extent(), [scale_bar])


def draw_speed(axes: Axes, speed: Raster, limits: Limits) -> None:
    """Speed in colour, and the marks of dead and over-strong water."""
    scale = speed_scale(limits)
    axes.imshow(speed.values.T, extent=speed.extent, origin="lower", cmap=SPEEDS, norm=scale, aspect="auto")
    mark(axes, speed, -np.inf, limits.dead, MARKS["dead"])
    mark(axes, speed, limits.over, np.inf, MARKS["over"])


def mark(axes: Axes, speed: Raster, low: float, high: float, look: Mark) -> None:
    """Hatching and outline where speed lies between two levels [m/s]."""
    path = outline(speed, low, high)
    if path is not None:
        line = {"edgecolor": look.colour, "hatch": look.hatch, "linestyle": look.line, "linewidth": 1.4}
        axes.add_patch(PathPatch(path, fill=False, zorder=2, **line))


def draw_arrows(axes: Axes, study: Study, cut: Plane) -> None:
    """Where the mean current goes in the plane: arrows at even distances, longer where it is faster."""
    velocity = in_plane_velocity(cut, study.grid, study.field)
    water = layer_of(study.grid.water, cut)
    at = [sparse(row, axes) for row in rows(cut.axis, study.grid)]
    shown = np.ix_(*at)
    pace = np.hypot(*np.moveaxis(velocity[shown], -1, 0))
    seen = water[shown] & (layer_of(study.field.speed, cut)[shown] > study.scene.limits.dead)
    right, up = (row[index] for row, index in zip(rows(cut.axis, study.grid), at, strict=True))
    x, y = np.meshgrid(right, up, indexing="ij")
    stretch = np.sqrt(speed_scale(study.scene.limits)(pace[seen])) * ARROW / pace[seen]
    light = np.where(speed_scale(study.scene.limits)(layer_of(study.field.speed, cut)[shown][seen]) > 0.6, INK, PAPER)
    axes.quiver(
        x[seen],
        y[seen],
        velocity[shown][seen, 0] * stretch,
        velocity[shown][seen, 1] * stretch,
        color=light,
        pivot="mid",
        angles="xy",
        units="inches",
        scale_units="inches",
        scale=1,
        width=0.012,
        headwidth=4,
        zorder=2.5,
    )


def sparse(row: np.ndarray, axes: Axes) -> np.ndarray:
    """Numbers of the cells along a row that get an arrow."""
    per_metre = axes.get_window_extent().width / axes.figure.dpi / np.ptp(axes.get_xlim())
    count = max(1, round(np.ptp(row) * per_metre / EVERY))
    return np.unique(np.linspace(0, row.size - 1, 2 * count + 1).round().astype(int)[1::2])


def draw_rocks(axes: Axes, scene: Scene, cut: Plane) -> Iterator[Label]:
    """Rock that the plane cuts, and its names."""
    for rock in scene.rocks:
        raster = rock_raster(rock, cut)
        if raster is not None and raster.values.min() < 0:
            draw_rock(axes, raster)
            deepest = np.unravel_index(np.argmin(raster.values), raster.values.shape)
            yield Label(short(rock.name), (float(raster.right[deepest[0]]), float(raster.up[deepest[1]])))


def draw_corals(axes: Axes, scene: Scene, cut: Plane) -> Iterator[Label]:
    """Groups of corals that the plane cuts: the frame of their box, and their names."""
    for coral in scene.corals:
        if abs(cut.at - coral.centre[cut.axis]) <= coral.size[cut.axis] / 2:
            (x, y), (width, height) = flat(coral.centre, cut.axis), flat(coral.size, cut.axis)
            corner = (x - width / 2, y - height / 2)
            for colour, line in ((INK, 2.6), (PAPER, 1.2)):
                axes.add_patch(Rectangle(corner, width, height, fill=False, edgecolor=colour, linewidth=line, zorder=5))
            yield Label(short(coral.name), (x, y + height / 2), nearest=4.0)


def zone_labels(study: Study, cut: Plane) -> Iterator[Label]:
    """How large the pockets are that the plane cuts."""
    layer = layer_of(study.measures.labels, cut)
    right, up = rows(cut.axis, study.grid)
    for number, zone in enumerate(study.measures.zones, start=1):
        depth = distance_transform_edt(np.pad(layer == number, 1))[1:-1, 1:-1]
        if depth.max() > THIN:
            i, j = np.unravel_index(np.argmax(depth), depth.shape)
            words = pocket(zone, study.scene.show)
            yield Label(words, (float(right[i]), float(up[j])), weight="bold", nearest=12.0)


def draw_openings(axes: Axes, scene: Scene, cut: Plane) -> Iterator[Label]:
    """Outlets and intakes, those outside the plane in outline, and their badges."""
    letters = badges(scene)
    for opening in scene.openings:
        here = abs(opening.centre[cut.axis] - cut.at) <= NEAR * sqrt(opening.aperture.area)
        draw_opening(axes, opening, cut.axis, here)
        yield badge(opening, letters[opening.name], cut.axis, here)


def side_names(axes: Axes, tank: Tank, cut: Plane) -> Iterator[Label]:
    """The names of the tank's sides: all walls of a level section, the two ends of an upright one."""
    if cut.axis == 2:
        yield from wall_names(tank)
    else:
        draw_ends(axes, tank.plan.size[SIDES[cut.axis][0]], cut.axis)
