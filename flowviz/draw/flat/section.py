"""A section through the tank: speed on a plane, what is beyond the limits, and what stands there."""

from collections.abc import Collection, Iterator, Mapping
from math import inf, sqrt

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import Normalize
from matplotlib.transforms import Bbox

from flowviz.assess.corals import CoralFigures
from flowviz.draw.flat.openings import badge, draw_opening, draw_shut, room_taken, shut
from flowviz.draw.flat.scale import draw_ends, draw_scale_bar, wall_names
from flowviz.draw.flat.slices import FINE, SIDES, Plane, Raster, flat, layer_at, layer_of, refined
from flowviz.draw.flat.solid import deepest, draw_coral, draw_rock, draw_sand, draw_tank, is_cut, rock_raster, wet
from flowviz.draw.flat.water import draw_arrows, draw_mark, draw_speed, zone_label
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.theme import BEYOND, DEAD, OVER
from flowviz.draw.sheets.wording import badges, named, worst
from flowviz.scene.model import Coral, Intake, Outlet, Scene, Tank
from flowviz.study import Study

LEEWAY = 0.02  # of the tank: openings so near the water that is cut are drawn with it
NEAR = 1.5  # of the root of its area: an opening whose middle is no farther from a plane is in it


def draw_section(axes: Axes, study: Study, cut: Plane, scale: Normalize) -> None:
    """All that is to be seen on a plane; scale takes speed [m/s] to colour."""
    scene, layer = study.scene, layer_at(cut, study.grid, study.field)
    speed = refined(layer.speed, layer)
    draw_speed(axes, speed, scale)
    draw_mark(axes, speed, -inf, scene.limits.dead, DEAD)
    draw_mark(axes, speed, scene.limits.over, inf, OVER)
    for coral in corals_cut(scene, cut):
        draw_unwanted(axes, speed, coral, cut)
    draw_arrows(axes, layer, scene.limits.dead, scale)
    names = draw_standing(axes, scene, cut, study.measures.corals)
    foot = draw_foot(axes, scene, cut)
    labels = [
        *draw_openings(axes, scene, cut, shut(study)),
        *zone_labels(study, cut),
        *names,
        *side_names(scene.tank, cut),
    ]
    place(axes, labels, axes.get_window_extent(), room_taken(axes), foot)


def draw_standing(axes: Axes, scene: Scene, cut: Plane, found: Mapping[str, CoralFigures]) -> list[Label]:
    """Rock, corals, sand and glass, and the names of the first two, with what was found of the corals."""
    rocks = list(draw_rocks(axes, scene, cut))
    names = [*draw_corals(axes, scene, cut, found), *rocks]
    if scene.sand and cut.axis != 2:
        draw_sand(axes, scene.sand, scene.tank, cut)
    draw_tank(axes, scene.tank, cut)
    return names


def draw_rocks(axes: Axes, scene: Scene, cut: Plane) -> Iterator[Label]:
    """Rock that the plane cuts, and its names."""
    step = max(*scene.tank.plan.size, scene.tank.height) / FINE
    names = {rock.name for rock in named(scene.rocks)}
    for rock in scene.rocks:
        raster = rock_raster(rock, cut, step)
        if raster is not None and raster.values.min() < 0:
            draw_rock(axes, raster)
            if rock.name in names:
                yield Label(short(rock.name), deepest(raster), body=flat(np.ptp(rock.solid.bounds, axis=0), cut.axis))


def corals_cut(scene: Scene, cut: Plane) -> list[Coral]:
    """The groups of corals that a plane runs through."""
    return [coral for coral in scene.corals if is_cut(coral, cut)]


def draw_unwanted(axes: Axes, speed: Raster, coral: Coral, cut: Plane) -> None:
    """Where in a group's frame the water is slower or faster than it wants."""
    part = speed.within(flat(coral.centre, cut.axis), flat(coral.size, cut.axis))
    if min(part.values.shape) > 1:  # an area
        (low, high), (stiller, stronger) = coral.speed, BEYOND
        draw_mark(axes, part, -inf, low, stiller)
        draw_mark(axes, part, high, inf, stronger)


def draw_corals(axes: Axes, scene: Scene, cut: Plane, found: Mapping[str, CoralFigures]) -> Iterator[Label]:
    """Groups of corals that the plane cuts, and their names."""
    for coral in corals_cut(scene, cut):
        yield draw_coral(axes, coral, cut.axis, found.get(coral.name))


def zone_labels(study: Study, cut: Plane) -> Iterator[Label]:
    """How large the worst pockets are, if the plane cuts them."""
    labels = layer_of(study.measures.labels, cut)
    for number in worst(study.measures.zones):
        yield from zone_label(study.measures.zones[number], labels == number + 1, cut.axis, study)


def draw_openings(axes: Axes, scene: Scene, cut: Plane, shut: Collection[str] = ()) -> Iterator[Label]:
    """Outlets and intakes, those outside the plane hollow, and their badges; shut are names of those without flow.

    One outside the plane is left out where the plane cuts rock in its place: it would look as if it were in the rock.
    """
    letters, over = badges(scene), [each for each in scene.openings if is_over(each, scene.tank, cut)]
    elsewhere = [each for each in over if not is_here(each, cut) and not is_in_rock(each, scene, cut)]
    near = [each for each in over if is_here(each, cut)]
    for opening in (*elsewhere, *near):  # those in the plane on top of others
        draw = draw_shut if opening.name in shut else draw_opening
        draw(axes, opening, cut.axis, opening in near)
    for opening in (*near, *elsewhere):  # and with the first choice of places for their badges
        yield badge(opening, letters[opening.name], cut.axis, opening in near)


def is_here(opening: Outlet | Intake, cut: Plane) -> bool:
    """Whether an opening is in a plane."""
    return abs(opening.centre[cut.axis] - cut.at) <= NEAR * sqrt(opening.aperture.area)


def is_over(opening: Outlet | Intake, tank: Tank, cut: Plane) -> bool:
    """Whether an opening, seen square to the plane, lies before or behind the water that is cut, or at its edge."""
    if cut.axis == 2:
        return True
    right, _ = flat(opening.centre, cut.axis)
    leeway = LEEWAY * max(tank.plan.size)
    return any(start - leeway <= right <= end + leeway for start, end in wet(tank, cut))


def is_in_rock(opening: Outlet | Intake, scene: Scene, cut: Plane) -> bool:
    """Whether rock is cut where an opening, seen square to the plane, comes to lie."""
    at = np.array([opening.centre])
    at[0, cut.axis] = cut.at
    return any(rock.solid.distance(at)[0] < 0 for rock in scene.rocks)


def draw_foot(axes: Axes, scene: Scene, cut: Plane) -> list[Bbox]:
    """What stands below a section: its scale bar, and of an upright one the names of its ends; their room [px]."""
    width = scene.tank.plan.size[SIDES[cut.axis][0]]
    ends = draw_ends(axes, width, cut.axis) if cut.axis != 2 else []
    return [draw_scale_bar(axes, width, scene.show), *ends]


def side_names(tank: Tank, cut: Plane) -> Iterator[Label]:
    """The names of the walls of a level section; those of the ends of an upright one stand at its foot."""
    if cut.axis == 2:
        yield from wall_names(tank)
