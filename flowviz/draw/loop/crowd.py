"""What is written in each row of the diagram: all words, in long or short lines, or tags alone and below it a list."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from flowviz.draw.loop.ranks import Climb, Vertex
from flowviz.draw.loop.room import heavy_width, row_widths
from flowviz.draw.loop.words import Note, folded, notes, pipe_notes
from flowviz.draw.sheets.lettering import drawable, short, style
from flowviz.draw.sheets.paragraphs import LEADING
from flowviz.draw.sheets.theme import INK, SMALL
from flowviz.draw.sheets.wording import badges
from flowviz.plumbing.loop import Loop
from flowviz.scene.model import Scene

ROW = 1.15 * SMALL * LEADING / 72  # height of a line of the list [in]
APART = 0.16  # between its columns [in]
END = 18  # letters of a name at the end of a pipe in it
LOOK_UP = "!"  # at what stands out, beside its tag


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the list: a heading, or what is told of a place or a pipe."""

    cells: tuple[str, ...]
    starts: tuple[float, ...]  # of the cells, from the left [in]
    heavy: bool


def worded(
    scene: Scene,
    loop: Loop,
    rows: Mapping[Vertex, int],
    climbs: Sequence[Climb],
    limits: tuple[float, float],
    figure: Figure,
) -> tuple[Mapping[Vertex, Note], tuple[Line, ...]]:
    """What is written in the diagram, and the list of what has no room there; the figure serves to measure letters.

    limits  rows wider than the first have short lines; those that even so are wider than the second, tags [in]
    """
    places = notes(scene, loop)
    pipes = dict(zip((climb.label for climb in climbs), pipe_notes(scene, loop), strict=True))
    words = {**places, **pipes}
    wide = row_widths(words, rows, figure)
    words = {each: folded(note) if wide[rows[each]] > limits[0] else note for each, note in words.items()}
    wide = row_widths(words, rows, figure)
    told = {name: tag for name, tag in tags(scene, places).items() if wide[rows[name]] > limits[1]}
    bare = {climb.pipe: climb.label for climb in climbs if wide[rows[climb.label]] > limits[1]}
    words |= {name: tagged(places[name], tag) for name, tag in told.items()}
    words |= {label: turned(pipes[label]) for label in bare.values()}
    return words, listed(scene, places, {number: pipes[label] for number, label in bare.items()}, told, figure)


def tags(scene: Scene, places: Iterable[str]) -> Mapping[str, str]:
    """What stands for an opening and a junction where there is no room for more; pumps have always room."""
    letters, pumps = badges(scene), {pump.name for pump in scene.pumps}
    inner = [name for name in places if name not in letters and name not in pumps]
    return letters | {name: f"j{number}" for number, name in enumerate(inner, start=1)}


def tagged(note: Note, tag: str) -> Note:
    """The tag alone, marked if something stands out."""
    return Note(tag, (), LOOK_UP if note.alarm else "")


def turned(note: Note) -> Note:
    """Of what is written beside a pipe its flow alone, running upwards, marked if something stands out."""
    return Note(note.name, (), LOOK_UP if note.alarm else "", note.valves, upright=True)


def listed(
    scene: Scene, places: Mapping[str, Note], pipes: Mapping[int, Note], told: Mapping[str, str], figure: Figure
) -> tuple[Line, ...]:
    """The list of what has not all its words in the diagram.

    pipes  what is told of those, by number
    told   the tags of those places that have nothing else, by name
    """
    ends = {n: [told.get(end) or short(end, END) for end in (scene.pipes[n].start, scene.pipes[n].end)] for n in pipes}
    return (
        *_group("Openings and junctions", [(tag, places[name]) for name, tag in told.items()], 3, figure),
        *_group("Pipes", [(f"{start} to {end}", pipes[n]) for n, (start, end) in ends.items()], 2, figure),
    )


def _group(title: str, told: Sequence[tuple[str, Note]], columns: int, figure: Figure) -> Iterator[Line]:
    """A heading, and under it a line for each note, led by what it is of; nothing where there are none."""
    rows = [_cells(tag, note, columns) for tag, note in told]
    if rows:
        widths = [max(heavy_width(cell, figure) for cell in column) + APART for column in zip(*rows, strict=True)]
        starts = (0.0, *accumulate(widths))
        yield Line((title,), starts, heavy=True)
        yield from (Line(row, starts, bool(note.alarm)) for row, (_, note) in zip(rows, told, strict=True))


def _cells(tag: str, note: Note, columns: int) -> tuple[str, ...]:
    """What stands in a line: tag and name, which may begin with it, so many further columns, and all that is left."""
    left = ", ".join((*note.lines[columns:], *([note.alarm] if note.alarm else [])))
    lines = (*note.lines[:columns], *[""] * (columns - len(note.lines)))
    return (tag, note.name.removeprefix(f"{tag}  "), *lines, left)


def draw_line(axes: Axes, line: Line, left: float, middle: float) -> None:
    """A line of the list, from the left at a height [in]."""
    for start, cell in zip(line.starts, line.cells, strict=False):
        words = drawable(cell)
        look = style(words, SMALL, INK, ha="left", va="center", weight="bold" if line.heavy else "normal")
        axes.text(left + start, middle, words, **look)
