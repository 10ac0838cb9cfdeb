"""From a loop to pictures in a folder."""

import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from matplotlib.backends.backend_pdf import PdfPages

from flowviz.draw.loop.choice import choice_view
from flowviz.draw.loop.diagram import loop_views as diagram_views
from flowviz.draw.loop.head import head_view, heads_views
from flowviz.draw.loop.holes import hole_views
from flowviz.draw.loop.pump import pump_view
from flowviz.draw.loop.strainer import strainer_view
from flowviz.draw.pictures import SAVING, Picture, write
from flowviz.draw.sheets.view import View
from flowviz.folder import made
from flowviz.plumbing.choice import Choice, Point
from flowviz.plumbing.dossier import Dossier
from flowviz.plumbing.state import AS_BUILT, State
from flowviz.scene.model import Scene


def write_loop_pictures(
    scene: Scene, dossier: Dossier, folder: str | Path, state: State = AS_BUILT
) -> tuple[Picture, ...]:
    """Draw a loop into a folder, each picture for the screen (PNG; that one is told) and beside it for print (SVG).

    folder  is made if there is none
    state   that the dossier was made in
    """
    folder = made(folder)
    drawn = tuple(_write_both(view, name, folder) for name, view in loop_views(scene, dossier, state))
    return (*drawn, *write_hole_sheets(scene, dossier, folder))


def write_choice_picture(
    scene: Scene, now: Choice, tried: Sequence[Choice], asked: Sequence[Point], folder: Path
) -> Picture:
    """Draw the pumps that were tried in the place of one of the scene's, and that one, into a folder.

    asked  the loop's curve, by the flow through the pump
    """
    return _write_both(choice_view(scene, now, tried, asked), "pumps", folder)


def write_hole_sheets(scene: Scene, dossier: Dossier, folder: Path) -> tuple[Picture, ...]:
    """Draw the sheets for the glass shop into a folder: one SVG a panel, and all of them as pages of one PDF."""
    views = dict(hole_views(scene, dossier))
    if not views:
        return ()
    names = slugs(views)
    sheets = [write(view, f"holes_{name}", folder, "svg") for name, view in zip(names, views.values(), strict=True)]
    with PdfPages(folder / "holes.pdf", metadata=SAVING["pdf"]["metadata"]) as pages:
        for view in views.values():
            pages.savefig(view.figure)
    title = f"Sheets for the glass shop, to scale: {', '.join(sheet.panel for sheet in dossier.sheets)}"
    return (*sheets, Picture("holes.pdf", title, f"{title}. Each drilled panel has a page of its own at least."))


def slugs(names: Iterable[str]) -> list[str]:
    """Parts of file names for panels, all different."""
    found: list[str] = []
    for name in names:
        plain = re.sub(r"[^\w-]+", "_", name)
        found.append(plain if plain not in found else f"{plain}_{len(found) + 1}")
    return found


def loop_views(scene: Scene, dossier: Dossier, state: State = AS_BUILT) -> Iterator[tuple[str, View]]:
    """The pictures of a loop, by name, not yet written."""
    yield from named("loop", diagram_views(scene, dossier.loop))
    if dossier.grade_lines:
        yield "head", head_view(scene, dossier)
    if len(dossier.grade_lines) > 1:
        yield from named("head-each", heads_views(scene, dossier))
    turning = [name for name, duty in dossier.loop.pumps.items() if duty.speed_share]
    yield from named("pump", [pump_view(scene, dossier.loop, name, state) for name in turning])
    if dossier.strainers and dossier.loop.total:
        yield "strainer", strainer_view(scene, dossier)


def named(name: str, views: Sequence[View]) -> Iterator[tuple[str, View]]:
    """Pictures of one kind with their names, numbered where there are several."""
    for number, view in enumerate(views, start=1):
        yield name if len(views) == 1 else f"{name}-{number}", view


def _write_both(view: View, name: str, folder: Path) -> Picture:
    """Write a picture for the screen and for print."""
    write(view, name, folder, "svg")
    return write(view, name, folder, "png")
