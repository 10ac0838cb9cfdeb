"""Layouts on one page: both are there, and the title tells the share that differs most."""

import numpy as np
from matplotlib.image import imread

from flowviz.draw.layouts.pictures import write_layouts


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
