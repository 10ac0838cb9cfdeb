"""How high each place of the loop lies, from the openings' heights and the rises of the pipes."""

from collections.abc import Iterable, Mapping

from flowviz.scene.model import Scene

Rises = Mapping[str, list[tuple[str, float]]]  # from a place to its neighbours, each with how much higher it lies [m]


def heights(scene: Scene) -> Mapping[str, float]:
    """Height above the tank's floor [m] of every opening, pump and junction that pipes lead to from an opening.

    Reckoned from the intakes first, so that a pump has the height that its suction side gives it; where two ways of the
    same number of pipes disagree the higher counts, which is the safe side for suction.
    """
    rises: dict[str, list[tuple[str, float]]] = {}
    for pipe in scene.pipes:
        rises.setdefault(pipe.start, []).append((pipe.end, pipe.rise))
        rises.setdefault(pipe.end, []).append((pipe.start, -pipe.rise))
    known = {intake.name: intake.centre[2] for intake in scene.intakes}
    _spread(known, rises, list(known))
    outlets = {outlet.name: outlet.centre[2] for outlet in scene.outlets if outlet.name not in known}
    known |= outlets
    _spread(known, rises, outlets)
    return known


def _spread(known: dict[str, float], rises: Rises, edge: Iterable[str]) -> None:
    """Follow the pipes from some known places to unknown ones, round after round."""
    while edge:
        found: dict[str, float] = {}
        for near in edge:
            for far, rise in rises.get(near, ()):
                if far not in known:
                    found[far] = max(found.get(far, known[near] + rise), known[near] + rise)
        known |= found
        edge = found
