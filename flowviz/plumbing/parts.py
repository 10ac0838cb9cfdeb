"""What has to be bought: pipe, fittings, tees, reducers, bulkheads, strainers and pumps.

It is listed by branch, with prices if there are any.
"""

import csv
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from io import StringIO
from math import isfinite

from flowviz.errors import InputError
from flowviz.plumbing.catalogue import fitting, pipe_size, plain
from flowviz.plumbing.mouths import narrowest
from flowviz.plumbing.pipes import inside_diameter, is_reducer, pipe_name
from flowviz.scene.columns import columns_in, number_in
from flowviz.scene.model import Caution, Intake, Outlet, Pipe, Scene
from flowviz.units import System, shown, to_si

COLUMNS = ("part", "size", "price")  # of a file of prices
PART_COLUMNS = ("part", "size", "quantity", "unit", "branch")
PIECES, METRES, FEET = "pieces", "m", "ft"

Key = tuple[str, str]  # part and size


@dataclass(frozen=True, slots=True)
class Part:
    """Some of one part on one branch."""

    part: str  # "pipe", "elbow 90", "bulkhead", "basket strainer"
    size: str
    quantity: float
    unit: str  # "m" or "pieces"
    branch: str  # the pipe or opening that it belongs to, "" for a sum over branches

    @property
    def key(self) -> Key:
        """What a price list knows it by."""
        return plain(self.part), plain(self.size)


@dataclass(frozen=True, slots=True)
class Bill:
    """A parts list with its prices, in the money of the price list."""

    costs: tuple[tuple[Part, float], ...]  # each part of each branch
    total: float
    by_branch: Mapping[str, float]
    by_part: Mapping[str, float]
    unpriced: tuple[Part, ...] = ()  # that the price list does not have; they are in none of the sums


def parts(scene: Scene) -> tuple[Part, ...]:
    """Everything of a scene's loop, in the scene's order."""
    return (
        *(part for pipe in scene.pipes for part in _of_pipe(pipe, scene)),
        *(part for name in _joints(scene) for part in _of_joint(scene, name)),
        *(part for opening in scene.openings for part in _of_opening(opening, scene)),
        *(Part("pump", pump.name, 1, PIECES, f'pump "{pump.name}"') for pump in scene.pumps),
    )


def summed(listed: Iterable[Part]) -> tuple[Part, ...]:
    """The same parts without their branches, each once."""
    sums: dict[Key, Part] = {}
    for part in listed:
        before = sums.get(part.key, replace(part, quantity=0.0))
        sums[part.key] = replace(part, quantity=before.quantity + part.quantity, branch="")
    return tuple(sums.values())


def prices_in(text: str, where: str) -> Mapping[Key, float]:
    """The prices in a table with the columns part, size and price; of pipe, for each metre or foot."""
    prices: dict[Key, float] = {}
    for line, row in columns_in(text, where, COLUMNS, filled=("part", "price")).rows:
        key, price = (plain(row["part"]), plain(row["size"])), _price(row["price"], line)
        if prices.setdefault(key, price) != price:
            fault = f"{' '.join(key).strip()!r} has two prices, {prices[key]:g} and {price:g}"
            raise InputError(line, fault, "Keep one of them")
    return prices


def bill(listed: Sequence[Part], prices: Mapping[Key, float], where: str, system: System) -> Bill:
    """What the parts that have a price cost; pipe is priced by the metre, or by the foot where that is the system."""
    priced = [part for part in listed if part.key in prices]
    unpriced = tuple(part for part in summed(listed) if part.key not in prices)
    if not priced:
        names = ", ".join(map(called, unpriced))
        raise InputError(where, f"has the price of none of the parts: {names}", "Add a row for each")
    costs = tuple((part, sold(part, system)[0] * prices[part.key]) for part in priced)
    return Bill(
        costs,
        sum(cost for _, cost in costs),
        _sums((part.branch, cost) for part, cost in costs),
        _sums((called(part), cost) for part, cost in costs),
        unpriced,
    )


def called(part: Part) -> str:
    """A part by its name and size."""
    return f"{part.part} {part.size}".strip()


def missing_prices(bill: Bill, where: str) -> tuple[Caution, ...]:
    """Which parts are in no sum of a bill."""
    names = ", ".join(map(called, bill.unpriced))
    what = f"it has no price for {names}"
    return (Caution(where, what, "They are in none of the sums. Add a row for each."),) if names else ()


def sold(part: Part, system: System) -> tuple[float, str]:
    """How much of a part, in the unit that it is sold by."""
    if part.unit == METRES and system == "us":
        return part.quantity / to_si("1 ft", "length"), FEET
    return part.quantity, part.unit


def parts_csv(listed: Iterable[Part], system: System) -> str:
    """A parts list as the text of a CSV file."""
    return _csv((PART_COLUMNS, *(_line(part, system) for part in listed)))


