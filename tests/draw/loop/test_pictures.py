"""Pictures of a loop in a folder."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from flowviz.cli.commands import commands
from flowviz.draw.loop.pictures import write_loop_pictures
from flowviz.plumbing.dossier import dossier
from flowviz.scene.file import read_scene

SCENES = sorted((Path(__file__).parents[3] / "scenes").glob("*.toml"))


@pytest.mark.parametrize("path", SCENES, ids=lambda path: path.stem)
def test_every_picture_is_written_and_says_what_is_to_be_seen(path, tmp_path):
    scene = read_scene(path)
    pictures = write_loop_pictures(scene, dossier(scene), str(tmp_path / "loop"))
    assert pictures[0].file in ("loop.png", "loop-1.png")
    for picture in pictures:
        assert (tmp_path / "loop" / picture.file).stat().st_size > 0
        assert picture.title
        assert picture.description.startswith(picture.title)


def test_plumb_draws_into_a_folder_and_says_where_to_look(tmp_path):
    outcome = CliRunner().invoke(commands, ["plumb", str(SCENES[0]), "-o", str(tmp_path / "loop")])
    assert outcome.exit_code == 0
    assert "loop.png" in outcome.stdout
    assert (tmp_path / "loop" / "loop.svg").exists()


def test_plumb_draws_the_pumps_that_it_tries(tmp_path):
    pumps = tmp_path / "pumps.csv"
    pumps.write_text("name,flow,head\nsmall,0 m3/h,4 m\nsmall,12 m3/h,0.5 m\n", encoding="utf-8")
    scene, folder = str(SCENES[0].with_name("peninsula.toml")), tmp_path / "loop"
    outcome = CliRunner().invoke(commands, ["plumb", scene, "--pumps", str(pumps), "-o", str(folder)])
    assert outcome.exit_code == 0, outcome.stderr
    assert "pumps.png" in outcome.stdout
    assert (folder / "pumps.png").exists()
