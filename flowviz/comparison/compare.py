"""The door: from two studies to what differs between them, and why."""

from dataclasses import dataclass

from flowviz.comparison.differences import Difference, differences
from flowviz.comparison.pockets import PocketChange, pocket_changes
from flowviz.comparison.sentences import sentences
from flowviz.scene.model import Caution
from flowviz.study import Study


@dataclass(frozen=True, slots=True, eq=False)
class Comparison:
    """Two layouts of a tank, and what differs between them."""

    before: Study
    after: Study
    title: str  # one sentence: what it comes to
    differences: tuple[Difference, ...]
    reasons: tuple[str, ...]  # sentences; the first three are for the client: what changed, what it brings, its cost
    went: tuple[PocketChange, ...]  # pockets of before that are no more
    came: tuple[PocketChange, ...]  # pockets that are new
    stayed: tuple[PocketChange, ...]  # pockets of both
    cautions: tuple[Caution, ...]


def compare(before: Study, after: Study) -> Comparison:
    """What differs between two layouts of a tank beyond the noise, and why."""
    found, pockets = differences(before, after), pocket_changes(before, after)
    title, *reasons = sentences(before, after, found, pockets)
    fates = {fate: tuple(pocket for pocket in pockets if pocket.fate == fate) for fate in ("went", "came", "stayed")}
    return Comparison(before, after, title, found, tuple(reasons), **fates, cautions=())
