"""Layouts beside each other: both are there, and the title tells the share that differs most."""

import numpy as np
from matplotlib.image import imread

from flowviz.draw.layouts.pictures import write_side_by_side


def test_layouts_stand_side_by_side(box, make, tmp_path, capfd):
    better = make.study(make.scene(), lambda x, y, z: np.where(x > 1.1, 0.01, 0.1))
    album = write_side_by_side({"as built": box, "jet moved": better}, tmp_path)
    assert [picture.file for picture in album.pictures] == ["tanks-side-by-side.png", "sections.png"]
    before, after = (f"{100 * study.measures.dead_fraction:.1f} ± 0.1 %" for study in (box, better))
    for picture in album.pictures:
        assert picture.title == f"Water that is dead: {before} as built, {after} jet moved"
    wide = imread(tmp_path / "tanks-side-by-side.png")
    assert wide.shape[1] > 1.4 * wide.shape[0]
    assert capfd.readouterr() == ("", "")
