"""Animals that come into peril only once an intake is blocked."""

from collections.abc import Iterator

from flowviz.plumbing.animals import perils
from flowviz.plumbing.solve import solve_loop
from flowviz.plumbing.strainers import drawing, left_running, with_blocked
from flowviz.scene.model import Caution, Scene


def blocked_cautions(scene: Scene) -> tuple[Caution, ...]:
    """One caution at most: which animals are safe, everything running, until an intake is blocked."""
    if not scene.pipes or not scene.animals or len(scene.intakes) < 2:
        return ()
    found = [f"{' and '.join(caught)} once {intake} is blocked" for intake, caught in _caught(scene)]
    if not found:
        return ()
    what = f"with one of them blocked the others endanger animals that are safe while all draw: {'; '.join(found)}"
    why = "Take strainers that are large enough alone; flowviz plumb tells their sizes."
    return (Caution("intakes", what, why),)


def _caught(scene: Scene) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Each intake with the animals that others endanger only when it is blocked, if there are any."""
    loop = solve_loop(scene)
    already = {peril.animal for peril in perils(scene, loop) if not peril.safe}
    for intake in drawing(loop):
        rest = left_running(scene, with_blocked(scene, intake)[1])
        unsafe = [] if rest is None else [peril.animal for peril in perils(scene, rest) if not peril.safe]
        caught = tuple(animal for animal in dict.fromkeys(unsafe) if animal not in already)
        if caught:
            yield intake, caught
