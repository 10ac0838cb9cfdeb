"""Layouts on one page: both are there, and the title tells the share that differs most."""

from dataclasses import replace

import numpy as np
import pytest
from matplotlib.image import imread

from flowviz.draw.layouts.pictures import write_layouts
from flowviz.draw.layouts.together import LARGEST, alike
from flowviz.scene.model import Rock, Tank
from flowviz.shapes.plans import rectangle
from flowviz.shapes.solids import Box


def test_layouts_stand_below_each_other(box, make, tmp_path, capfd):
    better = make.study(make.scene(), lambda x, y, z: np.where(x > 1.1, 0.01, 0.1))
    folder = tmp_path / "not" / "yet" / "there"
    album = write_layouts({"as built": box, "jet moved": better}, str(folder))
    assert [picture.file for picture in album.pictures] == ["tanks.png", "sections.png"]
    before, after = (f"{100 * study.measures.dead_fraction:.1f} ± 0.1 %" for study in (box, better))
    for picture in album.pictures:
        assert picture.title == f"Water that is dead: as built {before}; jet moved {after}"
    tall = imread(folder / "tanks.png")
    assert tall.shape[0] > tall.shape[1]
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize("screen", [True, False])
def test_stills_are_seen_from_where_what_was_moved_shows(make, screen):
    """A wall as long as the tank and as high as the water hides from the front what stands behind it; in no
    layout is anything wrong.
    """
    wall = Rock("screen", Box((0.6, 0.25, 0.25), (1.1, 0.1, 0.5 if screen else 0.02)))
    tank = Tank(rectangle(1.2, 0.5), 0.55, 0.5, {}, ("front", "back"))
    scene = make.scene(tank=tank, rocks=(wall,), corals=(), sand=None)
    moved = replace(scene, outlets=(replace(scene.outlets[0], centre=(0.6, 0.4, 0.1)),))
    layouts = [make.study(each, lambda x, y, z: np.full_like(x, 0.1)) for each in (scene, moved)]
    side = "back" if screen else "front"
    assert [shot.standpoint.side for shot in alike(layouts, *LARGEST)] == [side, side]


def test_what_is_wrong_in_the_later_layout_counts_too(make):
    """Nothing is wrong in the first; in the second water is dead behind a wall, seen from the front."""
    wall = Rock("screen", Box((0.6, 0.25, 0.25), (1.1, 0.1, 0.5)))
    tank = Tank(rectangle(1.2, 0.5), 0.55, 0.5, {}, ("front", "back"))
    scene = make.scene(tank=tank, rocks=(wall,), corals=(), sand=None)
    good = make.study(scene, lambda x, y, z: np.full_like(x, 0.1))
    bad = make.study(scene, lambda x, y, z: np.where((y > 0.3) & (z < 0.3), 0.01, 0.1))
    assert alike((good, bad), *LARGEST)[0].standpoint.side == "back"
    assert alike((good, good), *LARGEST)[0].standpoint.side == "front"
