"""The tank from above: where the water goes over its depth, and what stands where."""

from collections.abc import Iterator, Mapping, Sequence
from math import inf

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import Normalize
from scipy.ndimage import distance_transform_edt

from flowviz.assess.corals import CoralFigures
from flowviz.draw.flat.openings import badge, draw_opening, draw_shut, room_taken, shut
from flowviz.draw.flat.scale import draw_scale_bar, wall_names
from flowviz.draw.flat.slices import over_depth, refined
from flowviz.draw.flat.solid import draw_coral, draw_floor_plan, draw_rocks_from_above
from flowviz.draw.flat.water import draw_arrows, draw_mark, draw_speed, zone_label
from flowviz.draw.sheets.labels import Label, place
from flowviz.draw.sheets.lettering import short
from flowviz.draw.sheets.theme import DEAD, OVER, POCKET
from flowviz.draw.sheets.wording import badges, named, worst
from flowviz.scene.model import Coral, Rock, Scene
from flowviz.study import Study

HALF = 0.5  # of the water's depth: from so much on a place is marked dead
LEVEL = 2  # the axis that pictures from above are square to
PLACES = 40  # along and across a rock, and up, that are looked at for one for its name


def draw_plan(axes: Axes, study: Study, scale: Normalize) -> None:
    """All that is to be seen from above; scale takes speed [m/s] to colour."""
    scene, layer = study.scene, over_depth(study.grid, study.field)
    draw_speed(axes, refined(layer.speed, layer), scale)
    draw_mark(axes, refined(pocket_below(study).astype(float), layer), HALF, inf, POCKET)
    draw_mark(axes, refined(dead_share(study), layer), HALF, inf, DEAD)
    draw_mark(axes, refined(study.field.speed.max(axis=LEVEL), layer), scene.limits.over, inf, OVER)
    draw_arrows(axes, layer, scene.limits.dead, scale)
    draw_floor_plan(axes, scene.tank)
    scale_bar = draw_scale_bar(axes, scene.tank.plan.size[0], scene.show)
    standing = draw_standing(axes, scene, study.measures.corals)
    labels = [*draw_openings(axes, study), *zone_labels(study), *standing, *wall_names(scene.tank)]
    place(axes, labels, axes.get_window_extent(), room_taken(axes), [scale_bar])


def dead_share(study: Study) -> np.ndarray:
    """Share of the water's depth that is dead (nx, ny)."""
    water = study.grid.clear
    dead = water & (study.field.speed < study.scene.limits.dead)
    return np.count_nonzero(dead, axis=LEVEL) / np.maximum(np.count_nonzero(water, axis=LEVEL), 1)


def pocket_below(study: Study) -> np.ndarray:
    """Where a dead pocket is at some depth (nx, ny) bool."""
    dead = [number for number, zone in enumerate(study.measures.zones, start=1) if zone.kind == "dead"]
    return np.isin(study.measures.labels, dead).any(axis=LEVEL)


def draw_openings(axes: Axes, study: Study) -> Iterator[Label]:
    """Outlets and intakes, and their badges."""
    still = shut(study)
    for opening, letter in zip(study.scene.openings, badges(study.scene).values(), strict=True):
        draw = draw_shut if opening.name in still else draw_opening
        draw(axes, opening, LEVEL, here=True)
        yield badge(opening, letter, LEVEL, here=True)


def zone_labels(study: Study) -> Iterator[Label]:
    """How large the worst pockets are, where they are marked."""
    for number in worst(study.measures.zones):
        footprint = (study.measures.labels == number + 1).any(axis=LEVEL)
        yield from zone_label(study.measures.zones[number], footprint, LEVEL, study)


def draw_standing(axes: Axes, scene: Scene, found: Mapping[str, CoralFigures]) -> Iterator[Label]:
    """Rock and corals, and their names, with what was found of the corals."""
    draw_rocks_from_above(axes, scene.rocks)
    yield from draw_corals(axes, scene, found)


def draw_corals(axes: Axes, scene: Scene, found: Mapping[str, CoralFigures]) -> Iterator[Label]:
    """Corals, and their names with what was found of them, and then the names of rock."""
    for coral in scene.corals:
        yield draw_coral(axes, coral, LEVEL, found.get(coral.name))
    for rock in named(scene.rocks):
        size = np.ptp(rock.solid.bounds, axis=0)[:2]
        yield Label(short(rock.name), beside_corals(rock, scene.corals), body=tuple(size.tolist()))


def beside_corals(rock: Rock, corals: Sequence[Coral]) -> tuple[float, float]:
    """The middle of a rock from above or, where a frame of corals holds that, where it reaches farthest out of all [m].

    A name in a frame would be read as that of the corals.
    """
    low, high = np.array(rock.solid.bounds)
    middle, rows = (low + high) / 2, np.linspace(low, high, PLACES + 2).T
    x, y = np.meshgrid(*rows[:2], indexing="ij")
    free = (rock.solid.lattice_distance(*rows) < 0).any(axis=LEVEL) & ~held(x, y, corals)
    if not (held(*middle[:2], corals) and free.any()):
        return float(middle[0]), float(middle[1])
    room = distance_transform_edt(free, sampling=((high - low) / (PLACES + 1))[:2])
    best = np.unravel_index(room.argmax(), room.shape)
    return float(x[best]), float(y[best])


def held(x: np.ndarray, y: np.ndarray, corals: Sequence[Coral]) -> np.ndarray:
    """Whether places lie in the frame of any group of corals, seen from above."""
    frames = [(*coral.centre[:2], *coral.size[:2]) for coral in corals]
    within = [(abs(x - at) <= wide / 2) & (abs(y - across) <= deep / 2) for at, across, wide, deep in frames]
    return np.any([np.zeros(np.shape(x), bool), *within], axis=0)
