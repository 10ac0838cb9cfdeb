"""The colour bar of speed, with real figures and both limits marked on it."""

from collections.abc import Sequence
from math import floor, log10

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import Normalize
from matplotlib.patches import Rectangle

from flowviz.draw.sheets.lettering import style
from flowviz.draw.sheets.theme import DEAD, INK, OVER, PAPER, SMALL, SPEEDS
from flowviz.scene.model import Limits
from flowviz.units import System, display_unit

STEPS = 256
NICE = (1, 2, 5)  # first figures of the ticks
NEAREST = 0.075  # of the bar's length, between two ticks


def draw_bar(axes: Axes, limits: Limits, system: System, scale: Normalize) -> None:
    """Speed to colour, along the axes from left to right."""
    axes.imshow(np.linspace(0, 1, STEPS)[None], extent=(0, 1, 0, 1), aspect="auto", cmap=SPEEDS)
    low, high = float(scale(limits.dead)), float(scale(limits.over))
    for start, end, limit, look in ((0.0, low, low, DEAD), (high, 1.0, high, OVER)):
        axes.add_patch(Rectangle((start, 0), end - start, 1, fill=False, hatch=look.hatch, edgecolor=look.colour, lw=0))
        axes.axvline(limit, color=look.colour, linestyle=look.line, linewidth=1.4)
    label(axes, "too still", 0.0, "left")
    label(axes, "too strong", 1.0, "right")
    unit, per_si = display_unit("speed", system)
    label(axes, f"time-mean speed, {unit}", 0.5, "center")
    marks = ticks(limits, per_si, scale)
    axes.set_xticks([float(scale(speed)) for speed in marks], [f"{speed * per_si:.3g}" for speed in marks])
    axes.set_yticks([])
    axes.tick_params(length=3, labelsize=SMALL, labelcolor=INK, color=INK)
    for speed, text in zip(marks, axes.get_xticklabels(), strict=True):
        text.set_weight("bold" if speed in (limits.dead, limits.over) else "normal")


def draw_bands(axes: Axes, bands: Sequence[tuple[float, float]], scale: Normalize) -> None:
    """Speeds [m/s] that corals want, from one to the other, as lines on the bar, the first on top."""
    for number, band in enumerate(bands, start=1):
        ends, height = [float(scale(speed)) for speed in band], 1 - number / (len(bands) + 1)
        for colour, width in ((INK, 3.0), (PAPER, 1.4)):
            axes.plot(ends, (height, height), color=colour, linewidth=width, marker="|", markersize=2 * width)


def label(axes: Axes, words: str, at: float, side: str) -> None:
    """Words above the bar."""
    look = style(words, SMALL, INK, ha=side, va="bottom")
    axes.annotate(words, (at, 1), xytext=(0, 3), textcoords="offset points", **look)


def ticks(limits: Limits, per_si: float, scale: Normalize) -> list[float]:
    """Speeds that are figured on the bar [m/s]: both limits, zero, and round numbers where there is room."""
    chosen = [limits.dead, limits.over]
    exponents = range(floor(log10(scale.vmax * per_si)) - 3, floor(log10(scale.vmax * per_si)) + 1)
    round_numbers = [figure * 10.0**exponent for exponent in reversed(exponents) for figure in NICE]
    for number in (0.0, *round_numbers):
        speed = number / per_si
        if (number == 0 or limits.dead / 4 <= speed <= scale.vmax) and all(
            abs(scale(speed) - scale(other)) >= NEAREST for other in chosen
        ):
            chosen.append(speed)
    return sorted(chosen)
