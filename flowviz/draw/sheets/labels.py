"""Labels that find a free place beside what they name."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patheffects import withStroke
from matplotlib.transforms import Bbox

from flowviz.draw.sheets.lettering import drawable, style
from flowviz.draw.sheets.theme import INK, PAPER, SMALL

DISTANCES = (0.0, 4.0, 12.0, 24.0, 40.0, 60.0, 90.0)  # between what is named and the label [pt]
WAYS = 16  # directions that are tried
LED = 10.0  # from this distance on a line leads to what is named [pt]
COVERING, STRAYING, HIDING = 3.0, 40.0, 200.0  # costs of covering a mark, leaving the picture, hiding a label
FAR, AVERSE = 0.015, 1.0  # costs of a pixel's distance, and of the way opposite to the one that is liked


@dataclass(frozen=True, slots=True)
class Label:
    """A text and what it names."""

    text: str
    at: tuple[float, float]  # in the data of the axes
    box: str = "round,pad=0.25"
    size: float = SMALL
    weight: str = "normal"
    ink: str = INK
    paper: str = PAPER
    edge: str = INK
    rim: float = 0.7  # width of the frame [pt]
    turn: float = 0.0  # of the text [°]
    nearest: float = 0.0  # that it may come to what it names [pt]
    lean: tuple[float, float] = (0.0, 1.0)  # unit vector of the way it likes to stand off


def place(axes: Axes, labels: Sequence[Label], within: Bbox, marks: Sequence[Bbox] = ()) -> None:
    """Write the labels, the first with the first choice of places; within and marks to be spared are in pixels."""
    taken = np.empty((0, 4))
    spared = np.array([mark.extents for mark in marks]).reshape(-1, 4)
    for label in labels:
        size = measured(axes, label)
        offsets, boxes = candidates(axes, label, size)
        best = np.argmin(costs(offsets, boxes, label, within.extents, spared, taken))
        written(axes, label, offsets[best], boxes[best])
        taken = np.vstack((taken, boxes[best]))


def measured(axes: Axes, label: Label) -> np.ndarray:
    """Width and height of a label with its frame in pixels."""
    renderer = axes.figure.canvas.get_renderer()
    text = axes.text(0, 0, drawable(label.text), bbox={"boxstyle": label.box}, **setting(label))
    text.update_bbox_position_size(renderer)
    size = text.get_bbox_patch().get_window_extent(renderer).size
    text.remove()
    return size


def candidates(axes: Axes, label: Label, size: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Places for a label: offsets from what it names (n, 2) and boxes it would take (n, 4), in pixels."""
    distances = np.array([distance for distance in DISTANCES if distance >= label.nearest]) * axes.figure.dpi / 72
    turns = 2 * np.pi * np.arange(WAYS) / WAYS
    ways = np.column_stack((np.cos(turns), np.sin(turns)))
    sides = np.clip(1.5 * ways, -1, 1) * size / 2  # so that a box touches with its side, not with its corner
    around = distances[distances > 0, None, None] * ways + sides
    offsets = np.vstack((np.zeros((int(distances[0] == 0), 2)), around.reshape(-1, 2)))
    middles = axes.transData.transform(label.at) + offsets
    return offsets, np.hstack((middles - size / 2, middles + size / 2))


def costs(
    offsets: np.ndarray, boxes: np.ndarray, label: Label, within: np.ndarray, marks: np.ndarray, taken: np.ndarray
) -> np.ndarray:
    """How bad each place is (n,)."""
    distance = np.linalg.norm(offsets, axis=1)
    against = np.where(distance > 0, 1 - offsets @ label.lean / np.maximum(distance, 1), 0) / 2
    return (
        FAR * distance
        + AVERSE * against
        + HIDING * covered(boxes, taken).sum(axis=1)
        + COVERING * covered(boxes, marks).sum(axis=1)
        + STRAYING * (1 - covered(boxes, within[None])[:, 0])
    )


def covered(boxes: np.ndarray, others: np.ndarray) -> np.ndarray:
    """Share of each box (n, 4) that lies in each of the others (m, 4): (n, m)."""
    low = np.maximum(boxes[:, None, :2], others[:, :2])
    high = np.minimum(boxes[:, None, 2:], others[:, 2:])
    area = np.prod(np.maximum(high - low, 0), axis=-1)
    return area / np.prod(boxes[:, None, 2:] - boxes[:, None, :2], axis=-1)


def written(axes: Axes, label: Label, offset: np.ndarray, box: np.ndarray) -> None:
    """The label set at an offset from what it names, with a line to it if it is far; both in pixels."""
    per_point = axes.figure.dpi / 72
    at = axes.transData.transform(label.at)
    way = box.reshape(2, 2).mean(axis=0) - at  # to the middle of the box
    half = (box[2:] - box[:2]) / 2
    if (np.abs(way) - half).max() >= LED * per_point:
        inside = (half / np.maximum(np.abs(way), 1e-9)).min()  # share of the way that lies in the box
        lead(axes, label.at, (1 - inside) * way / per_point)
    frame = {"boxstyle": label.box, "facecolor": label.paper, "edgecolor": label.edge, "linewidth": label.rim}
    axes.annotate(
        drawable(label.text),
        xy=label.at,
        xytext=offset / per_point,
        textcoords="offset points",
        bbox=frame,
        zorder=10,
        annotation_clip=False,
        **setting(label),
    )


def lead(axes: Axes, at: tuple[float, float], offset: np.ndarray) -> None:
    """A line to what is named from an offset from it [pt], below all labels, on light ground and on dark."""
    cased = [withStroke(linewidth=1.8, foreground=PAPER)]
    line = {"arrowstyle": "-", "color": INK, "linewidth": 0.8, "shrinkA": 0, "shrinkB": 0, "path_effects": cased}
    axes.annotate("", at, offset, textcoords="offset points", arrowprops=line, zorder=9, annotation_clip=False)


def setting(label: Label) -> dict[str, object]:
    """How the letters of a label are set."""
    look = {"weight": label.weight, "ha": "center", "va": "center", "rotation": label.turn}
    return style(label.text, label.size, label.ink, **look)
