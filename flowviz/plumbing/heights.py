"""How high each place of the loop lies, from the openings' heights and the rises of the pipes."""

from collections.abc import Mapping

from flowviz.scene.model import Pipe, Scene


def heights(scene: Scene) -> Mapping[str, float]:
    """Height above the tank's floor [m] of every opening, pump and junction that pipes lead to from an opening.

    Reckoned from the intakes first, so that a pump has the height that its suction side gives it; where two ways of the
    same number of pipes disagree the higher counts, which is the safe side for suction.
    """
    known = {intake.name: intake.centre[2] for intake in scene.intakes}
    _spread(known, scene.pipes)
    known |= {outlet.name: outlet.centre[2] for outlet in scene.outlets if outlet.name not in known}
    _spread(known, scene.pipes)
    return known


def _spread(known: dict[str, float], pipes: tuple[Pipe, ...]) -> None:
    """Follow the pipes from known places to unknown ones, round after round."""
    while found := _next(known, pipes):
        known |= found


def _next(known: Mapping[str, float], pipes: tuple[Pipe, ...]) -> Mapping[str, float]:
    found = {}
    for pipe in pipes:
        for near, far, rise in ((pipe.start, pipe.end, pipe.rise), (pipe.end, pipe.start, -pipe.rise)):
            if near in known and far not in known:
                found[far] = max(found.get(far, float("-inf")), known[near] + rise)
    return found
