"""The pictures of a report: stills with nothing but their key, and the flat pictures."""

from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from flowviz.draw.camera import framed, standpoints
from flowviz.draw.key import draw_key, still_entries
from flowviz.draw.pictures import Album, Picture, as_caution, flat_views, write
from flowviz.draw.rendering import rendering
from flowviz.draw.sheet import add_axes
from flowviz.draw.still import Shot, corners, draw_still, set_up
from flowviz.draw.theme import blank
from flowviz.draw.titles import study_title
from flowviz.draw.views import View
from flowviz.errors import GraphicsError
from flowviz.scene.model import Caution
from flowviz.study import Study

WIDTH, TALLEST = 7.0, 3.4  # of a still: what fits between the margins of either paper [in]
TALLEST_OF_TWO = 2.7  # where one stands over the other [in]
KEY = 0.5  # height of the key below it [in]


@dataclass(frozen=True, slots=True)
class Drawn:
    """The pictures of a report, by their part in it."""

    stills: tuple[Picture, ...]  # of the layouts, before and after; empty where this machine cannot render
    behind: Picture | None  # the study from another side
    flat: tuple[Picture, ...]  # from above, and the sections
    cautions: tuple[Caution, ...]

    @property
    def album(self) -> Album:
        """All of them."""
        return Album((*self.stills, *([self.behind] if self.behind else []), *self.flat), self.cautions)


def draw(study: Study, folder: Path, against: Study | None = None) -> Drawn:
    """Draw what a report shows into a folder."""
    shots = shots_of(study, against)
    with ExitStack() as stack:
        jobs = [stack.enter_context(rendering(shot.view(seen))) for _, seen, shot in shots]
        flat = tuple(write(view, name, folder, "png") for name, view in flat_views(study))
        try:
            images = [job.image() for job in jobs]
        except GraphicsError as error:
            return Drawn((), None, flat, (as_caution(error),))
    stills = [
        write(still_view(seen, shot, image), name, folder, "png")
        for (name, seen, shot), image in zip(shots, images, strict=True)
    ]
    return Drawn(tuple(stills[:-1]), stills[-1], flat, ())


def shots_of(study: Study, against: Study | None) -> Sequence[tuple[str, Study, Shot]]:
    """The stills by name: before and after from one side, and the study from another."""
    if against is None:
        first = set_up(study, WIDTH, TALLEST)
        return (("tank", study, first), ("tank-other-side", study, other_side(study, first)))
    first = set_up(against, WIDTH, TALLEST_OF_TWO)
    return (
        ("before", against, first),
        ("after", study, from_side(study, first, TALLEST_OF_TWO)),
        ("tank-other-side", study, other_side(study, first)),
    )


def from_side(study: Study, first: Shot, tallest: float) -> Shot:
    """A study as another is seen."""
    camera = framed(first.standpoint.direction, corners(study.scene.tank))
    return Shot(first.standpoint, camera, min(WIDTH, tallest * camera.aspect))


def other_side(study: Study, first: Shot) -> Shot:
    """A study from the side that is farthest from the first."""
    seen_by = first.standpoint.direction
    standpoint = min(standpoints(study.scene.tank), key=lambda other: float(other.direction @ seen_by))
    camera = framed(standpoint.direction, corners(study.scene.tank))
    return Shot(standpoint, camera, min(WIDTH, TALLEST * camera.aspect))


def still_view(study: Study, shot: Shot, image: np.ndarray) -> View:
    """The rendered picture over its key, and nothing else."""
    figure = blank(WIDTH, shot.height + KEY)
    draw_still(add_axes(figure, (WIDTH - shot.width) / 2, KEY, shot.width, shot.height), study, shot, image)
    draw_key(add_axes(figure, 0.1, 0.0, WIDTH - 0.2, KEY), still_entries(study.scene))
    side = f"seen from the {shot.standpoint.side}"
    return View(
        figure, f"The tank {side}", f"{study_title(study)}. The tank {side}, with the dead and over-strong water."
    )
