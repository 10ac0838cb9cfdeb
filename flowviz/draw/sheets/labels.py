"""Labels that find a free place beside what they name."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patheffects import withStroke
from matplotlib.transforms import Bbox

from flowviz.draw.sheets.lettering import drawable, style
from flowviz.draw.sheets.spots import Spot, Taken, Wish, find_spot
from flowviz.draw.sheets.theme import INK, PAPER, SMALL

DISTANCES = (0.0, 4.0, 8.0, 12.0, 18.0, 24.0, 32.0, 40.0, 60.0, 90.0)  # between what is named and the label [pt]
WAYS = 24  # directions that are tried
LED = 10.0  # from this distance on a line leads to what is named [pt]
CLEAR = 1.0  # space between labels [pt]
MOST = 0.5  # of what is named, from which on it is hidden by a label on it
ASIDE = 4.0  # of what would be hidden [pt]


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
    along: tuple[tuple[float, float], ...] = ()  # where it names the same, in the data; no line leads to it then
    body: tuple[float, float] = (0.0, 0.0)  # width and height of what it names, in the data, about the place


def place(
    axes: Axes, labels: Sequence[Label], within: Bbox, marks: Sequence[Bbox] = (), fixed: Sequence[Bbox] = ()
) -> None:
    """Write the labels, the first with the first choice of places; all boxes are in pixels.

    None covers another, or what is fixed, as long as there is room for it anywhere, nor does a line to it.

    marks  to be spared if that costs little
    fixed  words and scale bars that stand already
    """
    per_point = axes.figure.dpi / 72
    room = within.padded(CLEAR * per_point).extents
    taken = Taken(room, extents(marks), extents(fixed))
    for label in labels:
        size = measured(axes, label) + (label.rim + CLEAR) * per_point
        anchors = axes.transData.transform((label.at, *label.along))
        wish = Wish(anchors, size, label.lean, np.inf if label.along else LED * per_point)
        spot = find_spot(wish, offsets_of(label, size, hidden_body(axes, label, size), per_point), taken)
        written(axes, label, spot)
        taken = taken.and_also(spot)


def extents(boxes: Sequence[Bbox]) -> np.ndarray:
    """Left, bottom, right and top of each (n, 4)."""
    return np.array([box.extents for box in boxes]).reshape(-1, 4)


def measured(axes: Axes, label: Label) -> np.ndarray:
    """Width and height of a label with its frame in pixels."""
    renderer = axes.figure.canvas.get_renderer()
    text = axes.text(0, 0, drawable(label.text), bbox={"boxstyle": label.box}, **setting(label))
    text.update_bbox_position_size(renderer)
    size = text.get_bbox_patch().get_window_extent(renderer).size
    text.remove()
    return size


def hidden_body(axes: Axes, label: Label, size: np.ndarray) -> np.ndarray:
    """Width and height in pixels of what a label names, if the label on it would hide most of it; else nothing."""
    body = np.diff(axes.transData.transform(((0.0, 0.0), label.body)), axis=0)[0]
    return body if np.minimum(size, body).prod() > MOST * body.prod() else np.zeros(2)


def offsets_of(label: Label, size: np.ndarray, body: np.ndarray, per_point: float) -> np.ndarray:
    """Offsets (n, 2) of places near what a label names, for its middle, in pixels; body is not to be hidden."""
    nearest = max(label.nearest, ASIDE if body.any() else 0.0)
    distances = per_point * np.array([distance for distance in DISTANCES if distance >= nearest])
    turns = 2 * np.pi * np.arange(WAYS) / WAYS
    ways = np.column_stack((np.cos(turns), np.sin(turns)))
    sides = np.clip(1.5 * ways, -1, 1) * (size + body) / 2  # so that a box touches with its side, not with its corner
    around = distances[distances > 0, None, None] * ways + sides
    return np.vstack((np.zeros((int(distances[0] == 0), 2)), around.reshape(-1, 2)))


def written(axes: Axes, label: Label, spot: Spot) -> None:
    """The label in its place, with a line to what it names if that is far."""
    per_point = axes.figure.dpi / 72
    at = axes.transData.transform(label.at)
    if len(spot.lead):
        lead(axes, label.at, (spot.lead[-1] - at) / per_point)
    frame = {"boxstyle": label.box, "facecolor": label.paper, "edgecolor": label.edge, "linewidth": label.rim}
    axes.annotate(
        drawable(label.text),
        xy=label.at,
        xytext=(spot.box.reshape(2, 2).mean(axis=0) - at) / per_point,
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
