"""Invented tanks with invented loops, for the tests of the plumbing floor."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from flowviz.scene.apertures import Bore
from flowviz.scene.model import Intake, Junction, Limits, Outlet, Pipe, Pump, Scene, Site, Strainer, Tank, Water
from flowviz.shapes.plans import rectangle

HOUR = 1 / 3600
CURVE = ((0.0, 6.5), (6 * HOUR, 5.6), (12 * HOUR, 3.4), (16 * HOUR, 1.2))


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
