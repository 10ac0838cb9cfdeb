"""What commands that take several layouts are given: scene files, and folders that run has written."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from flowviz.cli.check import looked_through
from flowviz.cli.options import faults_of
from flowviz.progress import Listener, Stage

if TYPE_CHECKING:
    from flowviz.scene.model import Scene
    from flowviz.study import Settings, Study

WHAT = "SCENE|FOLDER"


def found_in(sources: Sequence[str], edge: float | None, progress: Listener) -> list["Scene | Study"]:
    """What each holds. A fault in the last is told before the first is computed, which may take an hour.

    edge    of the cells that scenes will be computed on [m]; None: chosen from each tank
    """
    progress(Stage("reading"))
    return [studied(source) if Path(source).is_dir() else sound_scene(source, edge) for source in sources]


def studied(folder: str) -> "Study":
    """The study that a folder holds."""
    from flowviz.store import read_study

    return read_study(folder)


def sound_scene(file: str, edge: float | None) -> "Scene":
    """The scene of a file whose loop and cells are known to be sound."""
    from flowviz.scene.file import read_scene

    scene = read_scene(file)
    looked_through(scene, file, edge)
    return scene


def study_of(found: "Scene | Study", source: str, settings: "Settings", progress: Listener) -> "Study":
    """The study that was found, or that of the scene that was, computed now."""
    from flowviz.study import Study, run

    if isinstance(found, Study):
        return found
    with faults_of(source):
        return run(found, settings, progress)
