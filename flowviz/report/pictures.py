"""The pictures of a report: stills with nothing but their key, the flat pictures, and those of the loop."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from flowviz.comparison import Comparison
from flowviz.draw.layouts.pictures import HEADINGS, views_of_change
from flowviz.draw.loop.pictures import loop_views, write_hole_sheets
from flowviz.draw.pictures import Album, Picture, as_caution, flat_views, write
from flowviz.draw.sheets.unlettered import lettering_cautions
from flowviz.draw.tank.rendering import renderings
from flowviz.errors import GraphicsError
from flowviz.plumbing.dossier import Dossier
from flowviz.report.stills import sights_of_one, sights_of_two, written
from flowviz.scene.model import Caution, Scene
from flowviz.study import Study


@dataclass(frozen=True, slots=True)
class Drawn:
    """The pictures of a report, by their part in it."""

    stills: tuple[Picture, ...]  # of the layouts, before and after; empty where this machine cannot render
    behind: Picture | None  # the study from another side
    flat: tuple[Picture, ...]  # from above, and the sections
    change: tuple[Picture, ...]  # what a comparison shows
    loop: tuple[Picture, ...]
    cautions: tuple[Caution, ...]

    @property
    def album(self) -> Album:
        """All of them."""
        behind = [self.behind] if self.behind else []
        return Album((*self.stills, *behind, *self.change, *self.flat, *self.loop), self.cautions)


def draw(study: Study, told: Dossier, folder: Path, held: Comparison | None) -> Drawn:
    """Draw what a report shows into a folder."""
    sights = tuple(sights_of_two(held) if held else sights_of_one(study))
    cautions = lettering_cautions(*((held.before.scene, held.after.scene) if held else (study.scene,)))
    with renderings(sight.shot.view(sight.study) for sight in sights) as jobs:
        flat = tuple(write(view, name, folder, "png") for name, view in flat_views(study))
        change = tuple(pictures_of_change(held, folder)) if held else ()
        loop = tuple(pictures_of_loop(study.scene, told, folder))
        try:
            images = [job.image() for job in jobs]
        except GraphicsError as error:
            return Drawn((), None, flat, change, loop, (as_caution(error), *cautions))
    *stills, behind = written(sights, images, folder)
    return Drawn(tuple(stills), behind, flat, change, loop, cautions)


def pictures_of_change(held: Comparison, folder: Path) -> Iterator[Picture]:
    """What a comparison shows but the stills."""
    layouts = dict(zip(HEADINGS, (held.before, held.after), strict=True))
    for name, view in views_of_change(held, layouts):
        yield write(view, name, folder, "png")


def pictures_of_loop(scene: Scene, told: Dossier, folder: Path) -> Iterator[Picture]:
    """What is drawn of a loop; its sheets for the glass shop lie in the folder as pages of a PDF too, to scale."""
    for name, view in loop_views(scene, told):
        yield write(view, name, folder, "svg")
    yield from (sheet for sheet in write_hole_sheets(scene, told, folder) if sheet.file.endswith(".svg"))
