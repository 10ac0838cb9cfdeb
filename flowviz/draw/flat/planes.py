"""Which planes through a tank are drawn: one for each thing that is to be seen, none twice."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import Literal

import numpy as np

from flowviz.assess.corals import cells_of as held_by
from flowviz.assess.needs import unknowable
from flowviz.draw.flat.slices import Plane, plane
from flowviz.grid.grid import Grid
from flowviz.study import Study

SECTIONS = 3
LIKED = (0.7, 1.0, 0.8)  # planes square to x, y, z: a tank is looked at from its long side (a choice of taste)
APART = 1 / 6  # of the tank's extent: planes of one direction that are nearer show the same (a choice of taste)
NEARLY_AS_MUCH = 0.8  # of the most that a plane can show (a choice of taste)
EXTREME_SHARE = 0.02  # of the water: shown as the stillest or fastest where no pocket is beyond a limit


@dataclass(frozen=True, slots=True)
class Subject:
    """Something to be seen in the tank."""

    kind: Literal["dead", "over", "coral", "stillest", "fastest"]
    number: int = 0  # of the zone in the study's measures, or of the coral in its scene


@dataclass(frozen=True, slots=True)
class Section:
    """A subject and the plane that shows most of it."""

    subject: Subject
    plane: Plane


def choose_sections(study: Study) -> tuple[Section, ...]:
    """The planes to draw: through the worst dead pocket, the strongest water, the corals, then what matters next."""
    chosen: list[Section] = []
    for subject in subjects(study):
        found = best_plane(cells_of(subject, study), study.grid, [section.plane for section in chosen])
        if found is not None:
            chosen.append(Section(subject, found))
        if len(chosen) == SECTIONS:
            break
    return tuple(chosen)


def subjects(study: Study) -> Iterator[Subject]:
    """All there is to see: the first of each kind, then the second of each, and so on."""
    dead = zones(study, "dead") or [Subject("stillest")]
    over = zones(study, "over") or [Subject("fastest")]
    for rank in zip_longest(dead, over, corals(study)):
        yield from (subject for subject in rank if subject is not None)
    yield from (Subject("stillest"), Subject("fastest"))


def zones(study: Study, kind: Literal["dead", "over"]) -> list[Subject]:
    """Pockets of a kind, the ones that matter first."""
    return [Subject(kind, number) for number, zone in enumerate(study.measures.zones) if zone.kind == kind]


def corals(study: Study) -> list[Subject]:
    """Groups of corals, those that get least of what they want first, and last those that nothing can be said of."""
    figures = [study.measures.corals[coral.name] for coral in study.scene.corals]
    numbers = [number for number, found in enumerate(figures) if found.cells]
    numbers.sort(key=lambda number: (unknowable(figures[number]), figures[number].in_band_fraction))
    return [Subject("coral", number) for number in numbers]


def cells_of(subject: Subject, study: Study) -> np.ndarray:
    """Where a subject is (nx, ny, nz) bool."""
    if subject.kind == "coral":
        held = np.zeros(study.grid.shape, bool)
        held.flat[held_by(study.scene.corals[subject.number], study.grid)] = True
        return held
    if subject.kind in ("dead", "over"):
        return study.measures.labels == subject.number + 1
    return stillest(study) if subject.kind == "stillest" else fastest(study)


def stillest(study: Study) -> np.ndarray:
    """Dead water, be it in spots too small for a pocket; without any the stillest (nx, ny, nz) bool."""
    speed, water = study.field.speed, study.grid.clear
    dead = water & (speed < study.scene.limits.dead)
    return dead if dead.any() else water & (speed <= np.quantile(speed[water], EXTREME_SHARE))


def fastest(study: Study) -> np.ndarray:
    """As stillest, of too-strong water."""
    speed, water = study.field.speed, study.grid.clear
    over = water & (speed > study.scene.limits.over)
    return over if over.any() else water & (speed >= np.quantile(speed[water], 1 - EXTREME_SHARE))


def best_plane(cells: np.ndarray, grid: Grid, taken: Sequence[Plane]) -> Plane | None:
    """The plane through the cells that shows most of them, and is not near one that is taken; None if there is none.

    Of the planes that show nearly as much, it is the one nearest to their middle.
    """
    shown = [shown_by_layers(cells, axis, grid, taken) for axis in range(3)]
    axis = int(np.argmax([area.max() for area in shown]))
    if shown[axis].max() == 0:
        return None
    good = np.flatnonzero(shown[axis] >= NEARLY_AS_MUCH * shown[axis].max())
    middle = np.argwhere(cells)[:, axis].mean()
    return plane(axis, int(good[np.argmin(abs(good - middle))]), grid)


def shown_by_layers(cells: np.ndarray, axis: int, grid: Grid, taken: Sequence[Plane]) -> np.ndarray:
    """Area of the cells in each layer square to axis [m²], weighted by taste; 0 near a plane that is taken."""
    face = grid.cell_volume / grid.spacing[axis]
    area = LIKED[axis] * face * np.count_nonzero(cells, axis=tuple({0, 1, 2} - {axis}))
    layers = np.arange(area.size)
    for other in (other for other in taken if other.axis == axis):
        area[abs(layers - other.layer) < APART * area.size] = 0
    return area
