"""Studies whose windows differ a little, as those of any march do."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from itertools import count
from types import SimpleNamespace

import pytest

from flowviz.comparison.sentences import Findings
from flowviz.scene.model import Site


@pytest.fixture(scope="session")
def make(make) -> SimpleNamespace:
    """As for all tests, with windows that scatter by 2 % where none are told, and no two studies of one layout.

    Each tank is told to stand in a room of its own, in which no water flows otherwise.
    """
    made, rooms = partial(make.study, windows=(0.98, 1.02, 1.01, 0.99)), count(10)

    def study(scene, *args, **more):
        found = made(scene, *args, **more)
        return replace(found, scene=replace(found.scene, site=Site(room=float(next(rooms)))))

    return SimpleNamespace(**vars(make) | {"study": study})


@pytest.fixture(scope="module")
def dead(make):
    """A tank with a dead corner."""
    return make.study(make.scene(), make.dead)


@pytest.fixture(scope="module")
def alive(make):
    """The same tank without it."""
    return make.study(make.scene(), make.alive)


@pytest.fixture(scope="session")
def findings() -> Callable[..., Findings]:
    """Makes what sentences are made of: that nothing differs between two sketches, but for what is told."""
    nothing = Findings(
        changes=(),
        differences=(),
        phases={},
        pockets=(),
        lacked_before={},
        lacked_after={},
        detail="sketch",
        glimpsed=False,
        one_layout=False,
        computed_alike=True,
        system="metric",
    )
    return partial(replace, nothing)
