"""What the marks of a flat picture mean."""

from collections.abc import Sequence

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.legend_handler import HandlerTuple
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from flowviz.draw.lettering import short
from flowviz.draw.openings import badges
from flowviz.draw.slices import Plane
from flowviz.draw.solid import is_cut, is_rock_cut
from flowviz.draw.stage import JET, WATCHED
from flowviz.draw.theme import BODIES, INK, MARKS, PAPER, ROCK, ROCK_EDGE, SAND, SAND_EDGE, SMALL
from flowviz.scene.model import Coral, Intake, Outlet, Scene
from flowviz.study import Study
from flowviz.units import shown

Entry = tuple[Artist | tuple[Artist, ...], str]

COLUMN = 1.7  # width of a column of the key [in]


def draw_key(axes: Axes, entries: Sequence[Entry]) -> None:
    """Marks and their meaning, in as many columns as there is room for."""
    marks, words = zip(*entries, strict=True)
    axes.axis("off")
    room = axes.get_window_extent().width / axes.figure.dpi
    axes.legend(
        marks,
        words,
        handler_map={tuple: HandlerTuple(ndivide=None)},
        loc="center left",
        bbox_to_anchor=(0, 0.5),
        borderaxespad=0,
        ncols=max(1, int(room / COLUMN)),
        fontsize=SMALL,
        labelcolor=INK,
        frameon=False,
    )


def section_entries(scene: Scene, cut: Plane) -> list[Entry]:
    """The marks of a section."""
    return [
        ((dot("o", INK), dot("s", INK)), "outlet, intake in this plane"),
        ((dot("o", PAPER), dot("s", PAPER)), "outlet, intake elsewhere"),
        CURRENT,
        *([ROCKS] if any(is_rock_cut(rock, cut) for rock in scene.rocks) else []),
        *([BED] if scene.sand and cut.axis != 2 else []),
        *([FRAME] if corals_cut(scene, cut) else []),
    ]


def corals_cut(scene: Scene, cut: Plane) -> list[Coral]:
    """The groups of corals that a plane runs through."""
    return [coral for coral in scene.corals if is_cut(coral, cut)]


def band_entries(scene: Scene, cut: Plane) -> list[Entry]:
    """What the lines on the bar are; of several groups in the order of these."""
    names = [short(coral.name) for coral in corals_cut(scene, cut)]
    if not names:
        return []
    order = f", from above: {', '.join(names)}" if len(names) > 1 else ""
    return [(Line2D([], [], color=INK, linewidth=2, marker="|"), f"on the bar: current that they want{order}")]


def plan_entries(scene: Scene) -> list[Entry]:
    """The marks of the view from above."""
    marks = hatched("dead through half the depth", "too strong at some depth")
    standing = [*([ROCKS] if scene.rocks else []), *([FRAME] if scene.corals else [])]
    return [*marks, *OPENINGS, CURRENT, *standing]


def still_entries(scene: Scene) -> list[Entry]:
    """The marks of the still."""
    way = (Line2D([], [], color=JET, linewidth=2), f"way of a jet in {WATCHED:.0f} s")
    standing = [*([ROCKS] if scene.rocks else []), *([BED] if scene.sand else []), *([FRAME] if scene.corals else [])]
    return [*hatched("dead water", "too strong"), *OPENINGS, way, *standing]


def hatched(*words: str) -> list[Entry]:
    """The marks of dead and of over-strong water, and what they mean here."""
    return [
        (Patch(facecolor=BODIES[kind]["colour"], edgecolor=mark.colour, hatch=mark.hatch, linewidth=0), meaning)
        for (kind, mark), meaning in zip(MARKS.items(), words, strict=True)
    ]


def dot(marker: str, colour: str) -> Line2D:
    """A badge without its letter."""
    return Line2D([], [], linestyle="", marker=marker, markersize=7, markerfacecolor=colour, markeredgecolor=INK)


OPENINGS: tuple[Entry, ...] = ((dot("o", INK), "outlet"), (dot("s", INK), "intake"))
CURRENT: Entry = (Line2D([], [], color=INK, linewidth=1, marker=">", markersize=4), "mean current")
ROCKS: Entry = (Patch(facecolor=ROCK, edgecolor=ROCK_EDGE), "rock")
BED: Entry = (Patch(facecolor=SAND, edgecolor=SAND_EDGE), "sand")
FRAME: Entry = (Patch(facecolor=PAPER, edgecolor=INK, linewidth=1.4), "corals")


def openings_line(study: Study, kind: type[Outlet | Intake], noun: str) -> str:
    """Badge, name and flow of each opening of a kind."""
    letters, show = badges(study.scene), study.scene.show
    told = [
        f"{letters[opening.name]} {short(opening.name)}, {shown(abs(study.loop.rates[opening.name]), 'flow', show)}"
        for opening in study.scene.openings
        if isinstance(opening, kind)
    ]
    return f"{noun}: {'; '.join(told)}"
