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
    """Draw a loop into a folder, each picture for the screen (PNG) and for print (SVG).

    state  that the dossier was made in
    """
    return tuple(
        write(view, name, folder, form) for name, view in loop_views(scene, dossier, state) for form in ("png", "svg")
    )


def loop_views(scene: Scene, dossier: Dossier, state: State = AS_BUILT) -> Iterator[tuple[str, View]]:
    """The pictures of a loop, by name, not yet written."""
    yield "loop", loop_view(scene, dossier.loop)
