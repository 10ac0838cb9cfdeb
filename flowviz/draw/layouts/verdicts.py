"""Every share of two layouts on one scale, before and after, with its interval and the verdict."""

from collections.abc import Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from flowviz.comparison import Comparison
from flowviz.comparison.differences import Difference
from flowviz.draw.sheets.key import draw_key
from flowviz.draw.sheets.lettering import drawable, short, style
from flowviz.draw.sheets.paragraphs import Text, column, width_of, write
from flowviz.draw.sheets.sheet import EDGE, GAP, PAGE, add_axes
from flowviz.draw.sheets.theme import INK, PAPER, QUIET, SMALL, TEXT, blank
from flowviz.draw.sheets.view import View, head
from flowviz.draw.sheets.wording import BARS

SAYS, BESIDE = 1.3, 0.15  # width of the verdicts, and room between the names and the axes [in]
ROW, FOOT, KEY = 0.3, 0.45, 0.35  # height of a row, of the axis below them, of the key [in]
APART = 0.14  # between before and after in a row, of its height
CALLED = ("better", "worse", "changed")


def verdicts_view(comparison: Comparison) -> View:
    """What got better, what got worse, and what cannot be told."""
    rows = [each for each in comparison.differences if each.quantity == "share" and each.noisy]
    figure, line = blank(PAGE, PAGE), PAGE - 2 * EDGE
    when = next((f" {each.when}" for each in rows if each.when), "")
    below = f"Shares{when}; {BARS}"
    above = column(head(comparison.title, below), line, figure)
    notes = column([Text(note, SMALL, QUIET) for note in comparison.reasons[:3]], line, figure)
    height = ROW * len(rows)
    base = EDGE + notes.height + KEY + FOOT
    figure.set_size_inches(PAGE, base + height + GAP + above.height + EDGE)
    write(figure, above, EDGE, base + height + GAP + above.height)
    write(figure, notes, EDGE, EDGE + notes.height)
    words = names_width(rows, figure) + BESIDE
    axes = add_axes(figure, EDGE + words, base, line - words - SAYS, height)
    draw_rows(axes, rows)
    draw_key(add_axes(figure, EDGE, EDGE + notes.height, line, KEY), ENTRIES)
    told = (f"{each.subject}, {each.label}: {each.outcome}" for each in rows)
    return View(figure, comparison.title, f"{comparison.title}. {'; '.join(told)}.")


def name_of(each: Difference) -> str:
    """What a row is of."""
    return drawable(f"{short(each.subject)}: {each.label}")


def names_width(rows: Sequence[Difference], figure: Figure) -> float:
    """Of the widest name in heavy letters [in]."""
    names = map(name_of, rows)
    return max((width_of(name, Text(name, TEXT, weight="bold"), figure) for name in names), default=0.0)


def draw_rows(axes: Axes, rows: Sequence[Difference]) -> None:
    """A row for each share, the first on top."""
    axes.set(xlim=(-2, 102), ylim=(len(rows) - 0.5, -0.5))
    axes.set_xticks(range(0, 101, 20), [f"{share} %" for share in range(0, 101, 20)])
    axes.set_yticks([])
    axes.tick_params(length=3, labelsize=SMALL, labelcolor=INK, color=INK)
    axes.grid(axis="x", color="#d8dcdf", linewidth=0.8)
    for side in ("left", "right", "top"):
        axes.spines[side].set_visible(False)
    for number, each in enumerate(rows):
        draw_row(axes, number, each, first=not number or rows[number - 1].subject != each.subject)


def draw_row(axes: Axes, number: int, each: Difference, first: bool) -> None:
    """One share: hollow before, full after; the first of a subject has a line over it."""
    ink = INK if each.verdict in CALLED else QUIET
    pairs = ((each.before, each.before_half_width, -APART, PAPER), (each.after, each.after_half_width, APART, ink))
    for value, width, off, fill in pairs:
        look = {"markersize": 6.5, "markerfacecolor": fill, "color": ink, "elinewidth": 1.6, "capsize": 2.5}
        reach = [[max(min(width, end), 0.0)] for end in (value, 1 - value)]  # no share is below none or above all
        axes.errorbar(100 * value, number + off, xerr=100 * np.array(reach), fmt="o", **look)
    if first and number:
        axes.axhline(number - 0.5, xmin=-1, color="#b9bfc4", linewidth=0.8)
    weight = "bold" if each.verdict in ("better", "worse") else "normal"
    beside = {"textcoords": "offset points", "va": "center", "annotation_clip": False}
    name = name_of(each)
    axes.annotate(
        name,
        (0, number),
        xycoords=("axes fraction", "data"),
        xytext=(-8, 0),
        ha="right",
        **beside,
        **plain(name, ink, weight),
    )
    sign = {"better": "✓ better", "worse": "✗ worse"}.get(each.outcome, each.outcome)
    axes.annotate(
        sign,
        (1, number),
        xycoords=("axes fraction", "data"),
        xytext=(8, 0),
        ha="left",
        **beside,
        **plain(sign, ink, weight),
    )


def plain(words: str, ink: str, weight: str) -> dict[str, object]:
    """How a name is set."""
    return style(words, TEXT, ink, weight=weight)


ENTRIES = tuple(
    (Line2D([], [], linestyle="-", marker="o", markersize=6.5, markerfacecolor=fill, color=INK), words)
    for fill, words in ((PAPER, "before"), (INK, "after"))
)
