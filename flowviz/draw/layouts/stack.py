"""Pages with several pictures below each other, each with its heading above and its text below."""

from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure

from flowviz.draw.sheets.paragraphs import Text, column, write
from flowviz.draw.sheets.sheet import EDGE, GAP, PAGE
from flowviz.draw.sheets.theme import blank

BETWEEN = 0.4  # pictures [in]
APART = 0.3  # sentences over the pictures [lines]
LINE = PAGE - 2 * EDGE  # width of the pictures and their texts [in]


@dataclass(frozen=True, slots=True)
class Block:
    """A picture's share of a page."""

    above: Sequence[Text]
    size: tuple[float, float]  # of the picture [in]
    below: Sequence[Text]


@dataclass(frozen=True, slots=True, eq=False)
class Stack:
    """A page with its texts set."""

    figure: Figure
    places: tuple[tuple[float, float], ...]  # lower left corners of the pictures [in]


def stack(head: Sequence[Text], blocks: Sequence[Block], strip: float) -> Stack:
    """A page with its pictures below each other, paragraphs above them and an empty strip of a height [in] below."""
    figure = blank(PAGE, PAGE)
    over = column(head, LINE, figure)
    texts = [(column(block.above, LINE, figure), column(block.below, LINE, figure)) for block in blocks]
    talls = [
        above.height + GAP + block.size[1] + below.height for block, (above, below) in zip(blocks, texts, strict=True)
    ]
    top = EDGE + strip + sum(talls) + BETWEEN * len(blocks)
    figure.set_size_inches(PAGE, top + GAP + over.height + EDGE)
    write(figure, over, EDGE, top + over.height + GAP)
    places = []
    for block, (above, below), tall in zip(blocks, texts, talls, strict=True):
        write(figure, above, EDGE, top - GAP)
        foot = top - tall + below.height
        write(figure, below, EDGE, foot)
        places.append((EDGE + (LINE - block.size[0]) / 2, foot))
        top -= tall + BETWEEN
    return Stack(figure, tuple(places))
