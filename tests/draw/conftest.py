"""Studies with hand-made water to draw: of a box, of a round tank, and of one with a corner and names hard to set."""

from types import SimpleNamespace

import numpy as np
import pytest

from flowviz.draw.pictures import write_pictures
from flowviz.scene.model import Coral, Rock, Tank
from flowviz.shapes.plans import Disc, Polygon
from flowviz.shapes.solids import Ellipsoid
from flowviz.study import Study

STILL, FAST, COMMON = 0.01, 0.8, 0.1  # speeds of the hand-made water [m/s]; dead below 3 cm/s, too strong above 50


def box_speeds(x, y, z):
    """Dead in a corner at the right, too strong along the left jet, COMMON elsewhere."""
    dead = (x > 0.9) & (y > 0.3) & (z < 0.35)
    fast = (x < 0.4) & (abs(y - 0.1) < 0.06) & (abs(z - 0.4) < 0.06)
    return np.where(dead, STILL, np.where(fast, FAST, COMMON))


@pytest.fixture(scope="session")
def make(make) -> SimpleNamespace:
    """As for all tests, with speeds that show every mark of a picture."""
    return SimpleNamespace(**vars(make), speeds=box_speeds)


@pytest.fixture(scope="session")
def box(make) -> Study:
    return make.study(make.scene(), make.speeds)


@pytest.fixture(scope="session")
def disc(make) -> Study:
    """A round tank, in US units, dead on its left."""
    scene = make.scene(
        show="us",
        tank=Tank(Disc(0.8), 0.55, 0.5, {}, ("wall",)),
        rocks=(Rock("spire", Ellipsoid((0.4, 0.4, 0.1), (0.3, 0.3, 0.6))),),
        corals=(),
        outlets=(make.outlet("riser", (0.6, 0.4, 0.05), (0, 0.2, 1), "floor"),),
        intakes=(make.intake("drain", (0.4, 0.7, 0.05), (0.0, 0.0, 1.0), "floor"),),
    )
    return make.study(scene, lambda x, y, z: np.where(x < 0.25, STILL, COMMON))


@pytest.fixture(scope="session")
def corner(make) -> Study:
    """An L-shaped tank with names that are hard to set, dead in one leg."""
    plan = Polygon(
        ((0.0, 0.0), (1.2, 0.0), (1.2, 0.4), (0.5, 0.4), (0.5, 0.9), (0.0, 0.9)),
        ("front", "right", "inner", "inner side", "back", "left"),
    )
    names = (
        'Höhle <"3"> $x_1$ & {"' + "sehr " * 40 + "}",
        "\N{TROPICAL FISH} 岩 o\N{COMBINING DIAERESIS}\N{VARIATION SELECTOR-16}\n$\\frac",
        "%s 100 %",
    )
    scene = make.scene(
        title=names[0],
        tank=Tank(plan, 0.55, 0.5, {}, ("front", "left")),
        rocks=(Rock(names[0], Ellipsoid((0.25, 0.5, 0.1), (0.2, 0.2, 0.4))),),
        corals=(Coral(names[1], (0.25, 0.5, 0.4), (0.2, 0.2, 0.05), (0.05, 0.3)),),
        outlets=(make.outlet(names[2], (1.2, 0.2, 0.4), (-1, 0, 0), "right"),),
        intakes=(make.intake("", (0.25, 0.9, 0.3), (0.0, -1.0, 0.0), "back"),),
    )
    return make.study(scene, lambda x, y, z: np.where(y > 0.6, STILL, COMMON))


@pytest.fixture(scope="session", params=["box", "disc", "corner"])
def study(request) -> Study:
    """Each of the hand-made studies."""
    return request.getfixturevalue(request.param)


@pytest.fixture(scope="session")
def drawn(study, tmp_path_factory):
    """A folder with the pictures of each study, and the album of them."""
    folder = tmp_path_factory.mktemp("pictures")
    return folder, write_pictures(study, folder)
