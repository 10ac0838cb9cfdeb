"""A bare tank that tests of the grid put things into."""

from collections.abc import Callable

import pytest

from flowviz.scene.model import Scene
from flowviz.shapes.plans import rectangle


@pytest.fixture
def tank(make) -> Callable[..., Scene]:
    """Builds scenes of a tank, of 60 x 32 x 24 cells of 20 mm where nothing else is said, and what it is given."""

    def build(plan=rectangle(1.2, 0.64), depth=0.48, **parts):  # noqa: B008
        return make.tank(plan, depth, 0.05, **parts)

    return build
