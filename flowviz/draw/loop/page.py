"""The page of a picture of the loop: title on top, room for the picture, notes below."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from flowviz.draw.sheets.lettering import drawable, style
from flowviz.draw.sheets.paragraphs import Text, column, write
from flowviz.draw.sheets.sheet import EDGE, PAGE, add_axes
from flowviz.draw.sheets.theme import DPI, INK, PAPER, QUIET, SMALL, blank
from flowviz.units import System, display_unit, shown

BESIDE = 0.2  # above and below the picture [in]
MOST_DOTS = 16000  # of the longer side of a picture
GRID = "#d5d9dc"
HATCHED = {"facecolor": "none", "edgecolor": QUIET, "hatch": "//", "linewidth": 0, "alpha": 0.35}


@dataclass(frozen=True, slots=True, eq=False)
class Page:
    """A page with room for a picture."""

    figure: Figure
    left: float  # of the room [in]
    bottom: float
    width: float
    height: float

    def axes(self, left: float, bottom: float, width: float, height: float) -> Axes:
        """Axes at a place in the room [in]."""
        return add_axes(self.figure, self.left + left, self.bottom + bottom, width, height)


def page(width: float, height: float, head: Sequence[Text], foot: Sequence[str]) -> Page:
    """A page with room for a picture [in] between what stands over and under it."""
    wide = max(width + 2 * EDGE, PAGE)
    figure = blank(wide, PAGE)
    above = column(head, wide - 2 * EDGE, figure)
    below = column([Text(words, SMALL, QUIET) for words in foot], wide - 2 * EDGE, figure)
    whole = 2 * EDGE + above.height + BESIDE + height + BESIDE + below.height
    figure.set_size_inches(wide, whole)
    figure.set_dpi(min(DPI, MOST_DOTS / max(wide, whole)))
    write(figure, above, EDGE, whole - EDGE)
    write(figure, below, EDGE, EDGE + below.height)
    return Page(figure, (wide - width) / 2, EDGE + below.height + BESIDE, width, height)


def grouped(kind: str, show: System) -> Callable[[float, int], str]:
    """Writes the figures of an axis in the unit of a kind as they are written elsewhere."""
    _, per_si = display_unit(kind, show)
    return lambda value, _: shown(value / per_si, kind, show).rsplit(" ", 1)[0]


def ruled(axes: Axes, across: str, up: str) -> None:
    """A plain chart with the names of its axes."""
    axes.set_facecolor(PAPER)
    axes.grid(color=GRID, linewidth=0.6)
    axes.set_axisbelow(True)
    axes.tick_params(labelsize=SMALL, labelcolor=INK, color=QUIET)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(QUIET)
    axes.set_xlabel(drawable(across), **style(across, SMALL, INK))
    axes.set_ylabel(drawable(up), **style(up, SMALL, INK))
