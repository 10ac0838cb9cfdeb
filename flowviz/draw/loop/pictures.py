"""From a loop to pictures in a folder."""

from collections.abc import Iterator
from pathlib import Path

from flowviz.draw.loop.diagram import loop_view
from flowviz.draw.pictures import Picture, write
from flowviz.draw.views import View
from flowviz.plumbing.dossier import Dossier
from flowviz.plumbing.state import AS_BUILT, State
from flowviz.scene.model import Scene


def write_loop_pictures(scene: Scene, dossier: Dossier, folder: Path, state: State = AS_BUILT) -> tuple[Picture, ...]:
    """Draw a loop into a folder, each picture for the screen (PNG; that one is told) and beside it for print (SVG).

    state  that the dossier was made in
    """
    return tuple(_write_both(view, name, folder) for name, view in loop_views(scene, dossier, state))


def loop_views(scene: Scene, dossier: Dossier, state: State = AS_BUILT) -> Iterator[tuple[str, View]]:
    """The pictures of a loop, by name, not yet written."""
    yield "loop", loop_view(scene, dossier.loop)


def _write_both(view: View, name: str, folder: Path) -> Picture:
    """Write a picture for the screen and for print."""
    write(view, name, folder, "svg")
    return write(view, name, folder, "png")
