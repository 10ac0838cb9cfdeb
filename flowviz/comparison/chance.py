"""Two studies of one layout: whatever differs between them is chance, or how they were computed."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from flowviz.comparison.differences import Difference
from flowviz.comparison.layout import Change
from flowviz.comparison.pockets import PocketChange
from flowviz.study import Study

DOUBTED = {"went": "perhaps went", "came": "perhaps came"}  # what remains of a pocket's fate


def one_layout(changed: Sequence[Change], before: Study, after: Study) -> bool:
    """Whether nothing was changed in the scene, nor in the cells of its rock, which may differ more finely."""
    return not changed and (before.grid.shape != after.grid.shape or np.array_equal(before.grid.kind, after.grid.kind))


def uncalled(differences: Iterable[Difference]) -> tuple[Difference, ...]:
    """The same with no average called better, worse or changed."""
    return tuple(
        replace(each, verdict="too close to call") if each.called and each.noisy else each for each in differences
    )


def doubted(pockets: Iterable[PocketChange]) -> tuple[PocketChange, ...]:
    """The same with no pocket surely gone or new."""
    return tuple(
        replace(each, fate=DOUBTED[each.fate], reason="") if each.fate in DOUBTED else each for each in pockets
    )
