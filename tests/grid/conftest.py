"""A bare tank that tests of the grid put things into."""

from collections.abc import Callable

import pytest

from flowviz.scene.model import Limits, Scene, Tank, Water
from flowviz.shapes.plans import FloorPlan, rectangle


def tank_with(plan: FloorPlan = rectangle(1.2, 0.64), depth: float = 0.48, **parts) -> Scene:  # noqa: B008
    """A scene of a tank, of 60 x 32 x 24 cells of 20 mm where nothing else is said, and what it is given."""
    tank = Tank(plan, depth + 0.05, depth, {}, ("front",))
    return Scene("test", "metric", Water(25.0, 35.0), tank, Limits(0.03, 0.5), **parts)


@pytest.fixture
def tank() -> Callable[..., Scene]:
    """Builds scenes: plan, depth [m], and the parts of a Scene by name."""
    return tank_with