def bill_csv(bill: Bill, system: System) -> str:
    """A bill as the text of a CSV file; what has no price comes last, without a cost."""
    lines = ((*_line(part, system), f"{cost:.2f}") for part, cost in bill.costs)
    without = ((*_line(part, system), "") for part in bill.unpriced)
    return _csv(((*PART_COLUMNS, "cost"), *lines, *without))


def _line(part: Part, system: System) -> tuple[str, ...]:
    quantity, unit = sold(part, system)
    return (part.part, part.size, f"{quantity:g}", unit, part.branch)


def _csv(lines: Iterable[Sequence[str]]) -> str:
    text = StringIO()
    csv.writer(text, lineterminator="\n").writerows(lines)
    return text.getvalue()


def _of_pipe(pipe: Pipe, scene: Scene) -> Iterator[Part]:
    branch, size = pipe_name(pipe), _size(pipe, scene)
    yield Part("pipe" if pipe.size else "hose", size, pipe.length, METRES, branch)
    for name, count in pipe.fittings.items():
        known = plain(name) if is_reducer(name) else fitting(name, branch).name
        yield Part(known, size, count, PIECES, branch)


def _joints(scene: Scene) -> Iterable[str]:
    """Where pipes meet pipes, whether the scene describes the place or not: every end but openings and pumps."""
    others = {part.name for part in (*scene.openings, *scene.pumps)}
    return dict.fromkeys(end for pipe in scene.pipes for end in (pipe.start, pipe.end) if end not in others)


def _of_joint(scene: Scene, name: str) -> Iterator[Part]:
    """Tees as wide as the widest pipe, narrower ways named; a reducer where two pipes of different size meet.

    Each pipe beyond the second takes a tee; where four meet, one cross does as well as two tees.
    """
    pipes = [pipe for pipe in scene.pipes if name in (pipe.start, pipe.end)]
    sizes = dict.fromkeys(_size(pipe, scene) for pipe in sorted(pipes, key=inside_diameter, reverse=True))
    if len(pipes) > 2:
        cross = ", or one cross" if len(pipes) == 4 else ""
        yield Part("tee", " x ".join(sizes), len(pipes) - 2, PIECES, f'tee "{name}"{cross}')
    elif len(sizes) > 1 and not any(is_reducer(fitted) for pipe in pipes for fitted in pipe.fittings):
        yield Part("reducer", " x ".join(sizes), 1, PIECES, f'joint "{name}"')


def _of_opening(opening: Outlet | Intake, scene: Scene) -> Iterator[Part]:
    branch = f'{"outlet" if isinstance(opening, Outlet) else "intake"} "{opening.name}"'
    if opening.panel is not None:
        pipes = [pipe for pipe in scene.pipes if opening.name in (pipe.start, pipe.end)]
        yield Part("bulkhead", _size(pipes[0], scene) if pipes else "", 1, PIECES, branch)
    if isinstance(opening, Outlet):
        yield from _of_outlet(opening, branch, scene)
    elif opening.strainer is not None:
        strainer = opening.strainer
        size = _lengths(scene, strainer.diameter, *((strainer.length,) if strainer.length else ()))
        yield Part(f"{strainer.shape} strainer", size, 1, PIECES, branch)


def _of_outlet(outlet: Outlet, branch: str, scene: Scene) -> Iterator[Part]:
    if outlet.bar is not None:
        bar = outlet.bar
        holes = f"{bar.holes} holes of {_lengths(scene, bar.hole)}"
        size = f"{_lengths(scene, bar.length, bar.inside)}, {holes}"
        yield Part("spray bar", size, 1, PIECES, branch)
    if outlet.nozzle is not None:
        yield Part("nozzle", _lengths(scene, narrowest(outlet.aperture)), 1, PIECES, branch)


def _lengths(scene: Scene, *lengths: float) -> str:
    """Lengths [m] as the size of a part."""
    return " x ".join(shown(length, "length", scene.show) for length in lengths)


def _size(pipe: Pipe, scene: Scene) -> str:
    return f"{_lengths(scene, pipe.inside)} inside" if pipe.size is None else pipe_size(pipe.size, pipe_name(pipe)).name


def _price(written: str, where: str) -> float:
    try:
        price = number_in(written)
    except ValueError as error:
        raise InputError(where, f"has {written!r} as price", "Write the number alone, as 12.50") from error
    if not (isfinite(price) and price >= 0):
        raise InputError(where, f"has {written} as price", "Write a number that is not negative")
    return price


def _sums(pairs: Iterable[tuple[str, float]]) -> Mapping[str, float]:
    sums: dict[str, float] = {}
    for name, value in pairs:
        sums[name] = sums.get(name, 0.0) + value
    return sums
