"""Pages with several pictures beside or below each other, each with its heading above and its text below."""

from collections.abc import Sequence
from dataclasses import dataclass

from matplotlib.figure import Figure

from flowviz.draw.sheets.paragraphs import Text, column, write
from flowviz.draw.sheets.sheet import EDGE, GAP, PAGE
from flowviz.draw.sheets.theme import blank

WIDTH, BETWEEN = 6.0, 0.4  # of a picture with its texts, and between two [in]
LINE = PAGE - 2 * EDGE  # width of pictures below each other [in]


@dataclass(frozen=True, slots=True)
class Block:
    """A picture's share of a page."""

    above: Sequence[Text]
    size: tuple[float, float]  # of the picture [in]
    below: Sequence[Text]


@dataclass(frozen=True, slots=True, eq=False)
class Spread:
    """A page with its texts set."""

    figure: Figure
    places: tuple[tuple[float, float], ...]  # lower left corners of the pictures [in]
    width: float  # of what is set from edge to edge [in]


def spread(head: Sequence[Text], blocks: Sequence[Block], strip: float) -> Spread:
    """A page with paragraphs above its pictures and an empty strip of a height [in] at its foot."""
    width = len(blocks) * (WIDTH + BETWEEN) - BETWEEN
    figure = blank(width + 2 * EDGE, width)
    over = column(head, width, figure)
    above = [column(block.above, WIDTH, figure) for block in blocks]
    below = [column(block.below, WIDTH, figure) for block in blocks]
    foot = EDGE + strip + max(text.height for text in below)
    middle = max(block.size[1] for block in blocks)
    top = foot + middle + max(text.height for text in above) + GAP
    figure.set_size_inches(width + 2 * EDGE, top + over.height + EDGE)
    write(figure, over, EDGE, top + over.height)
    lefts = [EDGE + number * (WIDTH + BETWEEN) for number in range(len(blocks))]
    for left, heading, text in zip(lefts, above, below, strict=True):
        write(figure, heading, left, top - GAP)
        write(figure, text, left, foot)
    places = [
        (left + (WIDTH - block.size[0]) / 2, foot + (middle - block.size[1]) / 2)
        for left, block in zip(lefts, blocks, strict=True)
    ]
    return Spread(figure, tuple(places), width)


def stack(head: Sequence[Text], blocks: Sequence[Block], strip: float) -> Spread:
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
    return Spread(figure, tuple(places), LINE)
