"""What was changed from one scene to the next, in plain words."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import acos, degrees, dist

from flowviz.assess.words import named, percent
from flowviz.scene.model import Intake, Outlet, Pump, Scene, Vector
from flowviz.units import shown

MOVED = 1e-3  # less is not told [m]
TURNED = 1.0  # less is not told [°]
DIGITS = 3  # of a length in a sentence
WAYS = (("to the left", "to the right"), ("to the front", "to the back"), ("down", "up"))  # along x, y, z


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that was changed."""

    thing: str  # its name in the scene
    words: str  # what was done: "moved 1.3 m to the right and turned"

    def __str__(self) -> str:
        return f"{named(self.thing)} {self.words}"


def changes(before: Scene, after: Scene) -> tuple[Change, ...]:
    """Everything that was changed, outlets first."""
    return (
        *openings(before.outlets, after.outlets, after),
        *openings(before.intakes, after.intakes, after),
        *pumps(before.pumps, after.pumps),
        *things("rock", before.rocks, after.rocks),
        *things("coral", before.corals, after.corals),
        *rest(before, after),
    )


def openings(before: Sequence[Outlet | Intake], after: Sequence[Outlet | Intake], scene: Scene) -> Iterator[Change]:
    """What was done to outlets or intakes."""
    old, new = ({each.name: each for each in side} for side in (before, after))
    yield from added_and_removed(old, new)
    for name in (name for name in old if name in new):
        words = [*moved(old[name].centre, new[name].centre, scene), *remade(old[name], new[name], scene)]
        if words:
            yield Change(name, " and ".join(words))


def added_and_removed(old: dict, new: dict) -> Iterator[Change]:
    """Names that only one of two layouts has."""
    yield from (Change(name, "is left out") for name in old if name not in new)
    yield from (Change(name, "is added") for name in new if name not in old)


def moved(old: Vector, new: Vector, scene: Scene) -> Iterator[str]:
    """How far an opening was moved, and which way for the most part."""
    if dist(old, new) >= MOVED:
        steps = [end - start for start, end in zip(old, new, strict=True)]
        axis = max(range(3), key=lambda way: abs(steps[way]))
        yield f"moves {shown(dist(old, new), 'length', scene.show, DIGITS)} {WAYS[axis][steps[axis] > 0]}"


def remade(old: Outlet | Intake, new: Outlet | Intake, scene: Scene) -> Iterator[str]:
    """What else was done to an opening."""
    angle = angle_between(old, new)
    if angle >= TURNED:
        yield f"turns by {angle:.0f}°"
    if old.aperture != new.aperture:
        yield f"opens {new.aperture.area / old.aperture.area:.2g} times as wide"
    if old.flow != new.flow and new.flow is not None:
        yield f"is given {shown(new.flow, 'flow', scene.show)}"


def angle_between(old: Outlet | Intake, new: Outlet | Intake) -> float:
    """By which the way an opening faces was turned [°]."""
    ways = [each.direction if isinstance(each, Outlet) else each.normal for each in (old, new)]
    cosine = sum(a * b for a, b in zip(*ways, strict=True))
    return degrees(acos(min(1.0, max(-1.0, cosine))))


def pumps(before: Sequence[Pump], after: Sequence[Pump]) -> Iterator[Change]:
    """What was done to the pumps."""
    old, new = ({each.name: each for each in side} for side in (before, after))
    yield from added_and_removed(old, new)
    for name in (name for name in old if name in new):
        if old[name].speed != new[name].speed:
            yield Change(name, f"runs at {percent(new[name].speed)} of its speed, not {percent(old[name].speed)}")
        if replace(old[name], speed=new[name].speed) != new[name]:
            yield Change(name, "has another data sheet")


def things(noun: str, before: Sequence, after: Sequence) -> Iterator[Change]:
    """Rocks or corals that were added, left out or moved."""
    old, new = ({each.name: outline(each) for each in side} for side in (before, after))
    yield from added_and_removed(old, new)
    yield from (Change(name, f"stands otherwise ({noun})") for name in old if name in new and old[name] != new[name])


def outline(thing: object) -> object:
    """What tells whether a rock or a group of corals is as it was."""
    return thing if not hasattr(thing, "solid") else (thing.solid.bounds, round(thing.solid.volume, 9), thing.heap)


def rest(before: Scene, after: Scene) -> Iterator[Change]:
    """What is told without going into it."""
    for name, words in (("pipes", "differ"), ("tank", "differs"), ("water", "differs"), ("sand", "differs")):
        if getattr(before, name) != getattr(after, name):
            yield Change(name, words)
