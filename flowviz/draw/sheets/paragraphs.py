"""Text set in lines and columns."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from matplotlib.figure import Figure

from flowviz.draw.sheets.lettering import drawable, style
from flowviz.draw.sheets.theme import INK

BREAK = re.compile(r"(?<![\d±→]) (?!→|[^“]*”)")  # where a line may end: behind no number, at no arrow and in no name
NARROWED = (0.7, 0.8, 0.9)  # shares of the width that are tried, so that no line holds a last word alone
LEADING = 1.3  # height of a line, of the size of its letters


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph and how it is set."""

    words: str
    size: float  # [pt]
    colour: str = INK
    weight: str = "normal"
    most: int = 3  # lines
    apart: float = 0.0  # from the paragraph above [lines of its own]


@dataclass(frozen=True, slots=True)
class Column:
    """Paragraphs folded to a width."""

    lines: tuple[tuple[Text, str, float], ...]  # each with the empty space above it [lines of its own]

    @property
    def height(self) -> float:
        """[in]"""
        return sum((1 + apart) * text.size * LEADING for text, _, apart in self.lines) / 72


def column(texts: Sequence[Text], width: float, figure: Figure) -> Column:
    """Paragraphs folded to a width [in]."""
    lines = ((text, number, line) for text in texts for number, line in enumerate(folded(text, width, figure)))
    return Column(tuple((text, line, 0.0 if number else text.apart) for text, number, line in lines))


def folded(text: Text, width: float, figure: Figure) -> list[str]:
    """A paragraph as lines no wider than width [in], alike in length; what is too long ends in an ellipsis."""
    words, space = BREAK.split(drawable(text.words)), width_of("a a", text, figure) - width_of("aa", text, figure)
    widths = [width_of(word, text, figure) for word in words]
    starts = breaks(widths, space, width)
    narrower = (breaks(widths, space, share * width) for share in NARROWED)
    starts = next((each for each in narrower if len(each) == len(starts)), starts)
    lines = [" ".join(words[start:end]) for start, end in pairwise((*starts, len(words)))]
    kept = lines[: text.most]
    if len(lines) > text.most:
        kept[-1] += " …"
    return kept


def breaks(widths: Sequence[float], space: float, width: float) -> list[int]:
    """Numbers of the words that begin a line no wider than width, from the widths of words and of the space [in]."""
    starts, used = [], width
    for number, wide in enumerate(widths):
        if starts and used + space + wide <= width:
            used += space + wide
        else:
            starts.append(number)
            used = wide
    return starts


def width_of(line: str, text: Text, figure: Figure) -> float:
    """Width of a line of text as it is set [in]."""
    trial = figure.text(0, 0, line, **style(line, text.size, text.colour, weight=text.weight))
    width = trial.get_window_extent(figure.canvas.get_renderer()).width / figure.dpi
    trial.remove()
    return width


def write(figure: Figure, found: Column, left: float, top: float) -> None:
    """Set a column at a place on the page [in from its lower left corner]."""
    width, height = figure.get_size_inches()
    for text, line, apart in found.lines:
        look, tall = style(line, text.size, text.colour, weight=text.weight), text.size * LEADING / 72
        figure.text(left / width, (top - apart * tall) / height, line, va="top", **look)
        top -= (1 + apart) * tall
