"""The water of a flat picture: speed in colour, marks and sizes of what is beyond the limits, arrows of the current."""

from collections.abc import Iterator

import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import Normalize
from matplotlib.patches import PathPatch
from scipy.ndimage import distance_transform_edt

from flowviz.draw.flat.slices import SIDES, Layer, Raster
from flowviz.draw.flat.solid import outline
from flowviz.draw.sheets.labels import Label
from flowviz.draw.sheets.theme import INK, PAPER, SPEEDS, Mark
from flowviz.draw.sheets.wording import pocket
from flowviz.study import Study

EVERY = 0.28  # distance between arrows [in]
LENGTH = 0.25  # of an arrow of the fastest water [in]
BRIGHT = 0.6  # place in the scale of speed from where on arrows are dark
THIN = 1.5  # cells: what is nowhere farther from its own edge is not named


def draw_speed(axes: Axes, speed: Raster, scale: Normalize) -> None:
    """Speed [m/s] in colour."""
    look = {"cmap": SPEEDS, "norm": scale, "interpolation": "bilinear", "aspect": "auto"}
    axes.imshow(speed.values.T, extent=speed.extent, origin="lower", **look)


def draw_mark(axes: Axes, values: Raster, low: float, high: float, look: Mark) -> None:
    """Veil, hatching and outline where values lie between two levels."""
    path = outline(values, low, high)
    if path is not None:
        line = {"edgecolor": look.colour, "hatch": look.hatch, "linestyle": look.line, "linewidth": 1.4}
        axes.add_artist(PathPatch(path, facecolor=look.veil, zorder=2, **line))


def draw_arrows(axes: Axes, layer: Layer, still: float, scale: Normalize) -> None:
    """Where the mean current goes, at even distances: longer where it is faster, none where slower than still [m/s]."""
    at = np.ix_(*(sparse(row, axes) for row in (layer.right, layer.up)))
    seen = layer.water[at] & (layer.speed[at] > still)
    across, along = (part[seen] for part in np.moveaxis(layer.velocity[at], -1, 0))
    x, y = (np.broadcast_to(row, seen.shape)[seen] for row in (layer.right[at[0]], layer.up[at[1]]))
    pace = np.maximum(np.hypot(across, along), np.finfo(np.float32).tiny)
    stretch = LENGTH * np.sqrt(scale(pace)) / pace
    ink = np.where(scale(layer.speed[at][seen]) > BRIGHT, INK, PAPER)
    units = {"angles": "xy", "units": "inches", "scale_units": "inches", "scale": 1}
    axes.quiver(
        x, y, across * stretch, along * stretch, color=ink, pivot="mid", width=0.012, headwidth=4, zorder=2.5, **units
    )


def sparse(row: np.ndarray, axes: Axes) -> np.ndarray:
    """Numbers of the cells along a row of coordinates [m] that get an arrow, at even distances."""
    per_metre = axes.get_window_extent().width / axes.figure.dpi / np.ptp(axes.get_xlim())
    step = max(1, round(EVERY / per_metre / (2 * row[0])))  # the first cell's middle is half a cell from the wall
    span = step * (max(1, row.size // step) - 1)
    return np.arange((row.size - 1 - span) // 2, row.size, step)[: span // step + 1]


def zone_label(zone: object, cells: np.ndarray, axis: int, study: Study) -> Iterator[Label]:
    """How large a pocket is, where its cells (n, m) bool in a picture square to axis are widest; nothing where thin."""
    depth = distance_transform_edt(np.pad(cells, 1))[1:-1, 1:-1]
    if depth.max() > THIN:
        i, j = np.unravel_index(np.argmax(depth), depth.shape)
        right, up = (study.grid.centres()[side] for side in SIDES[axis])
        yield Label(pocket(zone, study.scene.show), (float(right[i]), float(up[j])), weight="bold", nearest=12.0)
