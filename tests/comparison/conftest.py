"""Studies whose windows differ a little, as those of any march do."""

from dataclasses import replace
from functools import partial
from itertools import count
from types import SimpleNamespace

import pytest

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
