"""How much room words take in the diagram of a loop [in]."""

from collections.abc import Mapping

from matplotlib.figure import Figure

from flowviz.draw.loop.ranks import Vertex
from flowviz.draw.loop.words import Note
from flowviz.draw.sheets.lettering import drawable
from flowviz.draw.sheets.paragraphs import LEADING, Text, width_of
from flowviz.draw.sheets.theme import SMALL

PAD, CLOSE = 0.07, 0.03  # of a box round its words, and at the sides of a tag
BETWEEN, TIGHT = 0.16, 0.04  # boxes of a row, and where they hold one line alone
PASSING = 0.3  # width of a pipe that passes a row
LINE = SMALL * LEADING / 72  # height of a line of words


def wide(note: Note, figure: Figure) -> float:
    """Width of a note in its box; the figure serves to measure letters."""
    if note.upright:
        return LINE + 2 * CLOSE
    widths = [heavy_width(words, figure) for words in (note.name, note.alarm) if words]
    widths += [width_of(line, Text(line, SMALL), figure) for line in map(drawable, note.lines)]
    return max(widths) + 2 * (PAD if note.lines else CLOSE)


def tall(note: Note, figure: Figure) -> float:
    """Height of a note in its box."""
    name = heavy_width(note.name, figure) if note.upright else LINE
    return name + (len(note.lines) + bool(note.alarm)) * LINE + 2 * PAD


def gap(note: Note) -> float:
    """From a note's box to the next."""
    return BETWEEN if note.lines else TIGHT


def heavy_width(words: str, figure: Figure) -> float:
    """Width of words in heavy letters."""
    return width_of(drawable(words), Text(words, SMALL, weight="bold"), figure)


def vertex_widths(words: Mapping[Vertex, Note], rows: Mapping[Vertex, int], figure: Figure) -> Mapping[Vertex, float]:
    """What each vertex takes in its row, with the gap to the next."""
    return {each: wide(words[each], figure) + gap(words[each]) if each in words else PASSING for each in rows}


def row_widths(words: Mapping[Vertex, Note], rows: Mapping[Vertex, int], figure: Figure) -> Mapping[int, float]:
    """What all vertices of a row take side by side."""
    found = dict.fromkeys(rows.values(), 0.0)
    for vertex, width in vertex_widths(words, rows, figure).items():
        found[rows[vertex]] += width
    return found
