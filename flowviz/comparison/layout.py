"""What was changed from one scene to the next, in plain words."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import acos, degrees, dist

from flowviz.assess.words import named
from flowviz.comparison.places import one_ground
from flowviz.scene.apertures import Aperture, widths
from flowviz.scene.model import (
    Bar,
    Coral,
    Heap,
    Intake,
    Limits,
    Outlet,
    Phase,
    Pump,
    Rock,
    Scene,
    Site,
    Strainer,
    Vector,
)
from flowviz.units import System, percent, shown

LIMITS = {  # by the name of a limit
    "dead": "limit of dead water",
    "over": "limit of too-strong water",
    "settle": "limit below which detritus settles",
    "stir": "limit above which detritus is kept moving",
}
SITE = {  # by the name of what the site has
    "altitude": "altitude",
    "room": "floor area",
    "price": "price of electricity",
    "chiller": "chiller",
    "siphon_break": "siphon break",
}
REST = {  # what is told without going into it, by its name in the scene
    "tank": ("tank", "differs"),
    "water": ("water", "differs"),
    "sand": ("sand", "differs"),
    "pipes": ("pipes", "differ"),
    "junctions": ("junctions", "differ"),
    "measured": ("measured points", "differ"),
}
MOVED = 1e-3  # less is not told [m]
LITTLE = 1 / 4  # of a move's longest part: what is less across it is not told (a choice of words)
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
    """Everything that was changed, outlets first; in a tank of unlike plan nothing is said to stand elsewhere."""
    return (
        *openings(before.outlets, after.outlets, before, after),
        *openings(before.intakes, after.intakes, before, after),
        *pumps(before.pumps, after.pumps),
        *phases(before.phases, after.phases, after.show),
        *rocks(before, after),
        *corals(before, after),
        *things(before.animals, after.animals, lambda old, new: ["differs (animal)"]),
        *limits(before.limits, after.limits, after.show),
        *site(before.site, after.site),
        *rest(before, after),
    )


def things(before: Sequence, after: Sequence, words: Callable[[object, object], Sequence[str]]) -> Iterator[Change]:
    """Things with names that were added, left out or changed; words says how the second differs from the first."""
    old, new = ({each.name: each for each in side} for side in (before, after))
    yield from (Change(name, "is left out") for name in old if name not in new)
    yield from (Change(name, "is added") for name in new if name not in old)
    for name in (name for name in old if name in new and old[name] != new[name]):
        told = words(old[name], new[name])
        if told:
            yield Change(name, " and ".join(told))


def openings(
    these: Sequence[Outlet | Intake], those: Sequence[Outlet | Intake], before: Scene, after: Scene
) -> Iterator[Change]:
    """What was done to outlets or intakes."""
    alike = one_ground((before, after))

    def words(old: Outlet | Intake, new: Outlet | Intake) -> list[str]:
        told = [*(moved(old.centre, new.centre, after) if alike else ()), *remade(old, new, after)]
        return told or (["is described otherwise"] if told_of(old) != told_of(new) else [])

    yield from things(these, those, words)


def told_of(opening: Outlet | Intake) -> Outlet | Intake:
    """An opening but for its place and the way it faces, of which hardly anything is nothing."""
    still = (0.0, 0.0, 0.0)
    turned = replace(opening, centre=still, normal=still)
    return replace(turned, direction=still) if isinstance(turned, Outlet) else turned


def moved(old: Vector, new: Vector, scene: Scene) -> Iterator[str]:
    """How far an opening was moved and which way, the longest part first; all as one part where the rest is little."""
    if dist(old, new) >= MOVED:
        parts = [(end - start, ways) for start, end, ways in zip(old, new, WAYS, strict=True)]
        longest = max(abs(part) for part, _ in parts)
        told = sorted((part for part in parts if abs(part[0]) > LITTLE * longest), key=lambda part: -abs(part[0]))
        lengths = [abs(part) for part, _ in told] if len(told) > 1 else [dist(old, new)]
        words = [
            f"{shown(length, 'length', scene.show, DIGITS)} {ways[part > 0]}"
            for length, (part, ways) in zip(lengths, told, strict=True)
        ]
        yield f"moves {' and '.join(words)}"


def remade(old: Outlet | Intake, new: Outlet | Intake, scene: Scene) -> Iterator[str]:
    """What else was done to an opening."""
    angle = angle_between(old, new)
    if angle >= TURNED:
        yield f"turns by {angle:.0f}°"
    if old.aperture != new.aperture and not (barred(old) or barred(new)):
        yield f"has a mouth of {mouth(new.aperture, scene.show)}, not {mouth(old.aperture, scene.show)}"
    if old.flow != new.flow and new.flow is not None:
        yield f"is given {shown(new.flow, 'flow', scene.show)}"
    if old.panel != new.panel:
        yield f"goes {f'through the panel {new.panel}' if new.panel else 'over the rim'}"
    if old.hole != new.hole and new.hole is not None:
        yield f"is drilled {shown(new.hole, 'length', scene.show, DIGITS)}"
    fitted = blown_through if isinstance(old, Outlet) else screened
    yield from fitted(old, new, scene.show)


def barred(opening: Outlet | Intake) -> bool:
    """Whether it is a spray bar, whose jets its aperture only stands for."""
    return isinstance(opening, Outlet) and opening.bar is not None


def mouth(aperture: Aperture, system: System) -> str:
    """An opening by its widths: "32 mm", or "120 mm x 12 mm"."""
    return " x ".join(shown(width, "length", system, DIGITS) for width in widths(aperture))


def blown_through(old: Outlet, new: Outlet, system: System) -> Iterator[str]:
    """What was done to the mouth of an outlet."""
    if old.nozzle != new.nozzle:
        yield f"has {'no nozzle' if new.nozzle is None else f'a nozzle (coefficient {new.nozzle:g})'} now"
    if old.bar != new.bar:
        yield "has no spray bar now" if new.bar is None else bar_words(new.bar, system)


def bar_words(bar: Bar, system: System) -> str:
    """A spray bar that is new."""
    length, hole = (shown(each, "length", system, DIGITS) for each in (bar.length, bar.hole))
    return f"has a spray bar of {length} with {bar.holes} holes of {hole} now"


def screened(old: Intake, new: Intake, system: System) -> Iterator[str]:
    """What was done to the mouth of an intake."""
    if old.edge != new.edge:
        rounded = f"an edge rounded to {shown(new.edge, 'length', system, DIGITS)}" if new.edge else "a sharp edge"
        yield f"has {rounded} now"
    if old.strainer != new.strainer:
        yield strainer_words(old.strainer, new.strainer, system)


def strainer_words(old: Strainer | None, new: Strainer | None, system: System) -> str:
    """What was done to a strainer."""
    if old is None or new is None:
        return "gets a strainer" if new else "loses its strainer"
    parts = [f"{new.shape}, not {old.shape}"] if new.shape != old.shape else []
    if new.open_area != old.open_area:
        parts.append(f"{percent(new.open_area)} open, not {percent(old.open_area)}")
    for name, word in (("diameter", "wide"), ("length", "long"), ("slot", "slots")):
        then, now = (shown(getattr(each, name), "length", system, DIGITS) for each in (old, new))
        if now != then:
            parts.append(f"slots of {now}, not {then}" if name == "slot" else f"{now} {word}, not {then}")
    return f"has another strainer ({'; '.join(parts)})" if parts else "has another strainer"


def angle_between(old: Outlet | Intake, new: Outlet | Intake) -> float:
    """By which the way an opening faces was turned [°]."""
    ways = [each.direction if isinstance(each, Outlet) else each.normal for each in (old, new)]
    cosine = sum(a * b for a, b in zip(*ways, strict=True))
    return degrees(acos(min(1.0, max(-1.0, cosine))))


def pumps(before: Sequence[Pump], after: Sequence[Pump]) -> Iterator[Change]:
    """What was done to the pumps."""

    def words(old: Pump, new: Pump) -> Iterator[str]:
        if old.speed != new.speed:
            yield f"runs at {percent(new.speed)} of its speed, not {percent(old.speed)}"
        if replace(old, speed=new.speed) != new:
            yield "has another data sheet"

    yield from things(before, after, lambda old, new: list(words(old, new)))


def phases(before: Sequence[Phase], after: Sequence[Phase], system: System) -> Iterator[Change]:
    """What was done to the phases of the cycle."""

    def words(old: Phase, new: Phase) -> Iterator[str]:
        if old.time != new.time:
            yield f"lasts {shown(new.time, 'time', system)}, not {shown(old.time, 'time', system)}"
        if (old.speeds, old.valves) != (new.speeds, new.valves):
            yield "has its pumps or valves otherwise"

    for change in things(before, after, lambda old, new: list(words(old, new))):
        yield replace(change, thing=f"phase {change.thing}")
    names = [[each.name for each in side] for side in (before, after)]
    if names[0] != names[1] and sorted(names[0]) == sorted(names[1]):
        yield Change("phases", "follow each other otherwise")


def rocks(before: Scene, after: Scene) -> Iterator[Change]:
    """What was done to the rocks."""
    alike = one_ground((before, after))

    def words(old: Rock, new: Rock) -> Iterator[str]:
        if alike and old.solid.bounds != new.solid.bounds:
            yield "stands otherwise (rock)"
        elif round(old.solid.volume, 9) != round(new.solid.volume, 9):
            yield "is of another size or shape (rock)"
        if old.heap != new.heap:
            yield heap_words(old.heap, new.heap, after.show)

    yield from things(before.rocks, after.rocks, lambda old, new: list(words(old, new)))


def heap_words(old: Heap | None, new: Heap | None, system: System) -> str:
    """What was done to the stones of a rock."""
    if old is None or new is None:
        return "is a heap of rubble now" if new else "is closed rock now, no rubble"
    parts = []
    if new.open != old.open:
        now, then = told_apart(new.open, old.open)
        parts.append(f"{now} open, not {then}")
    if new.stone != old.stone:
        stone, was = (shown(each.stone, "length", system, DIGITS) for each in (new, old))
        parts.append(f"stones of {stone}, not {was}")
    return f"is heaped otherwise ({'; '.join(parts)})"


def told_apart(*shares: float) -> tuple[str, ...]:
    """Unlike shares, with so many digits that they read so: "45 %" and "40 %", "45.2 %" and "44.9 %"."""
    told = tuple(map(percent, shares))
    decimals = 1
    while len(set(told)) < len(set(shares)):
        told = tuple(f"{100 * share:.{decimals}f} %" for share in shares)
        decimals += 1
    return told


def corals(before: Scene, after: Scene) -> Iterator[Change]:
    """What was done to the groups of corals."""
    alike = one_ground((before, after))

    def words(old: Coral, new: Coral) -> Iterator[str]:
        if alike and (old.centre, old.size) != (new.centre, new.size):
            yield "stands otherwise (coral)"
        elif old.size != new.size:
            yield "is of another size (coral)"
        if old.speed != new.speed:
            yield f"wants {' to '.join(shown(speed, 'speed', after.show) for speed in new.speed)}"

    yield from things(before.corals, after.corals, lambda old, new: list(words(old, new)))


def limits(before: Limits, after: Limits, system: System) -> Iterator[Change]:
    """Which limits of good water were set otherwise."""
    for name, thing in LIMITS.items():
        then, now = (getattr(each, name) for each in (before, after))
        if then != now:
            yield Change(thing, f"is {shown(now, 'speed', system)}, not {shown(then, 'speed', system)}")


def site(before: Site, after: Site) -> Iterator[Change]:
    """In what the places differ where the tanks stand."""
    found = [words for name, words in SITE.items() if getattr(before, name) != getattr(after, name)]
    if found:
        yield Change("site", f"differs ({', '.join(found)})")


def rest(before: Scene, after: Scene) -> Iterator[Change]:
    """What is told without going into it."""
    for name, (thing, words) in REST.items():
        if getattr(before, name) != getattr(after, name):
            yield Change(thing, words)
