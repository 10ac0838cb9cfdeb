"""How high each place of the loop lies, from the openings' heights and the rises of the pipes."""

from collections.abc import Iterable, Iterator, Mapping

from flowviz.scene.model import Caution, Scene
from flowviz.units import shown

Rises = Mapping[str, list[tuple[str, float]]]  # from a place to its neighbours, each with how much higher it lies [m]
ASTRAY = 0.05  # between an opening's height and what the rises make of it [m]: common practice, no source


def heights(scene: Scene) -> Mapping[str, float]:
    """Height above the tank's floor [m] of every opening, pump and junction that pipes lead to from an opening.

    Openings have their own. The rest is reckoned from the intakes first, so that a pump has the height that its suction
    side gives it; where two ways of the same number of pipes disagree the higher counts, which is the safe side for
    suction.
    """
    rises: dict[str, list[tuple[str, float]]] = {}
    for pipe in scene.pipes:
        rises.setdefault(pipe.start, []).append((pipe.end, pipe.rise))
        rises.setdefault(pipe.end, []).append((pipe.start, -pipe.rise))
    known = {opening.name: opening.centre[2] for opening in scene.openings}
    for openings in (scene.intakes, scene.outlets):
        _spread(known, rises, [opening.name for opening in openings])
    return known


def height_cautions(scene: Scene) -> Iterator[Caution]:
    """Openings that the rises of the pipes put elsewhere than they are; where no pipe has any, that all are missing."""
    astray = list(_astray(scene))
    if astray and not any(pipe.rise for pipe in scene.pipes):
        ups = [opening.centre[2] for opening in scene.openings]
        low, high = (shown(height, "length", scene.show) for height in (min(ups), max(ups)))
        what = f"none has a rise, so all are taken as level, but the openings lie from {low} to {high} over the floor"
        why = "Write for each how far its end lies over its start: leaks, suction and drawings are reckoned from that."
        yield Caution("pipes", what, why)
        return
    yield from astray


def _astray(scene: Scene) -> Iterator[Caution]:
    """Each opening that the rises of the pipes put elsewhere than it is."""
    place = heights(scene)
    kinds = {each.name: kind for kind in ("outlet", "intake") for each in getattr(scene, f"{kind}s")}
    for pipe in scene.pipes:
        for name, reckoned in ((pipe.start, place[pipe.end] - pipe.rise), (pipe.end, place[pipe.start] + pipe.rise)):
            if name in kinds and abs(reckoned - place[name]) > ASTRAY:
                by_rises, own = (shown(abs(height), "length", scene.show) for height in (reckoned, place[name]))
                side = "over" if reckoned >= 0 else "below"
                what = f"the rises of its pipes put it {by_rises} {side} the floor, but it is at {own}"
                why = "Mend the rises between it and the pump: leaks, suction and drawings are reckoned from them."
                yield Caution(f"{kinds[name]} {name}", what, why)


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
