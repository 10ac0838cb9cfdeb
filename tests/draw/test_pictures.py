"""What lies in the folder, what it says, and what happens on a machine that cannot render."""

import re
import sys
from pathlib import Path

import numpy as np
import pytest
from matplotlib.image import imread

from flowviz.draw.pictures import write_pictures
from flowviz.draw.sheets.unlettered import lettering_cautions
from flowviz.draw.sheets.wording import percent_within, rough
from flowviz.draw.tank import rendering
from flowviz.scene.file import read_scene
from flowviz.study import run
from flowviz.units import shown

NAMES = ["tank.png", "plan.png", "section-1.png", "section-2.png", "section-3.png"]
SCENES = Path(__file__).parents[2] / "scenes"
WHITE = 0.999
WHERE = r"(Upright|Level) section.* \d[\d.]* (mm|m|in|ft) (from the|above the floor)"


def test_every_picture_is_there_and_none_is_blank(study, drawn):
    folder, album = drawn
    assert [picture.file for picture in album.pictures] == NAMES
    assert album.cautions == lettering_cautions(study.scene)
    for name in NAMES:
        image = imread(folder / name)[..., :3]
        assert min(image.shape[:2]) > 600
        assert 0.05 < (image < WHITE).any(axis=-1).mean() < 0.95
        assert np.unique((image * 15).astype(int) @ (256, 16, 1)).size > 30  # more colours than ink and paper


def test_the_border_is_white_so_that_nothing_is_cut_off(drawn):
    folder, album = drawn
    for picture in album.pictures:
        image = imread(folder / picture.file)[..., :3]
        for edge in (image[:15], image[-15:], image[:, :15], image[:, -15:]):
            assert (edge > WHITE).all(), picture.file


def test_titles_tell_what_was_measured_in_the_scenes_units(study, drawn):
    _, album = drawn
    titles = {picture.file: picture.title for picture in album.pictures}
    show, measures = study.scene.show, study.measures
    worst = next(zone for zone in measures.zones if zone.kind == "dead")
    volume = rough(worst.volume, "volume", show)
    assert volume.endswith({"metric": " L", "us": " gal"}[show])
    share = percent_within(measures.dead_fraction, measures.uncertainty["dead_fraction"])
    assert titles["tank.png"].startswith(f"{share} of the water is dead: {volume} ")
    assert titles["section-1.png"].startswith(f"Dead: {volume} below {shown(study.scene.limits.dead, 'speed', show)} ")
    assert volume in titles["plan.png"]


def test_descriptions_say_where_a_section_is(drawn):
    _, album = drawn
    for picture in album.pictures[2:]:
        assert picture.description.startswith(picture.title)
        assert re.search(
            r"(Upright|Level) section.* \d[\d.]* (mm|m|in|ft) (from the|above the floor)", picture.description
        )


def test_the_still_describes_the_figures_beside_it(study, drawn):
    _, album = drawn
    description = album.pictures[0].description
    assert f"{shown(study.loop.total, 'flow', study.scene.show)} through one outlet" in description
    assert shown(study.measures.water_volume, "volume", study.scene.show) in description
    assert all(rough(zone.volume, "volume", study.scene.show) in description for zone in study.measures.zones[:2])


@pytest.mark.parametrize("form", ["png", "svg"])
def test_the_same_study_gives_the_same_files_and_nothing_is_printed(box, tmp_path, capfd, form):
    once, again = tmp_path / "once", tmp_path / "again"
    for folder in (once, again):
        album = write_pictures(box, folder, form)
    assert [picture.file for picture in album.pictures] == [name.replace("png", form) for name in NAMES]
    for picture in album.pictures:
        assert (once / picture.file).read_bytes() == (again / picture.file).read_bytes(), picture.file
    assert capfd.readouterr() == ("", "")


def test_pictures_come_as_pages_too(box, tmp_path):
    folder = tmp_path / "not" / "yet" / "there"
    album = write_pictures(box, str(folder), "pdf")
    assert all((folder / picture.file).read_bytes().startswith(b"%PDF") for picture in album.pictures)


BROKEN = {  # renderers as they behave on machines that lack something, and what the caution must say
    "import sys; sys.exit(3)": "libEGL.so.1 is missing",
    "import os, signal; os.kill(os.getpid(), signal.SIGSEGV)": "crashed (signal 11)",
    "raise ValueError('no screens found')": "no screens found",
    "import sys; sys.stdout.write('half a picture')": "without a word",
    "import time; time.sleep(60)": "no answer",
}


@pytest.mark.parametrize("program", BROKEN)
def test_all_but_the_still_is_drawn_where_the_renderer_fails(box, tmp_path, monkeypatch, capfd, program):
    (tmp_path / "broken.py").write_text(program, encoding="utf-8")
    monkeypatch.setattr(rendering, "RENDERER", tmp_path / "broken.py")
    monkeypatch.setattr(rendering, "PATIENCE", 2.0)
    album = write_pictures(box, tmp_path)
    assert [picture.file for picture in album.pictures] == NAMES[1:]
    assert not (tmp_path / "tank.png").exists()
    (caution,) = album.cautions
    assert BROKEN[program] in caution.what
    assert "\n" not in str(caution)
    if sys.platform.startswith("linux"):
        assert "libegl1 libgl1-mesa-dri" in caution.why
    assert capfd.readouterr() == ("", "")


def test_a_renderer_is_not_left_running(box, tmp_path, monkeypatch):
    (tmp_path / "slow.py").write_text("import time; time.sleep(60)", encoding="utf-8")
    monkeypatch.setattr(rendering, "RENDERER", tmp_path / "slow.py")
    with pytest.raises(KeyError), rendering.rendering({"size": (4, 4)}) as job:
        raise KeyError
    assert job.process.poll() is not None


def test_the_shipped_peninsula_is_drawn_from_its_file(tmp_path, capfd):
    study = run(read_scene(SCENES / "peninsula.toml"))
    album = write_pictures(study, tmp_path)
    assert [picture.file for picture in album.pictures] == NAMES
    share = percent_within(study.measures.dead_fraction, study.measures.uncertainty["dead_fraction"])
    assert f"{share} of the water is dead" in album.pictures[0].title
    assert capfd.readouterr() == ("", "")
