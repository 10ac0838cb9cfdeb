"""Invented tanks with invented loops, for the tests of the plumbing floor."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from types import SimpleNamespace

import numpy as np
import pytest

from flowviz.scene.apertures import Bore
from flowviz.scene.model import Intake, Junction, Limits, Outlet, Pipe, Pump, Scene, Site, Strainer, Tank, Water
from flowviz.shapes.plans import rectangle

HOUR = 1 / 3600
CURVE = ((0.0, 6.5), (6 * HOUR, 5.6), (12 * HOUR, 3.4), (16 * HOUR, 1.2))
STRONG = Pump("A", CURVE, None, None, "dry", 1.0)
WEAK = Pump("B", ((0.0, 3.0), (4 * HOUR, 2.2), (8 * HOUR, 0.3)), None, None, "dry", 1.0)
STEEP = Pump("C", ((0.0, 9.0), (3 * HOUR, 7.5), (6 * HOUR, 1.0)), None, None, "dry", 1.0)
CHECKED, SHUT = {"check valve": 1}, {"ball valve": 0.0}


def outlet(name: str, at: tuple[float, float, float], panel: str | None = "left") -> Outlet:
    return Outlet(name, at, (1.0, 0.0, 0.0), (1.0, 0.0, 0.0), Bore(0.032), panel, 0.06, None)


def peninsula() -> Scene:
    """Two outlets, one intake and one pump with a tee between."""
    strainer = Strainer("basket", 0.11, 0.12, 0.38, 0.003)
    return Scene(
        title="peninsula",
        show="metric",
        water=Water(25.5, 35.0),
        tank=Tank(rectangle(2.4, 0.76), 0.65, 0.6, {}, ("front",)),
        limits=Limits(0.03, 0.5),
        site=Site(room=20.0, price=0.30),
        outlets=(outlet("left high", (0.0, 0.2, 0.45)), outlet("behind the arch", (1.5, 0.1, 0.0), "floor")),
        intakes=(Intake("left low", (0.0, 0.38, 0.12), (1.0, 0.0, 0.0), Bore(0.063), "left", 0.09, None, strainer),),
        pumps=(Pump("loop pump", CURVE, 240.0, 1.5, "dry", 1.0),),
        pipes=(
            Pipe("left low", "loop pump", "2 in sch 40", None, 1.4, 0.0, {"elbow 90": 2, "union ball valve": 1}, 0.0),
            Pipe("loop pump", "tee", "2 in sch 40", None, 1.0, 0.3, {"union ball valve": 1, "elbow 90": 1}, 0.0),
            Pipe("tee", "left high", "1 1/4 in sch 40", None, 1.2, 0.0, {"elbow 90": 3, "union ball valve": 1}, 0.0),
            Pipe("tee", "behind the arch", "1 1/4 in sch 40", None, 2.6, -0.42, {"elbow 90": 4}, 0.0),
        ),
        junctions=(Junction("tee", "tee", ("loop pump", "behind the arch")),),
    )


@pytest.fixture
def scene() -> Scene:
    return peninsula()


@pytest.fixture
def with_pipe() -> Callable[..., Scene]:
    """Gives a scene with a pipe, told by its number, otherwise."""

    def change(scene, number, **changes):
        pipes = list(scene.pipes)
        pipes[number] = replace(pipes[number], **changes)
        return replace(scene, pipes=tuple(pipes))

    return change


def pipe(way: str, inside: float = 0.04, length: float = 1.0, fittings=None, valves=None) -> Pipe:
    """Of a way such as "pump tee"."""
    return Pipe(*way.split(), None, inside, length, 0.0, fittings or {}, 0.0, valves or {})


@dataclass(frozen=True)
class Parts:
    """Pumps and pipes; ends called o... are outlets of 32 mm, ends called i... intakes of 63 mm."""

    pumps: tuple[Pump, ...]
    pipes: tuple[Pipe, ...]
    junctions: tuple[Junction, ...] = ()
    water: Water = field(default_factory=lambda: Water(25.5, 35.0))

    def put_into(self, scene: Scene) -> Scene:
        """A tank with this loop."""
        ends = dict.fromkeys(end for each in self.pipes for end in (each.start, each.end))
        across = (1.0, 0.0, 0.0)
        outlets = tuple(
            Outlet(end, (0.0, 0.2, 0.45), across, across, Bore(0.032), "left", None, None)
            for end in ends
            if end[0] == "o"
        )
        intakes = tuple(
            Intake(end, (0.0, 0.3, 0.12), across, Bore(0.063), "left", None, None, None)
            for end in ends
            if end[0] == "i"
        )
        parts = {"pumps": self.pumps, "pipes": self.pipes, "junctions": self.junctions, "water": self.water}
        return replace(scene, outlets=outlets, intakes=intakes, **parts)


def lattice() -> Parts:
    """Sixty pipes: six by five places in squares, pumps at two corners, seven outlets."""
    rng = np.random.default_rng(5)
    ways = [f"n{i}{j} n{i + 1}{j}" for i in range(5) for j in range(5)]
    ways += [f"n{i}{j} n{i}{j + 1}" for i in range(6) for j in range(4)]
    pipes = [pipe(way, rng.uniform(0.01, 0.06), rng.uniform(0.2, 4)) for way in ways]
    pipes += [pipe("i1 A"), pipe("A n00"), pipe("i2 B"), pipe("B n54", fittings=CHECKED)]
    pipes += [pipe(way, 0.025) for way in ("n04 o0", "n14 o1", "n24 o2", "n34 o3", "n44 o4", "n30 o5", "n50 o6")]
    return Parts((STRONG, WEAK), tuple(pipes))


LOOPS = {
    "three unlike pumps side by side": Parts(
        (STRONG, WEAK, STEEP),
        (
            *(pipe(f"{a} {b}") for a, b in ("iS", "SA", "SB", "SC")),
            *(pipe(f"{a} D", fittings=CHECKED) for a in "ABC"),
            pipe("D o1"),
            pipe("D o2"),
        ),
    ),
    "the same without check valves, so that one runs backwards": Parts(
        (STRONG, WEAK, STEEP),
        (*(pipe(f"{a} {b}") for a, b in ("iS", "SA", "SB", "SC", "AD", "BD", "CD")), pipe("D o", 0.02)),
    ),
    "three unlike pumps in a row, the last forced beyond its curve": Parts(
        (STRONG, WEAK, STEEP), tuple(pipe(f"{a} {b}") for a, b in ("iA", "AB", "BC", "Co"))
    ),
    "a bypass round the pump, far wider than the way out": Parts(
        (STRONG,), (pipe("i S"), pipe("S A"), pipe("A D"), pipe("D S", 0.08), pipe("D o", 0.013))
    ),
    "a valve all but shut": Parts(
        (STRONG,),
        (pipe("i A"), pipe("A D"), pipe("D o1"), pipe("D o2", fittings={"ball valve": 1}, valves={"ball valve": 0.1})),
    ),
    "a ring whose far side rests by symmetry": Parts(
        (STRONG,), tuple(pipe(way) for way in ("i A", "A T", "T L", "T R", "L M", "M R", "L o1", "R o2"))
    ),
    "a hose of 3 mm and 200 m": Parts((STRONG,), (pipe("i A", 0.02), pipe("A o", 0.003, 200.0))),
    "pipes of two metres across": Parts((STRONG,), (pipe("i A", 2.0, 10.0), pipe("A o", 2.0, 10.0))),
    "a hose of 2 mm beside a pipe of 50 mm": Parts(
        (STRONG,), (pipe("i A", 2.0, 0.01), pipe("A D", 0.05), pipe("D o1"), pipe("D o2", 0.002, 100.0))
    ),
    "a pump run out to three times its printed curve": Parts(
        (Pump("D", ((0.0, 1.0), (2 * HOUR, 0.8)), None, None, "dry", 1.0),), (pipe("i D", 0.1), pipe("D o", 0.1))
    ),
    "water backwards through an idling pump": Parts(
        (STRONG, replace(WEAK, speed=1e-3)), tuple(pipe(f"{a} {b}") for a, b in ("iS", "SA", "SB", "AD", "BD", "Do"))
    ),
    "an outlet that draws": Parts((STRONG,), (pipe("i S", 0.015), pipe("S A"), pipe("A o1"), pipe("S o2"))),
    "an intake that blows": Parts((STRONG,), (pipe("i1 A"), pipe("A D"), pipe("D o", 0.01), pipe("i2 D"))),
    "delivery joined to the other pump's suction": Parts(
        (STRONG, WEAK), tuple(pipe(way) for way in ("i1 A", "A X", "X o1", "i2 Y", "Y B", "B o2", "X Y"))
    ),
    "sixty pipes": lattice(),
}
CROSSED = Parts((STRONG, WEAK), tuple(pipe(way) for way in ("i1 A", "A X", "X o1", "i2 B", "B Y", "Y o2", "X Y")))
LOOPS |= {
    "two loops joined, sea water of 2 °C": replace(CROSSED, water=Water(2.0, 35.0)),
    "two loops joined, fresh water of 40 °C": replace(CROSSED, water=Water(40.0, 0.0)),
}


@pytest.fixture(params=LOOPS, ids=str)
def hard_loop(request, scene) -> Scene:
    """Each of the loops that a solver stumbles over."""
    return LOOPS[request.param].put_into(scene)


@pytest.fixture(scope="session")
def build() -> SimpleNamespace:
    """What such loops are made of, and the loops by name."""
    return SimpleNamespace(pipe=pipe, parts=Parts, loops=LOOPS, strong=STRONG, checked=CHECKED, shut=SHUT)
