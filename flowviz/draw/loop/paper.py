"""Sheets of paper to be measured from: their size, the scale of a drawing, and lengths as a glass shop reads them."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from flowviz.draw.sheets.lettering import drawable, style
from flowviz.draw.sheets.theme import INK, blank
from flowviz.units import System

MM, INCH = 1e-3, 0.0254  # [m]
MARGIN = 10.0  # of paper that no printer may reach [mm]
SIXTEENTH_OFF = 0.1 * MM  # from the nearest sixteenth of an inch, beyond which decimals are written


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper on its long side, and what belongs to its system of units."""

    name: str
    width: float  # [mm]
    height: float  # [mm]
    scales: tuple[int, ...]  # that a drawing may have: one to so many
    bar: float  # to check a print by [mm]
    bar_parts: int
    bar_words: str


PAPERS: Mapping[System, Paper] = {
    "metric": Paper("A4", 297.0, 210.0, (1, 2, 5, 10, 15, 20, 25, 50, 100, 200, 500), 100.0, 10, "100 mm"),
    "us": Paper("Letter", 279.4, 215.9, (1, 2, 4, 8, 12, 16, 24, 32, 48, 96, 192, 480), 101.6, 4, "4 in"),
}


@dataclass(frozen=True, slots=True, eq=False)
class Sheet:
    """A sheet of paper to draw on, in mm from its lower left corner."""

    figure: Figure
    axes: Axes
    paper: Paper

    def text(self, x: float, y: float, words: str, size: float, **look: object) -> None:
        """A line of words."""
        shown = drawable(words)
        self.axes.text(x, y, shown, **style(shown, size, **({"colour": INK, "zorder": 6} | look)))

    def line(self, points: list[tuple[float, float]], width: float = 0.5, dashes: object = "-", **look: object) -> None:
        """A line through points."""
        ends = zip(*points, strict=True)
        self.axes.add_line(Line2D(*ends, **({"color": INK} | look), linewidth=width, linestyle=dashes))


def empty_sheet(system: System) -> Sheet:
    """A blank sheet of the paper of a system of units."""
    paper = PAPERS[system]
    figure = blank(paper.width * MM / INCH, paper.height * MM / INCH)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set(xlim=(0, paper.width), ylim=(0, paper.height))
    axes.axis("off")
    return Sheet(figure, axes, paper)


def fitting_scale(paper: Paper, size: tuple[float, float], room: tuple[float, float]) -> int:
    """The largest scale, one to so many, at which something of a size [m] goes into a room [mm]."""
    least = max(side / (space * MM) for side, space in zip(size, room, strict=True))
    return next((scale for scale in paper.scales if scale >= least), paper.scales[-1])


def measure(length: float, system: System) -> str:
    """A length as a glass shop reads it: mm without a mark, or inches and sixteenths with theirs."""
    if system == "metric":
        return f"{round(length / MM, 1):.1f}".removesuffix(".0")
    sixteenths = round(length / INCH * 16)
    if abs(sixteenths / 16 * INCH - length) > SIXTEENTH_OFF:
        return f'{length / INCH:.2f}"'
    whole, rest = divmod(sixteenths, 16)
    words = [str(whole)] if whole or not rest else []
    return " ".join((*words, *([str(Fraction(rest, 16))] if rest else []))) + '"'


def draw_check_bar(sheet: Sheet, left: float, bottom: float) -> None:
    """A bar of a known length, by which the print is checked."""
    paper = sheet.paper
    step = paper.bar / paper.bar_parts
    sheet.line([(left, bottom), (left + paper.bar, bottom)], 1.2, gid="check bar")
    for number in range(paper.bar_parts + 1):
        tall = 3.0 if number in (0, paper.bar_parts) else 1.5
        sheet.line([(left + number * step, bottom), (left + number * step, bottom + tall)], 0.8)
    words = f"This bar is {paper.bar_words} long: measure it. If not, print again at 100 %, not fitted to the page."
    sheet.text(left + paper.bar + 4, bottom + 0.3, words, 7.5)
