"""The page of a flat picture: title on top, the picture to scale, bar and key below."""

from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from flowviz.draw.lettering import drawable, style
from flowviz.draw.theme import blank

WIDEST, TALLEST = 10.0, 5.0  # of the picture itself [in]
NARROWEST = 8.4  # page [in]
EDGE, GAP = 0.4, 0.06  # white border, and space between parts [in]
BAR, BAR_FOOT, BAR_LENGTH, BAR_WIDTH = 0.85, 0.38, 3.8, 0.18  # strip of the colour bar, and the bar in it [in]
LEADING = 1.3  # height of a line of text, of its size
MARGIN = 0.42  # round the tank within the picture, for what stands outside the glass [in]


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """A page with its parts."""

    figure: Figure
    picture: Axes
    bar: Axes
    key: Axes


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph and how it is set."""

    words: str
    size: float
    colour: str
    weight: str = "normal"
    most: int = 3  # lines


def height_of(lines: int, size: float) -> float:
    """Height of lines of text [in]."""
    return lines * size * LEADING / 72


def folded(text: Text, width: float, figure: Figure) -> list[str]:
    """A paragraph as lines no wider than width [in]; what is too long ends in an ellipsis."""
    lines = [""]
    for word in drawable(text.words).split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if width_of(longer, text, figure) <= width or not lines[-1]:
            lines[-1] = longer
        else:
            lines.append(word)
    kept = lines[: text.most]
    if len(lines) > text.most:
        kept[-1] += " …"
    return kept


def width_of(line: str, text: Text, figure: Figure) -> float:
    """Width of a line of text as it is set [in]."""
    trial = figure.text(0, 0, line, **style(line, text.size, text.colour, weight=text.weight))
    width = trial.get_window_extent(figure.canvas.get_renderer()).width / figure.dpi
    trial.remove()
    return width


def sheet(size: tuple[float, float], head: Sequence[Text], foot: Sequence[Text]) -> Sheet:
    """A page for a picture of this size [m], with paragraphs above and below it."""
    figure = blank(NARROWEST, NARROWEST)
    scale = min(WIDEST / size[0], TALLEST / size[1])
    wide, tall = size[0] * scale + 2 * MARGIN, size[1] * scale + 2 * MARGIN
    page = max(wide + 2 * EDGE, NARROWEST)
    above, below = ([(text, folded(text, page - 2 * EDGE, figure)) for text in texts] for texts in (head, foot))
    top = EDGE + sum(height_of(len(lines), text.size) for text, lines in above)
    bottom = EDGE + sum(height_of(len(lines), text.size) for text, lines in below)
    whole = top + tall + GAP + BAR + bottom
    figure.set_size_inches(page, whole)
    write(figure, above, whole - EDGE)
    write(figure, below, bottom)
    picture = add_axes(figure, (page - wide) / 2, bottom + BAR + GAP, wide, tall)
    picture.set_xlim(-MARGIN / scale, size[0] + MARGIN / scale)
    picture.set_ylim(-MARGIN / scale, size[1] + MARGIN / scale)
    picture.axis("off")
    bar = add_axes(figure, EDGE, bottom + BAR_FOOT, BAR_LENGTH, BAR_WIDTH)
    key_left = EDGE + BAR_LENGTH + EDGE
    key = add_axes(figure, key_left, bottom, page - EDGE - key_left, BAR)
    key.axis("off")
    return Sheet(figure, picture, bar, key)


def write(figure: Figure, paragraphs: Sequence[tuple[Text, Sequence[str]]], top: float) -> None:
    """Paragraphs one below the other from a height on the page [in]."""
    width, height = figure.get_size_inches()
    for text, lines in paragraphs:
        for line in lines:
            look = style(line, text.size, text.colour, weight=text.weight)
            figure.text(EDGE / width, top / height, line, va="top", **look)
            top -= height_of(1, text.size)


def add_axes(figure: Figure, left: float, bottom: float, width: float, height: float) -> Axes:
    """Axes at a place on the page [in]."""
    whole_width, whole_height = figure.get_size_inches()
    return figure.add_axes((left / whole_width, bottom / whole_height, width / whole_width, height / whole_height))
