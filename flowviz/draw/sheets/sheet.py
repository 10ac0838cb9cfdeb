"""The page of a flat picture: title on top, the picture to scale, bar and key below."""

from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from flowviz.draw.sheets.paragraphs import Text, column, write
from flowviz.draw.sheets.theme import SMALL, blank

PRINTED, LEGIBLE = 184 / 25.4, 7.0  # between the margins of A4 [in], and the smallest letters there [pt]
PAGE = PRINTED * SMALL / LEGIBLE  # width [in]
PAGE_HEIGHT = 230 / 25.4 * SMALL / LEGIBLE  # of the tallest picture: printed, it leaves room for a heading over it [in]
EDGE, GAP = 0.4, 0.06  # white border, and space over the picture [in]
BAR, BAR_FOOT, BAR_LENGTH, BAR_WIDTH = 0.85, 0.38, 3.5, 0.18  # strip of the colour bar, and the bar in it [in]
MARGIN = 0.42  # round the tank within the picture, for what stands outside the glass [in]
WIDEST, TALLEST = PAGE - 2 * (EDGE + MARGIN), 4.2  # of the tank in the picture [in]


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """A page with its parts."""

    figure: Figure
    picture: Axes  # in metres
    bar: Axes
    key: Axes


def sheet(size: tuple[float, float], head: Sequence[Text], foot: Sequence[Text]) -> Sheet:
    """A page for a picture of this size [m], with paragraphs above and below it."""
    figure = blank(PAGE, PAGE)
    scale = min(WIDEST / size[0], TALLEST / size[1])
    wide, tall = (side * scale + 2 * MARGIN for side in size)
    above, below = (column(texts, PAGE - 2 * EDGE, figure) for texts in (head, foot))
    bottom = EDGE + below.height
    whole = EDGE + above.height + GAP + tall + BAR + bottom
    figure.set_size_inches(PAGE, whole)
    write(figure, above, EDGE, whole - EDGE)
    write(figure, below, EDGE, bottom)
    picture = add_picture(figure, (PAGE - wide) / 2, bottom + BAR, size, scale)
    bar = add_axes(figure, EDGE, bottom + BAR_FOOT, BAR_LENGTH, BAR_WIDTH)
    key = add_axes(figure, 2 * EDGE + BAR_LENGTH, bottom, PAGE - 3 * EDGE - BAR_LENGTH, BAR)
    return Sheet(figure, picture, bar, key)


def add_picture(figure: Figure, left: float, bottom: float, size: tuple[float, float], scale: float) -> Axes:
    """Axes in metres for a picture of this size [m] at a place on the page [in], with its margin; scale in in/m."""
    margin = MARGIN / scale
    axes = add_axes(figure, left, bottom, *(scale * (side + 2 * margin) for side in size))
    axes.set(xlim=(-margin, size[0] + margin), ylim=(-margin, size[1] + margin))
    axes.axis("off")
    return axes


def add_axes(figure: Figure, left: float, bottom: float, width: float, height: float) -> Axes:
    """Axes at a place on the page [in]."""
    whole_width, whole_height = figure.get_size_inches()
    return figure.add_axes((left / whole_width, bottom / whole_height, width / whole_width, height / whole_height))
