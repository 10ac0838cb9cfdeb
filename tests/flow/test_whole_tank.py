"""A tank with a cut corner, rocks and jets at a slant, told again as seen from another side.

Mirrored end to end, and turned by a quarter, its water must do the same: its statistics as far as they are known, since
a marched flow is chaotic. (tests/test_study.py mirrors the first tank front to back.)
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import hypot

import numpy as np
import pytest

from flowviz import Settings, read_scene, run
from flowviz.study import Study

LENGTH, WIDTH = 1.2, 0.6  # [m]
MARCHES = 4  # one short look hardly knows its own interval
Place = Callable[[float, float], tuple[float, float]]


@dataclass(frozen=True)
class View:
    """How places, directions and panels are told from one side."""

    place: Place  # of x and y [m]
    way: Place  # of a direction's x and y
    panels: dict[str, str]
    spin: float  # by which a rock's turn grows [°]
    hand: int  # -1 where left and right are swapped


SIDES = ("left", "right", "front", "back")
PLAIN = View(lambda x, y: (x, y), lambda x, y: (x, y), dict(zip(SIDES, SIDES, strict=True)), 0, 1)
MIRRORED = View(
    lambda x, y: (LENGTH - x, y),
    lambda x, y: (-x, y),
    dict(zip(SIDES, ("right", "left", "front", "back"), strict=True)),
    0,
    -1,
)
TURNED = View(
    lambda x, y: (WIDTH - y, x),
    lambda x, y: (-y, x),
    dict(zip(SIDES, ("front", "back", "right", "left"), strict=True)),
    90,
    1,
)


def told(view: View) -> str:
    """The tank as it is told from that side."""

    def at(x: float, y: float, z: float) -> str:
        a, b = view.place(x, y)
        return f'["{a:.4f} m", "{b:.4f} m", "{z} m"]'

    def opening(kind: str, name: str, panel: str, place, bore: str, direction=None, flow: str = "") -> str:
        lines = [f'[[{kind}]]\nname = "{name}"', f'panel = "{view.panels[panel]}"', f"at = {at(*place)}"]
        lines.append(f'bore = "{bore}"')
        if direction:
            a, b = view.way(*direction[:2])
            lines += [f"direction = [{a}, {b}, {direction[2]}]", f'flow = "{flow}"']
        return "\n".join(lines)

    corners = [view.place(*corner) for corner in ((0, 0), (1.2, 0), (1.2, 0.4), (0.9, 0.6), (0, 0.6))]
    outline = ", ".join(f'["{a:.4f} m", "{b:.4f} m"]' for a, b in corners)
    return "\n".join(
        (
            'title = "Cut corner"\nshow = "metric"',
            '[water]\ntemperature = "25 degC"\nsalinity = "35 g/kg"',
            '[limits]\ndead = "3 cm/s"\nover = "30 cm/s"',
            f'[tank]\noutline = [{outline}]\nheight = "0.6 m"\ndepth = "0.5 m"\nseen_from = ["{view.panels["front"]}"]',
            f'[[rock]]\nname = "bommie"\nshape = "ellipsoid"\ncentre = {at(0.45, 0.34, 0.05)}',
            f'size = ["0.4 m", "0.24 m", "0.4 m"]\nturn = "{view.hand * 20 + view.spin} deg"',
            f'[[rock]]\nname = "slab"\nshape = "box"\ncentre = {at(0.85, 0.2, 0.1)}',
            f'size = ["0.2 m", "0.14 m", "0.2 m"]\nturn = "{view.hand * -30 + view.spin} deg"',
            opening("outlet", "high", "left", (0, 0.18, 0.36), "25 mm", (1, 0.15, 0), "2800 L/h"),
            opening("outlet", "behind", "back", (0.7, 0.6, 0.12), "25 mm", (0.2, -1, 0.1), "1800 L/h"),
            opening("intake", "low", "right", (1.2, 0.2, 0.1), "50 mm"),
        )
    )


@pytest.fixture(scope="module")
def studied(tmp_path_factory) -> Callable[[View, str], Study]:
    """Computes the tank as it is told from a side, once."""
    done = {}

    def study(view: View, detail: str) -> Study:
        if (id(view), detail) not in done:
            path = tmp_path_factory.mktemp("tank") / "tank.toml"
            path.write_text(told(view), encoding="utf-8")
            done[id(view), detail] = run(read_scene(path), Settings(detail, 0.02, marches=MARCHES))
        return done[id(view), detail]

    return study


@pytest.mark.parametrize(("view", "back"), [(MIRRORED, lambda kind: kind[::-1]), (TURNED, lambda kind: turned(kind))])
def test_it_has_the_same_cells(view, back, studied):
    assert np.array_equal(back(studied(view, "sketch").grid.kind), studied(PLAIN, "sketch").grid.kind)


def turned(kind: np.ndarray) -> np.ndarray:
    """Turned back by a quarter: x was WIDTH - y, y was x."""
    return kind[::-1].swapaxes(0, 1)


@pytest.mark.parametrize("detail", ["sketch", "coarse"])
@pytest.mark.parametrize("view", [MIRRORED, TURNED], ids=["mirrored", "turned"])
def test_it_has_the_same_figures_within_their_intervals(view, detail, studied):
    """The tolerance is the two 95 % intervals' own."""
    one, other = studied(PLAIN, detail).measures, studied(view, detail).measures
    assert 0 < one.over_fraction < 0.2
    for name, first, second in (
        ("dead_fraction", one.dead_fraction, other.dead_fraction),
        ("over_fraction", one.over_fraction, other.over_fraction),
        ("mean", one.speed.mean, other.speed.mean),
    ):
        assert abs(first - second) <= hypot(one.uncertainty[name], other.uncertainty[name]), name
