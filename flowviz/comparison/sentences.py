"""What a comparison comes to, in plain sentences."""

from collections.abc import Sequence

from flowviz.comparison.differences import Difference
from flowviz.comparison.pockets import PocketChange
from flowviz.study import Study


def sentences(
    before: Study, after: Study, found: Sequence[Difference], pockets: Sequence[PocketChange]
) -> tuple[str, ...]:
    """A title, then the reasons."""
    called = [each for each in found if each.verdict in ("better", "worse")]
    if not called:
        return ("Too close to call: no figure differs by more than the noise",)
    words = [f"{each.subject}, {each.label}: {each.verdict}" for each in called]
    return (f"{len(called)} figures differ beyond the noise", *words)
