"""What the water of one way through the loop goes through: length, height, head, and what each part takes."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from flowviz.plumbing.grade import GradeLine
from flowviz.plumbing.heights import heights
from flowviz.plumbing.laws import velocity_head
from flowviz.plumbing.loop import Loop
from flowviz.plumbing.pipes import pipe_name
from flowviz.scene.model import Scene


@dataclass(frozen=True, slots=True)
class Drop:
    """Head that a part takes."""

    part: str
    where: str
    distance: float  # of the middle of the part from the intake [m]
    middle: float  # head half way through the part [m]
    head: float  # taken [m]


@dataclass(frozen=True, slots=True)
class Profile:
    """One way from an intake to an outlet; lengths from the intake, heights and heads from the water surface [m]."""

    line: GradeLine
    places: tuple[str, ...]  # openings, junctions and pumps on the way
    distances: tuple[float, ...]  # of the places
    heights: tuple[float, ...]  # of the places
    drops: tuple[Drop, ...]  # in the order of the way; what gives head is left out

    @property
    def lift(self) -> float:
        """What the pumps on the way give [m]."""
        return sum(drop for drop in _steps(self.line) if drop > 0)

    @property
    def before_outlet(self) -> float:
        """Head that pipes, fittings and intake take [m]: all but what the outlet itself does."""
        outlet = self.line.stations[-1].where
        return sum(drop.head for drop in self.drops if drop.where != outlet)

    def height(self, distance: float) -> float:
        """Of the way at a distance [m]."""
        return float(np.interp(distance, self.distances, self.heights))


@dataclass(frozen=True, slots=True)
class Suction:
    """The pressure at a place before the pump."""

    distance: float  # [m]
    head: float  # total [m]
    pressure: float  # over that of the air, as a height of water [m]


def profile(scene: Scene, loop: Loop, line: GradeLine) -> Profile:
    """A way with the heights of its places."""
    high = heights(scene)
    place = line.intake
    places, distances = [place], [0.0]
    for number in line.pipes:
        places.append(loop.pipes[number].goes_to)
        distances.append(distances[-1] + scene.pipes[number].length)
    level = tuple(high[place] - scene.tank.depth for place in places)
    return Profile(line, tuple(places), tuple(distances), level, tuple(_drops(line)))


def suctions(way: Profile, loop: Loop) -> tuple[Suction, ...]:
    """The pressures from the intake to the first pump of a way, there last; empty where that is at rest.

    The velocity head is taken off: total head less height is the pressure only in water that stands.
    """
    speeds = {pipe_name(loop.pipes[number]): loop.pipes[number].speed for number in way.line.pipes}
    speed, found = loop.pipes[way.line.pipes[0]].speed, []
    for station in way.line.stations[1:]:
        if station.name in loop.pumps:
            return tuple(found)
        speed = speeds.get(station.where, speed)
        pressure = station.head - way.height(station.distance) - velocity_head(speed, 1.0)
        found.append(Suction(station.distance, station.head, pressure))
    return ()


def _steps(line: GradeLine) -> Iterator[float]:
    return (after.head - before.head for before, after in pairwise(line.stations))


def _drops(line: GradeLine) -> Iterator[Drop]:
    for before, after in pairwise(line.stations):
        if after.head < before.head:
            middle = (before.distance + after.distance) / 2
            yield Drop(after.name, after.where, middle, (before.head + after.head) / 2, before.head - after.head)
