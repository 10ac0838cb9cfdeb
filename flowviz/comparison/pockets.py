"""What becomes of each pocket of dead or over-strong water from one layout to the next."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from flowviz.assess.zones import Zone
from flowviz.study import Study

SAME = 0.25  # of the smaller of two pockets: so much of it in both makes them one (a choice of words)


@dataclass(frozen=True, slots=True, eq=False)
class PocketChange:
    """A pocket and what becomes of it."""

    fate: Literal["went", "came", "stayed"]
    before: Zone | None
    after: Zone | None
    sure: bool  # whether its water differs beyond the noise; not asked of one that stayed
    reason: str  # in words; empty where none is known


def pocket_changes(before: Study, after: Study) -> tuple[PocketChange, ...]:
    """All pockets of two studies: those of before, then the new ones."""
    pairs = matches(before, after)
    old, new = before.measures.zones, after.measures.zones
    gone = [PocketChange("went", zone, None, False, "") for n, zone in enumerate(old) if n not in pairs]
    kept = [PocketChange("stayed", old[n], new[m], True, "") for n, m in pairs.items()]
    fresh = [PocketChange("came", None, zone, False, "") for m, zone in enumerate(new) if m not in pairs.values()]
    return (*gone, *kept, *fresh)


def matches(before: Study, after: Study) -> dict[int, int]:
    """Numbers of the pockets of before that are those of after, each with the one that it shares most water with."""
    there = in_the_same_places(after.measures.labels, after, before)
    return dict(shared(before, after, there))


def shared(before: Study, after: Study, there: np.ndarray) -> Iterator[tuple[int, int]]:
    """Pairs of pockets of one kind that share water."""
    for n, zone in enumerate(before.measures.zones):
        inside = np.bincount(there[before.measures.labels == n + 1], minlength=len(after.measures.zones) + 1)[1:]
        alike = [other.kind == zone.kind for other in after.measures.zones]
        common = np.where(alike, inside, 0)
        if common.size and common.max() > 0:
            m = int(common.argmax())
            if common[m] >= SAME * min(zone.cells, after.measures.zones[m].cells):
                yield n, m


def in_the_same_places(values: np.ndarray, study: Study, other: Study) -> np.ndarray:
    """Cell values of a study at the middles of the cells of another one; 0 outside its cells."""
    inside, cells = [], []
    for row, h, count in zip(other.grid.centres(), study.grid.spacing, study.grid.shape, strict=True):
        index = np.floor(row / h).astype(int)
        inside.append((index >= 0) & (index < count))
        cells.append(np.clip(index, 0, count - 1))
    known = inside[0][:, None, None] & inside[1][:, None] & inside[2]
    return np.where(known, values[np.ix_(*cells)], 0)
